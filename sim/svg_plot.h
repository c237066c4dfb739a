/* Small line plots as SVG: panels that share an axis, with direct labels, markers and honest gaps. */
#ifndef SIM_SVG_PLOT_H
#define SIM_SVG_PLOT_H

#include <stddef.h>
#include <stdio.h>

enum { SVG_PLOT_SERIES_MAX = 4, SVG_PLOT_PANELS_MAX = 12 };

/* Told apart by colour, marker and label together. */
typedef enum SvgStyle { SVG_LEFT, SVG_RIGHT, SVG_PUMP, SVG_NEUTRAL, SVG_STYLE_COUNT } SvgStyle;

typedef struct SvgSeries {
    const char *name;    /* label at the line's end */
    const double *x, *y; /* [count], borrowed; a value that is not finite makes a gap */
    size_t count;
    SvgStyle style;
} SvgSeries;

typedef struct SvgPanel {
    const char *title; /* what and unit, above the panel */
    SvgSeries series[SVG_PLOT_SERIES_MAX];
    size_t series_count;
} SvgPanel;

typedef struct SvgPlot {
    const char *title, *subtitle, *x_title;
    const char *footer;    /* caution or source; may be NULL */
    const char *mark_text; /* label of a vertical line through all panels; NULL: none */
    double mark_x;
    SvgPanel panels[SVG_PLOT_PANELS_MAX];
    size_t panel_count;
    int columns; /* panels side by side, >= 1 */
} SvgPlot;

/* A scale with round steps that covers [low, high]. */
typedef struct SvgScale {
    double low, high, step;
    int decimals; /* that its labels need */
} SvgScale;

/* Round scale with about `wanted` (>= 2) steps covering the range; a range without width is widened. */
SvgScale sim_svg_plot_scale(double low, double high, int wanted);

/* Writes a complete SVG file to `out`, which stays the caller's. Panels without a finite point say "no data".
 */
void sim_svg_plot_write(const SvgPlot *plot, FILE *out);

#endif

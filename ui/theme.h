/* Colours, type sizes and spacing of the screens, at scale 1. Colour carries the side of the circulation
   (left and systemic, right and pulmonary, pump, gas, electrical); every coloured thing also carries a letter
   or a word. */
#ifndef UI_THEME_H
#define UI_THEME_H

#include "ui/colour.h"

typedef enum ThemeKind { THEME_DARK, THEME_LIGHT, THEME_HIGH_CONTRAST, THEME_COUNT } ThemeKind;

typedef enum Side {
    SIDE_LEFT,
    SIDE_RIGHT,
    SIDE_PUMP,
    SIDE_GAS,
    SIDE_ELECTRICAL,
    SIDE_TISSUE,
    SIDE_COUNT
} Side;

typedef struct Theme {
    Colour window, panel, raised;               /* surfaces, back to front */
    Colour hairline;                            /* decoration only */
    Colour edge;                                /* control outlines, at least 3:1 */
    Colour text1, text2, text3;                 /* at least 4.5:1 on all three surfaces */
    Colour side[SIDE_COUNT];                    /* traces, badges */
    Colour blood_left, blood_right;             /* chamber fills */
    Colour wall, pericardium;                   /* heart muscle; pericardial line */
    Colour fluid;                               /* dots of pericardial fluid */
    Colour clot;                                /* clot: fill; always hatched as well */
    Colour ink;                                 /* text on a badge, and on a block of the colour of text1 */
    Colour alarm_high, alarm_medium, alarm_low; /* filled blocks; tints */
    Colour alarm_ink[3];                        /* text on such a block: low, medium, high */
    Colour alarm_text[3];                       /* marks, words and frames on a surface or a tint */
    Colour focus;                               /* focus ring */
    Colour band, band_mark;                     /* target bar: the wanted range and its end marks */
    Colour selected;                            /* surface of the selected row */
    /* the picture of a look: its ground takes the place of `panel` under everything else */
    Colour look_ground, look_tissue, look_wall; /* ground; grain of what lies around; grain of muscle */
    double focus_px, trace_px;                  /* widths of the focus ring and of a trace */
    double dash_on_px[SIDE_COUNT], dash_off_px[SIDE_COUNT]; /* line style of a side's traces; 0: solid */
} Theme;

/* Type steps, px. */
#define TYPE_NOTE    16.0
#define TYPE_BODY    17.0
#define TYPE_TITLE   20.0
#define TYPE_VALUE_S 22.0
#define TYPE_VALUE_M 38.0
#define TYPE_VALUE_L 50.0
#define TYPE_CLOCK   30.0

/* Spacing, px: everything sits on a 4 px grid. */
#define SPACE        4.0
#define PANEL_GAP    12.0
#define PANEL_RADIUS 8.0
#define PANEL_PAD    16.0
#define TARGET_MAIN  40.0 /* main controls */
#define TARGET_MIN   24.0 /* smallest control (WCAG 2.2, 2.5.8) */

/* A theme; constant, never NULL. Numbers outside the list give the dark one. */
const Theme *ui_theme_of(ThemeKind kind);
/* The dark theme. */
const Theme *ui_theme_dark(void);

/* Colours of a priority 1 (low) to 3 (high): the filled block, the text on it, and marks, words and frames on
   a surface. What is said by them is always said by a mark or a word as well. */
Colour ui_theme_alarm(const Theme *theme, int priority);
Colour ui_theme_alarm_ink(const Theme *theme, int priority);
Colour ui_theme_alarm_text(const Theme *theme, int priority);

/* The badge letter of a side: L R P G E T. */
const char *ui_theme_letter(Side side);
/* What the letter stands for, for the legend. */
const char *ui_theme_side_name(Side side);

#endif

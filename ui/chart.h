/* The chart: flow sheet, plots, results and the log of the night, in place of the bedside. It shows what
   instruments showed and what was ordered, read back from the records; nothing of the patient's hidden state.
   This header is for the files ui/chart_*.c and their tests; the program knows the chart by its row in
   ui/sheets.c. */
#ifndef UI_CHART_H
#define UI_CHART_H

#include "sim/flowsheet.h"
#include "ui/sheet.h"
#include "ui/theme.h"
#include "ui/view.h"

#include <stdbool.h>
#include <stdint.h>

typedef enum ChartTab {
    CHART_TAB_SHEET,
    CHART_TAB_PLOTS,
    CHART_TAB_RESULTS,
    CHART_TAB_LOG,
    CHART_TAB_COUNT
} ChartTab;

/* Numbers of the chart's own intents (INTENT_PART). Times are case times in s; negative follows the present.
 */
typedef enum ChartPart {
    CHART_PART_TAB,    /* amount: ChartTab */
    CHART_PART_STEP,   /* amount: column step, index of CHART_STEPS_S */
    CHART_PART_ROW,    /* amount: index of the row with the cursor */
    CHART_PART_CELL,   /* amount: moment of the column with the cursor */
    CHART_PART_TOP,    /* amount: first row on show */
    CHART_PART_RIGHT,  /* amount: moment of the last column on show */
    CHART_PART_PLOT,   /* amount: row whose quantity is to be plotted */
    CHART_PART_SPAN,   /* amount: span of the plots, index of CHART_SPANS_S */
    CHART_PART_CURSOR, /* amount: moment of the plots' cursor */
    CHART_PART_END,    /* amount: right end of the plots */
    CHART_PART_PICKER, /* opens or closes the list of quantities */
    CHART_PART_PICK,   /* amount: line of that list with the cursor */
    CHART_PART_TOGGLE, /* amount: quantity to plot or to take off */
    CHART_PART_USUAL,  /* back to the quantities plotted at first */
    CHART_PART_FILTER, /* amount: FlowMarkKind to show or hide in the log */
    CHART_PART_SCROLL, /* amount: px down in the log or the results */
    CHART_PART_EXPORT  /* writes the sheet as a table */
} ChartPart;

enum { CHART_STEPS = 3, CHART_SPANS = 4, CHART_PLOTS_MAX = 8, CHART_QUANTITIES_MAX = 96 };

/* Something that can be plotted: a number on show, the rate of a drip, the balance. */
typedef struct ChartQuantity {
    DisplayId shown; /* DISPLAY_COUNT: not a number on show */
    OrderId order;   /* ORDER_COUNT: not a rate */
    char name[FLOWSHEET_NAME_MAX], unit[FLOWSHEET_NAME_MAX];
    Side side;
    int decimals;
    double low, high;               /* usual scale */
    double target_low, target_high; /* NAN: none */
} ChartQuantity;

/* One plot: a point every RECORDS_HISTORY_STEP_S, from ChartState.point_first on. */
typedef struct ChartPlot {
    int quantity;                     /* index of ChartState.quantity */
    double low, high;                 /* scale that holds every point */
    float value[RECORDS_HISTORY_MAX]; /* NAN: nothing on show */
    float line[RECORDS_HISTORY_MAX];  /* the same without the flicker of the last digit */
} ChartPlot;

typedef struct ChartState {
    /* what the user chose */
    ChartTab tab;
    int step, span;
    int row, top;    /* cursor and first row of the sheet */
    double cell_s;   /* cursor column; negative: the present */
    double right_s;  /* last column on show; negative: the present */
    double cursor_s; /* of the plots; negative: the present */
    double end_s;    /* right end of the plots; negative: the present */
    bool picking;    /* the list of quantities is open */
    int pick;
    bool hidden[FLOW_MARK_COUNT]; /* kinds left out of the log */
    double scroll_px;
    char notice[TEXT_LONG]; /* what became of the last export; empty if none */
    int version;            /* changes when everything has to be painted anew */
    /* what there is to show */
    bool filled;
    char case_title[TEXT_LINE];
    bool paused;
    BedsideView bedside; /* only its alarms are filled */
    double now_s;
    int64_t history_seen, log_seen;
    int step_seen;
    int quantities;
    ChartQuantity quantity[CHART_QUANTITIES_MAX];
    int plots, chosen[CHART_PLOTS_MAX];
    int64_t point_first, points; /* of the plots */
    ChartPlot plot[CHART_PLOTS_MAX];
    Course course;
    FlowSheet sheet;
} ChartState;

extern const double CHART_STEPS_S[CHART_STEPS];
/* The last one is the whole night. */
extern const double CHART_SPANS_S[CHART_SPANS];

/* The chart, for ui/sheets.c. */
extern const SheetKind UI_CHART_SHEET;

/* What a chart begins with: the flow sheet by quarter hours, the usual plots, everything at the present. */
void ui_chart_start(ChartState *chart);

/* Takes in what is new in the night; does nothing when nothing is. */
void ui_chart_fill(ChartState *chart, const Session *session);
/* Carries out an intent of the chart but the export. */
void ui_chart_apply(ChartState *chart, ChartPart part, double amount);
/* Writes the sheet and what happened as two tables into `folder`, named after `stem`; says in chart->notice
   where, or why not. */
void ui_chart_export(ChartState *chart, const char *folder, const char *stem);

/* Index of the column of the sheet at time_s; the present for a negative one. */
int ui_chart_column(const FlowSheet *sheet, double time_s);
/* Left and right end of the plots, case time in s. */
void ui_chart_range(const ChartState *chart, double *from_s, double *to_s);
/* Number of the plots' point at time_s, or -1. */
int64_t ui_chart_point(const ChartState *chart, double time_s);
/* Whether a quantity is plotted. */
bool ui_chart_plotted(const ChartState *chart, int quantity);
/* Quantity of a row of the sheet; -1: none. */
int ui_chart_row_quantity(const ChartState *chart, int row);

/* Regions; every one is painted anew when chart->version changes. */
typedef enum ChartRegion {
    CHART_REGION_BACK = 40, /* past those of the bedside */
    CHART_REGION_TOP,
    CHART_REGION_BAR,
    CHART_REGION_NAMES,
    CHART_REGION_HEAD,
    CHART_REGION_CELLS,
    CHART_REGION_SIDE,
    CHART_REGION_AXIS,
    CHART_REGION_FOOT,
    CHART_REGION_PLOT = 50 /* + plot */
} ChartRegion;

/* Controls. */
enum {
    CHART_ID_TAB = 100,
    CHART_ID_BACK = 110,
    CHART_ID_STEP = 120,
    CHART_ID_MOVE = 130,
    CHART_ID_EXPORT = 140,
    CHART_ID_PICKER,
    CHART_ID_USUAL,
    CHART_ID_CELLS,
    CHART_ID_BAR_ACROSS,
    CHART_ID_BAR_DOWN,
    CHART_ID_PLOTS,
    CHART_ID_FILTER = 160,
    CHART_ID_QUANTITY = 200
};

/* Starts a region with a ground of its own. */
void ui_chart_region(Ui *ui, const ChartState *chart, int region, Rect rect, Colour ground);
/* A button as wide as its label; moves *x past it. */
bool ui_chart_button(Ui *ui, int id, double *x, double y, const char *label, ButtonLook look);
/* A number as the chart writes it: "\u2212120", "--" for NAN. */
void ui_chart_number(char *text, size_t size, double value, int decimals);

/* The alarms on show, right of x in the bar. */
void ui_chart_alarms(Ui *ui, Rect bar, double x, const ChartState *chart, Intents *intents);
/* What became of the last export, in the foot. */
void ui_chart_notice(Ui *ui, Rect foot, const ChartState *chart);

/* The four tabs: `bar` is for their buttons, `body` for what they show. */
void ui_chart_table(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents);
void ui_chart_plots(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents);
void ui_chart_results(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents);
void ui_chart_log(Ui *ui, Rect bar, Rect body, Rect foot, const ChartState *chart, Intents *intents);

/* Beside the plots: the orders on show, or the list of quantities. */
void ui_chart_side(Ui *ui, Rect rect, const ChartState *chart, double from_s, double to_s, Intents *intents);

#endif

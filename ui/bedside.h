/* The bedside: the screen a night is worked on. Drawn from a BedsideView; what the user wants comes back as
 * intents. */
#ifndef UI_BEDSIDE_H
#define UI_BEDSIDE_H

#include "ui/intents.h"
#include "ui/view.h"
#include "ui/widgets.h"

/* Regions that are repainted on their own. */
typedef enum BedsideRegion {
    REGION_BACK,
    REGION_TOP,
    REGION_PUMP,
    REGION_HEART,
    REGION_GAUGES,
    REGION_KEYS,
    REGION_DECK,
    REGION_LABS,
    REGION_MESSAGES,
    REGION_ACTIONS,
    REGION_FOOT,
    REGION_OVERLAY,
    REGION_PREDICTION,
    REGION_TABS,
    REGION_NUMBERS,
    REGION_LANE = 20,                       /* + LaneId */
    REGION_TILE = REGION_LANE + LANE_COUNT, /* + LaneId */
    REGION_COUNT = REGION_TILE + LANE_COUNT
} BedsideRegion;

/* What the compact arrangement shows of the parts that have no room beside each other. */
typedef enum BedsidePanel { PANEL_NUMBERS, PANEL_HEART, PANEL_ORDERS, PANEL_WORDS, PANEL_COUNT } BedsidePanel;

/* Parts that are not on show have no width. */
typedef struct BedsideLayout {
    bool wide;    /* large type, everything at once; false: narrow or compact */
    bool compact; /* few lanes, one panel at a time under tabs */
    BedsidePanel panel;
    Rect screen, top, lanes, foot, pump, heart, keys, deck, labs, messages, actions;
    Rect strip, tabs, numbers; /* compact: what to look at; tabs; the panel of all numbers */
    Rect lane[LANE_COUNT], trace[LANE_COUNT], tile[LANE_COUNT];
    int first_lane;   /* on show */
    int deck_rows;    /* rows that fit */
    double deck_head; /* height of the orders' title line */
} BedsideLayout;

/* The smallest screen, design px, on which all parts have room beside each other. */
#define UI_BEDSIDE_FULL_WIDTH  1240.0
#define UI_BEDSIDE_FULL_HEIGHT 700.0
/* The smallest on which the compact arrangement has room. */
#define UI_BEDSIDE_LEAST_WIDTH  640.0
#define UI_BEDSIDE_LEAST_HEIGHT 400.0

typedef struct BedsideChoice {
    bool lane[LANE_COUNT]; /* wanted on show; none: the arterial pressure */
    BedsidePanel panel;
} BedsideChoice;

/* Every lane. */
BedsideChoice ui_bedside_all(void);

/* Where everything is on a screen of width x height design px. Smaller ones than the least are laid out as if
   they were the least. */
BedsideLayout ui_bedside_layout(double width_px, double height_px, const BedsideChoice *choice);

/* The ground everything lies on; a region of its own, to be drawn first. `night`: with the lanes' panel. */
void ui_bedside_ground(Ui *ui, const BedsideLayout *layout, bool night);

/* Draws the whole screen but the traces into ui->list and adds what the user wants to *intents. */
void ui_bedside_draw(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);

/* Takes the keys that belong to the screen as a whole (after the controls had theirs). */
void ui_bedside_keys(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);

/* Whether lanes show the band of many beats instead of a line: at high time rates. */
bool ui_bedside_envelope(const BedsideView *view);

/* Draws the ground and the trace of one lane between x0 and x1. */
void ui_bedside_trace(DrawList *list, const Theme *theme, const BedsideLayout *layout,
                      const BedsideView *view, const Sweep *sweep, int lane, double x0, double x1);

enum { UI_BEDSIDE_TOOL_ID = 8 };   /* + SheetId: the button that opens a sheet */
enum { UI_BEDSIDE_GROUP_ID = 20 }; /* control of the first order group; the others follow */

/* The face of a button that opens a sheet: its key, where there is room, and its name. */
void ui_bedside_tool_face(Ui *ui, int sheet, Rect rect);
/* The button itself: control UI_BEDSIDE_TOOL_ID + sheet. */
void ui_bedside_tool(Ui *ui, int sheet, Rect rect, Intents *intents);
/* Compact: chart, call and settings in a row with a gap at its left; the width they need; whether they stand
   in the bar at the top or beside the tabs. */
void ui_bedside_tools(Ui *ui, Rect row, Intents *intents);
double ui_bedside_tools_px(const Ui *ui);
bool ui_bedside_tools_in_bar(const BedsideLayout *layout);
/* Its name, and its key as text. */
const char *ui_bedside_tool_name(int sheet, const char **key);

/* Pieces, each in a file of its own. */
void ui_bedside_top(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_heart(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_deck(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_side(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_tabs(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_numbers(Ui *ui, const BedsideLayout *layout, const BedsideView *view);

#endif

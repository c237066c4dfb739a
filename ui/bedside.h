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
    REGION_LANE = 20,                       /* + LaneId */
    REGION_TILE = REGION_LANE + LANE_COUNT, /* + LaneId */
    REGION_COUNT = REGION_TILE + LANE_COUNT
} BedsideRegion;

typedef struct BedsideLayout {
    bool wide; /* false: the narrow arrangement */
    Rect screen, top, lanes, foot, pump, heart, keys, deck, labs, messages, actions;
    Rect lane[LANE_COUNT], trace[LANE_COUNT], tile[LANE_COUNT];
    int deck_rows; /* rows that fit */
} BedsideLayout;

/* The smallest screen, design px, on which everything has room. */
#define UI_BEDSIDE_LEAST_WIDTH  1240.0
#define UI_BEDSIDE_LEAST_HEIGHT 700.0

/* Where everything is on a screen of width x height design px. Smaller ones are laid out as if they were the
   smallest. */
BedsideLayout ui_bedside_layout(double width_px, double height_px, int lanes);

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

/* Pieces, each in a file of its own. */
void ui_bedside_top(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_heart(Ui *ui, const BedsideLayout *layout, const BedsideView *view);
void ui_bedside_deck(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);
void ui_bedside_side(Ui *ui, const BedsideLayout *layout, const BedsideView *view, Intents *intents);

#endif

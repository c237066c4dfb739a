/* The surgeon's opinion, from what everybody in the room sees. */
#include "sim/surgeon.h"

#include <stdio.h>

/* Thresholds he goes by; common practice, the drain's after the classic rules for re-opening (from memory).
 */
#define DRAIN_BLEEDS_ML_H 300.0
#define DRAIN_DRY_ML_H    30.0
#define CVP_HIGH_MMHG     16.0
#define CVP_LOW_MMHG      6.0
#define MAP_LOW_MMHG      60.0
#define MAP_LAST_MMHG     45.0
#define FLOW_LOW_L_MIN    3.5
#define SVO2_LOW_PERCENT  58.0
#define PA_DIA_HIGH_MMHG  20.0

static bool below(const Display *display, DisplayId id, double limit) {
    return display->valid[id] && display->value[id] < limit;
}

static bool above(const Display *display, DisplayId id, double limit) {
    return display->valid[id] && display->value[id] > limit;
}

/* What he makes of it; the first that fits. */
static const char *judge(const Display *d, const Parameters *parameters) {
    bool low_flow =
        below(d, DISPLAY_art_mean_mmhg, MAP_LOW_MMHG) || below(d, DISPLAY_pump_flow_l_min, FLOW_LOW_L_MIN);
    bool full = above(d, DISPLAY_cvp_mmhg, CVP_HIGH_MMHG);
    bool left_full = above(d, DISPLAY_pa_dia_mmhg, PA_DIA_HIGH_MMHG);
    if (parameters->chest_open > 0.5)
        return "The chest is open: I do not see anything pressing. Give blood for what is lost and let us "
               "look at the "
               "right ventricle directly.";
    if (below(d, DISPLAY_art_mean_mmhg, MAP_LAST_MMHG) && full)
        return "He will not live to see the theatre like this. If you think it is blood or clot, I open "
               "here, now.";
    if (above(d, DISPLAY_drain_ml_h, DRAIN_BLEEDS_ML_H))
        return "That is bleeding for the theatre, not for drugs. Correct the clotting, get blood up, tell "
               "them we come.";
    if (low_flow && full && below(d, DISPLAY_drain_ml_h, DRAIN_DRY_ML_H))
        return "High venous pressure, low flow, and the drain has gone dry. Clot or a failing right "
               "ventricle: look with "
               "the echo. Clot behind the heart does not come out of a drain, I would have to open.";
    if (low_flow && full)
        return "High venous pressure and low flow. Show me the right ventricle: big, and it is yours to "
               "treat; small, "
               "and it is mine.";
    if (low_flow && below(d, DISPLAY_cvp_mmhg, CVP_LOW_MMHG))
        return "The heart looks empty. Where is the blood? If the drains do not say, think of abdomen and "
               "pleura.";
    if (left_full && (low_flow || below(d, DISPLAY_svo2_percent, SVO2_LOW_PERCENT)))
        return "The left side is full and little comes of it: a slow pump, a tired ventricle, or clot behind "
               "the "
               "left atrium. Look from behind the heart: the last of them is mine.";
    if (low_flow)
        return "I would want a picture before I take anybody anywhere: septum, both ventricles, the inflow.";
    return "Nothing here needs me to open. Call me again if the venous pressure climbs or the drain changes.";
}

void sim_surgeon_opinion(const Display *display, const Parameters *parameters, char *text, size_t size) {
    snprintf(text, size, "%s", judge(display, parameters));
}

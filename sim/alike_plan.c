/* Look-alikes: which quantity leads, how long is looked, and which causes are tried. */
#include "sim/alike_parts.h"

#include <math.h>
#include <stdio.h>

#define STEP_S        300.0 /* between two times; twice that when they would be too many */
#define MOVED_SHARE   0.8   /* of the leading quantity's way: as long as that is looked at, */
#define MOVED_LEAST_X 4.0   /* or until it has moved by so many smallest changes that count */
#define LEAST_TIMES   3

/* What can lead, in this order of preference, by how far it has to move. */
static const struct {
    RehearsePanel panel;
    DisplayId shown;
    bool falls;
    double least_x; /* smallest changes that count */
} LEADS[] = {
    {REHEARSE_PANEL_pump_flow, DISPLAY_pump_flow_l_min, true, 2.0},
    {REHEARSE_PANEL_map, DISPLAY_art_mean_mmhg, true, 2.0},
    {REHEARSE_PANEL_cvp, DISPLAY_cvp_mmhg, false, 3.0},
    {REHEARSE_PANEL_map, DISPLAY_art_mean_mmhg, false, 3.0},
};

/* Mean of a panel before the onset; NaN when there is too little. */
static double usual(const RehearseCourse *c, RehearsePanel panel) {
    double sum = 0.0, count = 0.0;
    for (int i = 0; i < c->points; i++) {
        double time_s = c->point[i].time_s, value = c->point[i].value[panel];
        if (time_s > c->facts.onset_s || time_s < c->facts.onset_s - ALIKE_BASE_S || !isfinite(value))
            continue;
        sum += value;
        count += 1.0;
    }
    return count * REHEARSE_STEP_S >= ALIKE_BASE_LEAST_S ? sum / count : NAN;
}

/* The course of lead k since the onset: how far it goes in its direction, and when it has first gone
 * `enough`. */
typedef struct Move {
    double most, enough_s;
} Move;

static Move moves(const RehearseCourse *c, size_t k, double enough) {
    double before = usual(c, LEADS[k].panel);
    Move move = {0.0, ALIKE_LONGEST_S};
    for (int i = 0; i < c->points; i++) {
        double after_s = c->point[i].time_s - c->facts.onset_s;
        double gone = c->point[i].value[LEADS[k].panel] - before;
        if (LEADS[k].falls) gone = -gone;
        if (after_s <= 0.0 || after_s > ALIKE_LONGEST_S || !isfinite(gone)) continue;
        move.most = fmax(move.most, gone);
        if (gone >= enough) move.enough_s = fmin(move.enough_s, after_s);
    }
    return move;
}

/* Until when it is looked: most of the way is gone, or as far as calls for action; and not much longer than
   until it is plain that something is wrong. */
static double last_s(const RehearseCourse *c, size_t k, double most) {
    double least = sim_predictions_least(LEADS[k].shown);
    double far_s = moves(c, k, fmin(MOVED_SHARE * most, MOVED_LEAST_X * least)).enough_s;
    double plain_s = moves(c, k, LEADS[k].least_x * least).enough_s;
    return fmin(far_s, fmax(plain_s, ALIKE_TIMES_MAX * STEP_S));
}

static void plan_times(Alike *alike, double until_s, double room_s) {
    double step_s = until_s > ALIKE_TIMES_MAX * STEP_S ? 2.0 * STEP_S : STEP_S;
    int times = (int)ceil(until_s / step_s);
    if (times < LEAST_TIMES) times = LEAST_TIMES;
    if (times > ALIKE_TIMES_MAX) times = ALIKE_TIMES_MAX;
    for (alike->times = 0; alike->times < times && (alike->times + 1) * step_s <= room_s; alike->times++)
        alike->after_s[alike->times] = (alike->times + 1) * step_s;
}

/* True if calling this would be right, or pass for it, when the trouble begins. */
static bool passes(const Case *night, DiagnosisId truth, DiagnosisId id) {
    if (id == truth) return true;
    for (int i = 0; i < night->action_count; i++) {
        const CaseAction *action = &night->actions[i];
        if (action->kind != CASE_ACTION_TRUTH || action->truth.diagnosis != truth) continue;
        return sim_session_names(&action->truth, id);
    }
    return false;
}

static void list_causes(Alike *alike, const Case *night) {
    for (int id = 0; id < ALTERNATIVE_COUNT; id++) {
        if (passes(night, alike->truth, sim_alternatives_row((AlternativeId)id)->diagnosis) ||
            !sim_alternatives_possible((AlternativeId)id, &night->patient.parameters))
            continue;
        alike->cause[alike->cause_count++] =
            (AlikeCause){.id = (AlternativeId)id, .number_from = -1, .picture_from = -1};
    }
}

void sim_alike_plan(Alike *alike, const Case *night, const RehearseCourse *c) {
    const RehearseFacts *f = &c->facts;
    const char *why = NULL;
    if (f->onset_s < 0.0)
        why = "The case never says that something is wrong (truth), so there is nothing to hold look-alikes "
              "to.";
    else if (f->onset_s < ALIKE_BASE_LEAST_S)
        why = "Something is wrong from the beginning on: there is no course before it to compare with.";
    size_t k = 0, count = sizeof LEADS / sizeof LEADS[0];
    double most = 0.0;
    for (; why == NULL && k < count; k++) {
        most = moves(c, k, INFINITY).most;
        if (most >= LEADS[k].least_x * sim_predictions_least(LEADS[k].shown)) break;
    }
    if (why == NULL && k == count)
        why = "Neither flow nor pressures on show move much within two hours: no look-alike can be held to "
              "them.";
    if (why == NULL) {
        alike->lead = LEADS[k].shown;
        alike->falls = LEADS[k].falls;
        alike->least = sim_predictions_least(alike->lead);
        alike->onset_s = f->onset_s;
        alike->truth = f->truth;
        plan_times(alike, last_s(c, k, most), f->end_s - f->onset_s);
        if (alike->times == 0) why = "The night ends too soon after the onset for a comparison.";
    }
    if (why != NULL)
        snprintf(alike->why_not, sizeof alike->why_not, "%s", why);
    else
        list_causes(alike, night);
}

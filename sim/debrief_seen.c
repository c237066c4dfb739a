/* The debrief at single moments: turning points, how the heart stood, what could be seen. */
#include "sim/debrief_parts.h"
#include "sim/means.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AROUND_S     30.0   /* to either side: a minute */
#define APART_S      60.0   /* turning points closer than this are one */
#define TREND_S      1200.0 /* a change is told over the 20 minutes before */
#define PERCENT      100.0
#define SIZE_SEEN    0.15 /* of a chamber's size; common practice, as in debrief.c */
#define SEPTUM_MM    3.0
#define FLUID_ML     100.0 /* free fluid and clot that a look shows; common practice */
#define LEAK_FRAC    0.2   /* regurgitation that a look shows; common practice */
#define VALVE_SHUT   0.05
#define VALVE_SELDOM 0.5

int64_t sim_debrief_point(const Debrief *d, double time_s) {
    int64_t low = 0, high = d->recall->point_count;
    while (low < high) {
        int64_t middle = (low + high) / 2;
        if (d->recall->point[middle].time_s <= time_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low - 1;
}

Observables sim_debrief_mean(const Debrief *d, double time_s) {
    const Recall *r = d->recall;
    Means means;
    sim_means_clear(&means);
    int64_t first = sim_debrief_point(d, time_s - AROUND_S);
    for (int64_t i = first < 0 ? 0 : first; i < r->point_count && r->point[i].time_s <= time_s + AROUND_S;
         i++)
        sim_means_take(&means, &r->point[i].truth, RECORDS_HISTORY_STEP_S);
    if (means.time_s <= 0.0 && r->point_count > 0) means.last = r->point[r->point_count - 1].truth;
    return means.time_s > 0.0 ? sim_means_read(&means) : means.last;
}

/* ---- turning points ---- */

static void add_moment(Debrief *d, double time_s, const char *what) {
    if (time_s < 0.0 || time_s > d->recall->night.reached_s || d->moment_count == DEBRIEF_MOMENTS_MAX) return;
    for (int i = 0; i < d->moment_count; i++) {
        if (fabs(d->moment[i].time_s - time_s) < APART_S) return;
    }
    int at = d->moment_count++;
    for (; at > 0 && d->moment[at - 1].time_s > time_s; at--)
        d->moment[at] = d->moment[at - 1];
    d->moment[at] = (DebriefMoment){.time_s = time_s};
    snprintf(d->moment[at].what, sizeof d->moment[at].what, "%s", what);
}

/* When the flow to the body was least. */
static double worst_s(const Debrief *d) {
    double least = INFINITY, at_s = -1.0;
    for (int64_t i = 0; i < d->recall->point_count; i += 3) {
        double time_s = d->recall->point[i].time_s;
        double flow = sim_debrief_mean(d, time_s).systemic_flow_l_min;
        if (!isfinite(flow) || flow >= least) continue;
        least = flow;
        at_s = time_s;
    }
    return at_s;
}

void sim_debrief_find_moments(Debrief *d) {
    const DebriefChain *c = &d->chain;
    if (d->recall->point_count == 0) return;
    add_moment(d, d->recall->point[0].time_s, "At the start");
    add_moment(d, d->recall->night.reached_s, "At the end");
    add_moment(d, c->sign_s, "First sign");
    add_moment(d, c->answer_s, "First treatment");
    add_moment(d, c->call_s, "Named rightly");
    add_moment(d, worst_s(d), "Least flow");
    add_moment(d, c->look_s, "First look");
}

/* ---- the heart ---- */

ErrorCode sim_debrief_heart(const Debrief *d, double time_s, DebriefHeart *heart, Error *error) {
    SessionState *state = malloc(sizeof *state);
    if (state == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a state of the night");
    ErrorCode code = sim_recall_state(d->recall->path, time_s, state, error);
    if (code == ERROR_OK) {
        const Parameters *p = &state->patient.parameters;
        const double fixed_ml[CIRCULATION_CLOT_SITES] = {p->clot_lv_ml, p->clot_rv_ml, p->clot_la_ml,
                                                         p->clot_ra_ml};
        *heart = (DebriefHeart){.time_s = time_s, .now = sim_debrief_mean(d, time_s), .parameters = *p};
        heart->start = sim_debrief_mean(d, AROUND_S);
        for (int i = 0; i < CIRCULATION_CLOT_SITES; i++)
            heart->clot_ml[i] = fixed_ml[i] + state->patient.state.circulation.clot_ml[i];
    }
    free(state);
    return code;
}

/* ---- what could be seen ---- */

__attribute__((format(printf, 3, 4))) static void see(DebriefSeen *seen, bool picture, const char *format,
                                                      ...) {
    if (seen->count == DEBRIEF_SEEN_MAX) return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(seen->line[seen->count], sizeof seen->line[0], format, arguments);
    va_end(arguments);
    seen->picture[seen->count++] = picture;
}

static void see_number(const Debrief *d, double time_s, DisplayId id, DebriefSeen *seen) {
    int64_t now = sim_debrief_point(d, time_s), before = sim_debrief_point(d, time_s - TREND_S);
    const DisplayRow *row = sim_instruments_display_row(id);
    int decimals = row->decimals > 0 ? row->decimals : 0;
    if (now < 0 || !isfinite(d->recall->point[now].shown[id])) return;
    double value = d->recall->point[now].shown[id];
    double past = before < 0 ? NAN : d->recall->point[before].shown[id];
    if (isfinite(past) && fabs(value - past) >= sim_predictions_least(id))
        see(seen, false, "%s %.*f %s, %s from %.*f in 20 min", row->label, decimals, value, row->unit,
            value > past ? "up" : "down", decimals, past);
    else
        see(seen, false, "%s %.*f %s%s", row->label, decimals, value, row->unit,
            isfinite(past) ? ", steady" : "");
}

static void see_alarms(const Debrief *d, double time_s, DebriefSeen *seen) {
    for (int i = 0; i < d->alarm_count; i++) {
        const DebriefAlarm *alarm = &d->alarm[i];
        AlarmId id = sim_alarms_find(alarm->key);
        char clock[16];
        if (alarm->from_s > time_s || alarm->to_s <= time_s || id >= ALARM_COUNT) continue;
        see(seen, false, "Alarm since %s: %s", sim_debrief_clock(alarm->from_s, clock),
            sim_alarms_row(id)->label);
    }
}

static void see_chamber(DebriefSeen *seen, const char *name, double now_ml, double start_ml) {
    if (!isfinite(now_ml) || !(start_ml > 0.0)) return;
    double share = now_ml / start_ml;
    see(seen, true, "%s %s: %.0f %% of its size at the start", name,
        share < 1.0 - SIZE_SEEN   ? "smaller"
        : share > 1.0 + SIZE_SEEN ? "larger"
                                  : "about as before",
        PERCENT * share);
}

static void see_picture(const Debrief *d, double time_s, DebriefSeen *seen) {
    Observables now = sim_debrief_mean(d, time_s), start = sim_debrief_mean(d, AROUND_S);
    see_chamber(seen, "Left ventricle", now.lv_edv_ml, start.lv_edv_ml);
    see_chamber(seen, "Right ventricle", now.rv_edv_ml, start.rv_edv_ml);
    double shift_mm = now.septum_mm - start.septum_mm;
    if (fabs(shift_mm) >= SEPTUM_MM)
        see(seen, true, "Septum %.0f mm toward the %s", fabs(shift_mm), shift_mm > 0.0 ? "right" : "left");
    if (now.pericardial_ml - start.pericardial_ml > FLUID_ML)
        see(seen, true, "Fluid or clot around the heart, %.0f mL more",
            now.pericardial_ml - start.pericardial_ml);
    if (now.aortic_valve_open_frac < VALVE_SHUT)
        see(seen, true, "Aortic valve shut in all beats");
    else if (now.aortic_valve_open_frac < VALVE_SELDOM)
        see(seen, true, "Aortic valve opens in few beats");
    if (now.mr_frac > LEAK_FRAC) see(seen, true, "Mitral valve leaks, %.0f %%", PERCENT * now.mr_frac);
    if (now.tr_frac > LEAK_FRAC) see(seen, true, "Tricuspid valve leaks, %.0f %%", PERCENT * now.tr_frac);
}

void sim_debrief_seen(const Debrief *d, double time_s, DebriefSeen *seen) {
    static const DisplayId NUMBERS[] = {DISPLAY_art_mean_mmhg, DISPLAY_cvp_mmhg, DISPLAY_pump_flow_l_min,
                                        DISPLAY_svo2_percent};
    *seen = (DebriefSeen){.count = 0};
    if (d->recall->point_count == 0) return;
    for (size_t i = 0; i < sizeof NUMBERS / sizeof NUMBERS[0]; i++)
        see_number(d, time_s, NUMBERS[i], seen);
    see_alarms(d, time_s, seen);
    see_picture(d, time_s, seen);
}

/* The last seconds of the heart, moment by moment, for a look. */
#include "ui/feed_parts.h"

#include "model/heart.h"
#include "model/sizes.h"

#include <math.h>

#define SYSTOLE_ENDS_AT 0.5 /* of the height of left ventricular pressure in the beat; our own choice */

enum { TICKS_PER_MOMENT = HEART_MOMENT_MS / BEAT_TICK_MS };

/* Order of the model's chambers in ours. */
static const ChamberId CHAMBER_OF[HEART_CHAMBER_COUNT] = {
    [HEART_LV] = CHAMBER_LV, [HEART_RV] = CHAMBER_RV, [HEART_LA] = CHAMBER_LA, [HEART_RA] = CHAMBER_RA};

/* What presses on the chambers from outside: as much of the model's constants as clots need. */
static HeartConstants clots_of(const Feed *feed) {
    const Parameters *p = sim_session_parameters(feed->session);
    HeartConstants heart = {0};
    const double room_ml[HEART_CHAMBER_COUNT] = {[HEART_LV] = p->clot_room_lv_ml,
                                                 [HEART_RV] = p->clot_room_rv_ml,
                                                 [HEART_LA] = p->clot_room_la_ml,
                                                 [HEART_RA] = p->clot_room_ra_ml};
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        heart.clot_ml[CHAMBER_OF[c]] = feed->clot_ml[c];
        heart.clot_room_ml[CHAMBER_OF[c]] = room_ml[c];
    }
    heart.clot_elastance = p->clot_elastance_mmhg_ml * (1.0 - p->chest_open);
    heart.clot_width = p->clot_width_ml;
    return heart;
}

static HeartMoment moment_of(const Sample *s, const HeartConstants *clots) {
    const double volume_ml[HEART_CHAMBER_COUNT] = {s->lv_ml, s->rv_ml, s->la_ml, s->ra_ml};
    const double inside_mmhg[HEART_CHAMBER_COUNT] = {s->lv_mmhg, s->rv_mmhg, s->la_mmhg, s->ra_mmhg};
    HeartMoment m = {
        .open_frac = {(float)s->mitral_open, (float)s->aortic_open, (float)s->tricuspid_open,
                      (float)s->pulmonary_open},
        .valve_ml_s = {(float)s->mitral_ml_s, (float)s->aortic_ml_s, (float)s->tricuspid_ml_s,
                       (float)s->pulmonary_ml_s},
        .septum_mm = (float)model_sizes_septum_mm(s->septum_ml),
        .left_pump_ml_s = (float)s->left_pump_ml_s,
        .right_pump_ml_s = (float)s->right_pump_ml_s,
        .left_occlusion = (float)s->left_occlusion,
        .right_occlusion = (float)s->right_occlusion,
    };
    for (int c = 0; c < HEART_CHAMBER_COUNT; c++) {
        double clot_mmhg = model_heart_clot_mmhg(clots, CHAMBER_OF[c], volume_ml[c], NULL);
        m.volume_ml[c] = (float)volume_ml[c];
        m.push_mmhg[c] = (float)(s->pericardium_mmhg + clot_mmhg - inside_mmhg[c]);
    }
    return m;
}

/* Tick at which systole ends: left ventricular pressure has fallen half the way from its peak. */
static int systole_ticks(const Beat *beat) {
    double low = INFINITY, high = -INFINITY;
    int peak = 0, i;
    for (i = 0; i < beat->ticks; i++) {
        double p = beat->samples[i].lv_mmhg;
        low = fmin(low, p);
        if (p > high) high = p, peak = i;
    }
    double end_mmhg = low + SYSTOLE_ENDS_AT * (high - low);
    for (i = peak; i < beat->ticks && beat->samples[i].lv_mmhg > end_mmhg; i++) {
    }
    return i;
}

static int largest_tick(const Beat *beat) {
    int best = 0;
    for (int i = 1; i < beat->ticks; i++) {
        if (beat->samples[i].lv_ml > beat->samples[best].lv_ml) best = i;
    }
    return best;
}

void ui_feed_loop_beat(Feed *feed, const Beat *beat) {
    HeartLoop *loop = &feed->loop;
    const Trace *trace = sim_session_trace(feed->session);
    HeartConstants clots = clots_of(feed);
    int systole = beat->ventricular ? systole_ticks(beat) : 0;
    int largest = beat->ventricular ? largest_tick(beat) / TICKS_PER_MOMENT : -1;
    int64_t first = (beat->first_tick + TICKS_PER_MOMENT - 1) / TICKS_PER_MOMENT;
    if (loop->end != first) loop->first = first; /* the first beat, or a jump in time */
    bool onset = beat->ventricular;
    for (int64_t n = first;; n++) {
        int i = (int)(n * TICKS_PER_MOMENT - beat->first_tick);
        if (i >= beat->ticks) break;
        HeartMoment m = moment_of(&beat->samples[i], &clots);
        m.ecg_mv = i < trace->ticks ? (float)trace->value[TRACE_ECG][i] : 0.0f;
        m.beating = beat->ventricular;
        m.onset = onset;
        m.systole = i < systole;
        m.diastolic_end = i / TICKS_PER_MOMENT == largest;
        onset = false;
        loop->moment[n % HEART_MOMENTS] = m;
        loop->end = n + 1;
    }
    if (loop->end - loop->first > HEART_MOMENTS) loop->first = loop->end - HEART_MOMENTS;
}

int64_t ui_feed_look(Feed *feed, HeartView *heart, HeartLoop *loop) {
    ui_feed_heart_fill(feed, heart);
    *loop = feed->loop;
    if (loop->end <= loop->first) return -1;
    int64_t at = (int64_t)floor(feed->play_tick / TICKS_PER_MOMENT);
    if (at < loop->first) at = loop->first;
    return at >= loop->end ? loop->end - 1 : at;
}

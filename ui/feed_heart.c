/* The heart picture from the beat under way. */
#include "ui/feed_parts.h"

#include "model/units.h"

#include <math.h>
#include <string.h>

#define AVERAGE_S 6.0 /* flows of the balance are averaged over about a breath and a half */
#define TRUE_TIME_TO_RATE                                                                                    \
    2.0 /* up to this time rate the heart beats in the night's time, above it in real time */
#define USUAL_LOW       0.85 /* usual range of a volume, as a share of the reference; our own choice */
#define USUAL_HIGH      1.15
#define USUAL_SEPTUM_MM 3.0 /* usual shift of the septum from the reference; our own choice */

/* Order of the chambers in CirculationState.clot_ml. */
static const HeartChamberId CLOT_SITE[CIRCULATION_CLOT_SITES] = {HEART_LV, HEART_RV, HEART_LA, HEART_RA};

static void approach(double *average, double value, double share) {
    if (isfinite(value)) *average += share * (value - *average);
}

void ui_feed_heart_beat(Feed *feed, const Beat *beat) {
    const Observables *o = &beat->observables;
    double share = feed->averages_started ? 1.0 - exp(-beat->ticks * BEAT_TICK_S / AVERAGE_S) : 1.0;
    feed->averages_started = true;
    approach(&feed->pump_l_min, o->pump_flow_l_min, share);
    approach(&feed->native_l_min, o->native_flow_l_min, share);
    approach(&feed->right_l_min, o->right_flow_l_min, share);
    approach(&feed->right_pump_l_min, o->right_pump_flow_l_min, share);
    approach(&feed->mitral_leak_l_min, o->mr_l_min, share);
    approach(&feed->tricuspid_leak_l_min, o->tr_l_min, share);
    approach(&feed->aortic_leak_l_min, o->ar_l_min, share);
    approach(&feed->systemic_l_min, o->systemic_flow_l_min, share);
    if (!beat->ventricular) return;
    if (feed->aortic_beats == HEART_BEATS)
        memmove(feed->aortic_open_s, feed->aortic_open_s + 1,
                (HEART_BEATS - 1) * sizeof feed->aortic_open_s[0]);
    else
        feed->aortic_beats++;
    feed->aortic_open_s[feed->aortic_beats - 1] =
        isfinite(o->aortic_valve_open_s) ? o->aortic_valve_open_s : 0.0;
}

int ui_feed_sample_now(const Feed *feed) {
    const Beat *beat = sim_session_beat(feed->session);
    int i = feed->rate <= TRUE_TIME_TO_RATE ? (int)(feed->play_tick - (double)beat->first_tick)
                                            : (int)feed->heart_tick;
    return i < 0 && beat->ticks > 0 ? 0 : i >= beat->ticks ? beat->ticks - 1 : i;
}

void ui_feed_clots(Feed *feed, double clot_ml[HEART_CHAMBER_COUNT]) {
    ui_feed_heart_clots(feed);
    memcpy(clot_ml, feed->clot_ml, sizeof feed->clot_ml);
}

/* The sample on show; NULL before the first beat. */
static const Sample *sample_now(const Feed *feed, const Beat *beat) {
    return beat->ticks <= 0 ? NULL : &beat->samples[ui_feed_sample_now(feed)];
}

void ui_feed_heart_step(Feed *feed, double wall_s) {
    const Beat *beat = sim_session_beat(feed->session);
    const Sample *sample = sample_now(feed, beat);
    if (sample == NULL) return;
    feed->heart_tick += wall_s / BEAT_TICK_S;
    if (feed->heart_tick >= beat->ticks) feed->heart_tick = 0.0;
    feed->left_travel_ml += sample->left_pump_ml_s * wall_s;
    feed->right_travel_ml += sample->right_pump_ml_s * wall_s;
}

void ui_feed_heart_clots(Feed *feed) {
    const Parameters *p = sim_session_parameters(feed->session);
    const double fixed_ml[CIRCULATION_CLOT_SITES] = {p->clot_lv_ml, p->clot_rv_ml, p->clot_la_ml,
                                                     p->clot_ra_ml};
    sim_session_save(feed->session, feed->state);
    for (int i = 0; i < CIRCULATION_CLOT_SITES; i++)
        feed->clot_ml[CLOT_SITE[i]] = fixed_ml[i] + feed->state->patient.state.circulation.clot_ml[i];
}

static void fill_chamber(HeartChamber *chamber, double now_ml, double low_ml, double high_ml,
                         double reference_ml, double clot_ml) {
    *chamber = (HeartChamber){.now_ml = now_ml,
                              .reference_ml = reference_ml,
                              .beat_min_ml = low_ml,
                              .beat_max_ml = high_ml,
                              .usual_low_ml = USUAL_LOW * reference_ml,
                              .usual_high_ml = USUAL_HIGH * reference_ml,
                              .clot_ml = clot_ml};
}

static void fill_chambers(const Feed *feed, const Sample *s, const Observables *o, HeartView *h) {
    const Observables *ref = sim_session_reference(feed->session);
    fill_chamber(&h->chamber[HEART_LV], s->lv_ml, o->lv_esv_ml, o->lv_edv_ml, ref->lv_edv_ml,
                 feed->clot_ml[HEART_LV]);
    fill_chamber(&h->chamber[HEART_RV], s->rv_ml, o->rv_esv_ml, o->rv_edv_ml, ref->rv_edv_ml,
                 feed->clot_ml[HEART_RV]);
    fill_chamber(&h->chamber[HEART_LA], s->la_ml, o->la_min_ml, o->la_max_ml, ref->la_max_ml,
                 feed->clot_ml[HEART_LA]);
    fill_chamber(&h->chamber[HEART_RA], s->ra_ml, o->ra_min_ml, o->ra_max_ml, ref->ra_max_ml,
                 feed->clot_ml[HEART_RA]);
    h->septum_mm = o->septum_mm;
    h->septum_reference_mm = ref->septum_mm;
    h->septum_low_mm = ref->septum_mm - USUAL_SEPTUM_MM;
    h->septum_high_mm = ref->septum_mm + USUAL_SEPTUM_MM;
    double clots_ml = 0.0;
    for (int i = 0; i < HEART_CHAMBER_COUNT; i++)
        clots_ml += feed->clot_ml[i];
    h->pericardial_ml = fmax(o->pericardial_ml - clots_ml, 0.0);
    h->pericardial_reference_ml = ref->pericardial_ml;
}

static double share_of(double part, double whole) {
    return isfinite(part) && whole > 0.05 ? fmin(fmax(part / whole, 0.0), 1.0) : 0.0;
}

static void fill_valves(const Feed *feed, const Sample *s, const Observables *o, HeartView *h) {
    h->valve[HEART_MITRAL] = (HeartValve){s->mitral_open, s->mitral_ml_s, fmax(o->mr_frac, 0.0)};
    h->valve[HEART_TRICUSPID] = (HeartValve){s->tricuspid_open, s->tricuspid_ml_s, fmax(o->tr_frac, 0.0)};
    h->valve[HEART_AORTIC] =
        (HeartValve){s->aortic_open, s->aortic_ml_s,
                     share_of(feed->aortic_leak_l_min, feed->pump_l_min + fmax(feed->native_l_min, 0.0))};
    h->valve[HEART_PULMONARY] = (HeartValve){s->pulmonary_open, s->pulmonary_ml_s, 0.0};
    if (!isfinite(h->valve[HEART_MITRAL].leak_frac)) h->valve[HEART_MITRAL].leak_frac = 0.0;
    if (!isfinite(h->valve[HEART_TRICUSPID].leak_frac)) h->valve[HEART_TRICUSPID].leak_frac = 0.0;
}

static void fill_pumps(const Feed *feed, const Sample *s, HeartView *h) {
    const Parameters *p = sim_session_parameters(feed->session);
    h->left_pump = (HeartPump){.present = p->left_pump_present > 0.5,
                               .running = p->left_pump_powered > 0.5 && p->left_pump_speed_rpm > 0.0,
                               .flow_ml_s = s->left_pump_ml_s,
                               .mean_l_min = feed->pump_l_min,
                               .occlusion_frac = s->left_occlusion,
                               .travel = feed->left_travel_ml,
                               .bore_mm = p->left_pump_bore_mm};
    h->right_pump = (HeartPump){.present = p->right_pump_present > 0.5,
                                .running = p->right_pump_powered > 0.5 && p->right_pump_speed_rpm > 0.0,
                                .inlet_atrium = p->right_pump_inlet < 0.5,
                                .flow_ml_s = s->right_pump_ml_s,
                                .mean_l_min = feed->right_pump_l_min,
                                .occlusion_frac = s->right_occlusion,
                                .travel = feed->right_travel_ml};
}

/* Whether the picture may be shown, and if not, why. */
static void fill_absence(const Feed *feed, HeartView *h) {
    static const HeartAbsence OF[] = {
        [LOOK_NEVER] = HEART_NO_PROBE, [LOOK_NONE] = HEART_ASK,        [LOOK_ASKED] = HEART_COMING,
        [LOOK_SHOWN] = HEART_ASK,      [LOOK_RESTING] = HEART_RESTING, [LOOK_USED_UP] = HEART_USED_UP};
    LookStatus look = sim_session_look(feed->session);
    h->shown = look.picture;
    h->absence = OF[look.phase];
    h->absent_s = look.phase == LOOK_ASKED ? look.ready_s : look.rest_s;
}

void ui_feed_heart_fill(Feed *feed, HeartView *h) {
    const Beat *beat = sim_session_beat(feed->session);
    const Sample *s = sample_now(feed, beat);
    memset(h, 0, sizeof *h);
    if (s == NULL) return;
    const Observables *o = &beat->observables;
    fill_absence(feed, h);
    h->frozen = feed->paused;
    h->time_s = feed->wall_s;
    fill_chambers(feed, s, o, h);
    fill_valves(feed, s, o, h);
    fill_pumps(feed, s, h);
    h->chest_open = sim_session_parameters(feed->session)->chest_open > 0.5;
    h->beats = feed->aortic_beats;
    memcpy(h->aortic_open_s, feed->aortic_open_s, sizeof h->aortic_open_s);
    h->pump_l_min = feed->pump_l_min;
    h->native_l_min = feed->native_l_min;
    h->right_l_min = feed->right_l_min;
    h->mitral_leak_l_min = feed->mitral_leak_l_min;
    h->tricuspid_leak_l_min = feed->tricuspid_leak_l_min;
    h->aortic_leak_l_min = feed->aortic_leak_l_min;
    h->lungs_l_min = feed->right_l_min - feed->pump_l_min - feed->native_l_min;
    h->systemic_l_min = feed->systemic_l_min;
}

void ui_feed_heart_bedside(Feed *feed, HeartView *h) {
    ui_feed_heart_fill(feed, h);
    if (h->shown) {
        feed->past_heart = *h;
        feed->past_known = true;
        feed->past_s = ui_feed_shown_s(feed);
        return;
    }
    HeartAbsence absence = h->absence;
    double absent_s = h->absent_s;
    memset(h, 0, sizeof *h); /* nothing of the heart as it is now */
    if (feed->past_known) *h = feed->past_heart;
    h->shown = false;
    h->absence = absence;
    h->absent_s = absent_s;
    h->past = feed->past_known;
    h->past_s = feed->past_s;
    h->frozen = true;
}

void ui_feed_true_heart(Feed *feed, HeartView *h) {
    ui_feed_heart_fill(feed, h);
    h->shown = sample_now(feed, sim_session_beat(feed->session)) != NULL;
}

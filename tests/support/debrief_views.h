/* An invented night to look back on, without a model: a right heart that fails at 10 min of 90, two calls,
   orders, a prediction, alarms. Its curves are simple functions of time, so that a picture of it changes with
   the drawing only. */
#ifndef TESTS_SUPPORT_DEBRIEF_VIEWS_H
#define TESTS_SUPPORT_DEBRIEF_VIEWS_H

#include "ui/debrief.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char DEBRIEF_CASE[] =
    "evenkeel_case: 1\nid: invented\ntitle: An invented night\ntheme: tests\nlevel: 2\nlength: 90min\nseed: "
    "5\n"
    "summary: The flow falls and the venous pressure rises. Say which it is.\n"
    "handover:\n  who: Nobody.\n  done: Nothing.\n  attached: Lines.\n  objectives: [MAP 65 to 85.]\n"
    "patient:\n  base: supported_axial\n"
    "targets:\n  art_mean_mmhg: [65, 85]\n  cvp_mmhg: [6, 12]\n  pump_flow_l_min: [3.8, 6]\n"
    "truth: {diagnosis: well}\n"
    "timeline:\n  - id: weakens\n    at: 10min\n    do:\n      - truth: {diagnosis: right_failure}\n"
    "objectives:\n  - id: named\n    text: It is named by 35 min.\n    when: call_right > 0.5\n    by: "
    "35min\n"
    "  - id: flow\n    text: Flow above 4 L/min at the end.\n    when: pump_flow_l_min > 4 and time_s > "
    "80min\n"
    "questions:\n  - What did the venous pressure tell you at half past?\n"
    "teaching:\n  - text: A big right ventricle with an empty left one is right-heart failure until shown "
    "otherwise.\n"
    "    source: common practice\n"
    "endings:\n  - id: morning\n    at_length: yes\n    outcome: good\n    text: It is morning.\n";

/* 0 before from_s, 1 after to_s, smooth between. */
static inline double debrief_rise(double time_s, double from_s, double to_s) {
    double x = fmin(fmax((time_s - from_s) / (to_s - from_s), 0.0), 1.0);
    return x * x * (3.0 - 2.0 * x);
}

static inline void debrief_point(RecallPoint *point, double time_s) {
    double ill = debrief_rise(time_s, 700.0, 2400.0) - 0.9 * debrief_rise(time_s, 3300.0, 4500.0);
    memset(point, 0, sizeof *point);
    point->time_s = point->truth.time_s = time_s;
    for (int i = 0; i < DISPLAY_COUNT; i++)
        point->shown[i] = NAN;
    point->shown[DISPLAY_art_mean_mmhg] = round(75.0 - 20.0 * ill);
    point->shown[DISPLAY_cvp_mmhg] = round(9.0 + 9.0 * ill);
    point->shown[DISPLAY_pump_flow_l_min] = 0.1 * round(10.0 * (4.6 - 2.0 * ill));
    point->shown[DISPLAY_svo2_percent] = round(66.0 - 18.0 * ill);
    point->shown[DISPLAY_pump_rpm] = 9000.0;
    point->truth.art_mean_mmhg = 75.0 - 20.0 * ill;
    point->truth.cvp_mmhg = 9.0 + 9.0 * ill;
    point->truth.pump_flow_l_min = point->truth.pump_flow_shown_l_min = 4.6 - 2.0 * ill;
    point->truth.systemic_flow_l_min = 4.7 - 2.0 * ill;
    point->truth.lv_edv_ml = 190.0 - 60.0 * ill;
    point->truth.lv_esv_ml = 160.0 - 60.0 * ill;
    point->truth.rv_edv_ml = 180.0 + 50.0 * ill;
    point->truth.rv_esv_ml = 140.0 + 60.0 * ill;
    point->truth.la_max_ml = 90.0 - 20.0 * ill;
    point->truth.la_min_ml = 70.0 - 20.0 * ill;
    point->truth.ra_max_ml = 90.0 + 30.0 * ill;
    point->truth.ra_min_ml = 70.0 + 30.0 * ill;
    point->truth.septum_mm = 1.0 - 8.0 * ill;
    point->truth.lactate_mmol_l = 1.5 + 1.2 * debrief_rise(time_s, 1500.0, 4000.0);
    point->truth.svo2_frac = 0.66 - 0.18 * ill;
    point->truth.pericardial_ml = 20.0;
}

static inline void debrief_entry(Recall *r, double time_s, LogKind kind, const char *from, const char *text) {
    LogEntry *entry = &r->entry[r->entry_count];
    *entry = (LogEntry){.number = r->entry_count++, .time_s = time_s, .kind = kind};
    snprintf(entry->from, sizeof entry->from, "%s", from);
    snprintf(entry->text, sizeof entry->text, "%s", text);
}

static inline void debrief_call(Recall *r, double time_s, DiagnosisId diagnosis, int percent) {
    Call *call = &r->calls.call[r->calls.kept++];
    *call = (Call){.time_s = time_s,
                   .diagnosis = diagnosis,
                   .kind = sim_diagnoses_row(diagnosis)->kind,
                   .confidence_percent = percent};
    r->calls.count++;
}

static inline void debrief_heart_example(HeartView *view, double ill) {
    DebriefHeart heart = {.time_s = 0.0};
    RecallPoint now, start;
    debrief_point(&start, 0.0);
    debrief_point(&now, 600.0 + 1900.0 * ill);
    heart.now = now.truth;
    heart.start = start.truth;
    heart.parameters = model_parameters_standard();
    heart.parameters.left_pump_present = heart.parameters.left_pump_powered = 1.0;
    heart.parameters.left_pump_speed_rpm = 9000.0;
    ui_debrief_heart_view(&heart, view);
}

/* Fills *state as if the night had been read; same_build false, so that nothing is looked for in a file. */
static inline void debrief_example(DebriefState *state) {
    enum { POINTS = 540, ENTRIES = 40 };
    ErrorList *errors = calloc(1, sizeof *errors);
    Recall *r = calloc(1, sizeof *r);
    memset(state, 0, sizeof *state);
    state->apart = true;
    r->case_file = sim_case_parse(DEBRIEF_CASE, strlen(DEBRIEF_CASE), "invented", errors);
    ck_assert_msg(r->case_file != NULL, "%s", errors->items[0].what);
    free(errors);
    snprintf(r->night.case_title, sizeof r->night.case_title, "%s", r->case_file->title);
    snprintf(r->night.trainee, sizeof r->night.trainee, "Fellow 07");
    snprintf(r->path, sizeof r->path, "invented.night");
    r->night.reached_s = 5400.0;
    r->night.ended = true;
    r->point = calloc(POINTS, sizeof *r->point);
    r->entry = calloc(ENTRIES, sizeof *r->entry);
    for (; r->point_count < POINTS; r->point_count++)
        debrief_point(&r->point[r->point_count], 10.0 * (double)(r->point_count + 1));
    debrief_entry(r, 600.0, LOG_TRUTH, "right_failure", "");
    debrief_entry(r, 1200.0, LOG_ORDER, "trainee", "norepinephrine 0.06mcg/kg/min");
    debrief_entry(r, 1500.0, LOG_LOOK, "trainee", "look four_chamber");
    debrief_entry(r, 1600.0, LOG_ALARM, "art_mean_low_mmhg", "begins: MAP low");
    debrief_entry(r, 1680.0, LOG_PICTURE, "four_chamber", "on show");
    debrief_entry(r, 1740.0, LOG_CALL, "trainee", "call hypovolaemia confidence 70");
    debrief_entry(r, 1860.0, LOG_ORDER, "trainee", "bolus crystalloid 250mL over 10min");
    debrief_entry(r, 2700.0, LOG_CALL, "trainee", "call right_failure confidence 85");
    debrief_entry(r, 3240.0, LOG_ORDER, "trainee", "milrinone 0.375mcg/kg/min");
    debrief_entry(r, 4000.0, LOG_ALARM, "art_mean_low_mmhg", "ends after 2400 s: MAP low");
    debrief_entry(r, 5400.0, LOG_END, "good", "It is morning.");
    debrief_call(r, 1740.0, DIAGNOSIS_hypovolaemia, 70);
    debrief_call(r, 2700.0, DIAGNOSIS_right_failure, 85);
    Prediction *p = &r->predictions.prediction[r->predictions.kept++];
    p->given_s = 1860.0;
    p->order.id = ORDER_crystalloid;
    p->sure = 4;
    p->status = PREDICTION_SEEN;
    p->count = 2;
    p->part[0] = (PredictionPart){
        .quantity = DISPLAY_cvp_mmhg, .said = WAY_UP, .seen = WAY_UP, .known = true, .hit = true};
    p->part[1] = (PredictionPart){
        .quantity = DISPLAY_pump_flow_l_min, .said = WAY_UP, .seen = WAY_DOWN, .known = true, .hit = false};
    state->recall = r;
    state->debrief = calloc(1, sizeof *state->debrief);
    sim_debrief_make(r, state->debrief);
    (void)sim_debrief_notes_put(&state->notes, NOTE_FELT, 0, 0.0, "Everything fell at once.");
    ui_debrief_begin(state);
    debrief_heart_example(&state->heart, 0.6);
    for (int i = 0; i < state->debrief->moment_count; i++)
        debrief_heart_example(&state->turn[i], (double)i / state->debrief->moment_count);
}

#endif

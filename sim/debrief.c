/* Looking back on a recorded night: measuring it. The page is in debrief_page.c, the plot in debrief_plot.c.
 */
#include "sim/debrief.h"

#include "sim/debrief_parts.h"
#include "sim/firstsign.h"
#include "sim/whatif.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define READINGS_FROM_S 3600.0 /* urine, drain and samples have been read by then */

static const double NEVER_S = -1.0;

/* ---- what was wrong ---- */

static void take_bands(Debrief *d) {
    const Recall *r = d->recall;
    bool said = r->case_file->truth_given;
    for (int64_t i = 0; i < r->entry_count; i++)
        said |= r->entry[i].kind == LOG_TRUTH; /* by the instructor, where the case says nothing */
    if (!said) return;
    d->band[0] = (DebriefBand){0.0, r->night.reached_s, r->case_file->truth};
    d->band_count = 1;
    for (int64_t i = 0; i < r->entry_count && d->band_count < DEBRIEF_BANDS_MAX; i++) {
        const LogEntry *entry = &r->entry[i];
        if (entry->kind != LOG_TRUTH) continue;
        DebriefBand *last = &d->band[d->band_count - 1];
        last->to_s = entry->time_s;
        if (last->to_s > last->from_s) last = &d->band[d->band_count++];
        *last =
            (DebriefBand){entry->time_s, r->night.reached_s, {.diagnosis = sim_diagnoses_find(entry->from)}};
        /* what passes for it stands in the case */
        for (int k = 0; k < r->case_file->action_count; k++) {
            const CaseAction *action = &r->case_file->actions[k];
            if (action->kind == CASE_ACTION_TRUTH && action->truth.diagnosis == last->truth.diagnosis)
                last->truth = action->truth;
        }
    }
}

const CaseTruth *sim_debrief_truth_at(const Debrief *d, double time_s) {
    for (int i = d->band_count - 1; i >= 0; i--)
        if (time_s >= d->band[i].from_s) return &d->band[i].truth;
    return NULL;
}

/* ---- what was done ---- */

static bool by_instructor(const LogEntry *entry) {
    return strcmp(entry->from, RECORDS_FROM_INSTRUCTOR) == 0;
}

static bool is_mark(const LogEntry *entry) {
    if (by_instructor(entry)) return true;
    return entry->kind == LOG_ORDER || entry->kind == LOG_CALL || entry->kind == LOG_NOTE ||
           entry->kind == LOG_BOOKMARK || (entry->kind == LOG_LOOK && strcmp(entry->text, "look end") != 0);
}

static void take_marks(Debrief *d) {
    for (int64_t i = 0; i < d->recall->entry_count && d->mark_count < DEBRIEF_MARKS_MAX; i++) {
        const LogEntry *entry = &d->recall->entry[i];
        if (!is_mark(entry)) continue;
        DebriefMark *mark = &d->mark[d->mark_count++];
        *mark = (DebriefMark){.time_s = entry->time_s, .kind = entry->kind};
        snprintf(mark->text, sizeof mark->text, "%s%.*s", by_instructor(entry) ? "instructor: " : "",
                 DEBRIEF_LINE_MAX - 16, entry->text);
    }
}

static void take_alarms(Debrief *d) {
    for (int64_t i = 0; i < d->recall->entry_count; i++) {
        const LogEntry *entry = &d->recall->entry[i];
        if (entry->kind != LOG_ALARM) continue;
        if (strncmp(entry->text, "begins", strlen("begins")) == 0) {
            if (d->alarm_count == DEBRIEF_ALARMS_MAX) return;
            DebriefAlarm *alarm = &d->alarm[d->alarm_count++];
            *alarm = (DebriefAlarm){
                .from_s = entry->time_s, .to_s = d->recall->night.reached_s, .acknowledged_s = NEVER_S};
            snprintf(alarm->key, sizeof alarm->key, "%s", entry->from);
            continue;
        }
        /* of the newest of that key */
        for (int k = d->alarm_count - 1; k >= 0; k--) {
            DebriefAlarm *alarm = &d->alarm[k];
            if (strcmp(alarm->key, entry->from) != 0) continue;
            if (strncmp(entry->text, "ends", strlen("ends")) == 0) alarm->to_s = entry->time_s;
            if (strncmp(entry->text, "acknowledged", strlen("acknowledged")) == 0)
                alarm->acknowledged_s = entry->time_s;
            break;
        }
    }
}

/* ---- targets ---- */

static void take_target(Debrief *d, DisplayId id) {
    const CaseTarget *wanted = &d->recall->case_file->targets[id];
    DebriefTarget target = {.quantity = id, .low = wanted->low, .high = wanted->high};
    int64_t known = 0, inside = 0;
    double farthest = -INFINITY;
    for (int64_t i = 0; i < d->recall->point_count; i++) {
        double value = d->recall->point[i].shown[id];
        if (!isfinite(value)) continue;
        double outside = fmax(wanted->low - value, value - wanted->high);
        known++;
        inside += outside <= 0.0;
        if (outside <= farthest) continue;
        farthest = outside;
        target.worst = value;
        target.worst_s = d->recall->point[i].time_s;
    }
    if (known == 0) return;
    target.inside_frac = (double)inside / (double)known;
    d->target[d->target_count++] = target;
}

/* ---- first signs ---- */

/* One quantity over the night. */
typedef double (*Reader)(const RecallPoint *point, int which);

static double read_shown(const RecallPoint *point, int which) {
    return point->shown[which];
}

static double read_truth(const RecallPoint *point, int which) {
    return model_observables_get(&point->truth, (ObservableId)which);
}

static void add_sign(Debrief *d, Reader read, int which, double least, double least_share, DebriefSign sign) {
    size_t count = (size_t)d->recall->point_count;
    double *time_s = calloc(2 * count + 1, sizeof *time_s), *value = time_s + count;
    if (time_s == NULL || d->sign_count == DEBRIEF_SIGNS_MAX) {
        free(time_s);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        time_s[i] = d->recall->point[i].time_s;
        value[i] = read(&d->recall->point[i], which);
    }
    FirstSign found =
        sim_firstsign_find((SignSeries){time_s, value, count}, d->chain.trouble_s, least, least_share);
    free(time_s);
    if (!found.found) return;
    sign.time_s = found.time_s;
    sign.before = found.before;
    sign.now = found.now;
    sign.after_order = d->chain.answer_s >= 0.0 && d->chain.answer_s < sign.time_s;
    d->sign[d->sign_count++] = sign;
}

static int by_time(const void *a, const void *b) {
    const DebriefSign *x = a, *y = b;
    return (x->time_s > y->time_s) - (x->time_s < y->time_s);
}

static void take_signs(Debrief *d) {
    if (d->chain.trouble_s < 0.0) return;
    for (int id = 0; id < DISPLAY_COUNT; id++) {
        const DisplayRow *row = sim_instruments_display_row((DisplayId)id);
        /* what is read now and then has a usual value only once it has been read */
        bool read = row->window_s > 0.0 || d->chain.trouble_s >= READINGS_FROM_S;
        if (read && sim_firstsign_counts((DisplayId)id))
            add_sign(d, read_shown, id, sim_predictions_least((DisplayId)id), 0.0,
                     (DebriefSign){.label = row->label, .unit = row->unit, .decimals = row->decimals});
    }
    for (int i = 0; i < sim_firstsign_picture_count(); i++) {
        const PictureRow *row = sim_firstsign_picture(i);
        add_sign(d, read_truth, (int)row->observable, row->least, row->least_share,
                 (DebriefSign){.picture = true,
                               .label = row->label,
                               .unit = model_observables_row(row->observable)->unit,
                               .decimals = row->decimals});
    }
    qsort(d->sign, (size_t)d->sign_count, sizeof d->sign[0], by_time);
    if (d->sign_count > 0) d->chain.sign_s = d->sign[0].time_s;
}

/* ---- the chain from trouble to answer ---- */

/* When the case first says that something is wrong, after a time without trouble. */
static double trouble_s(const Debrief *d) {
    for (int i = 0; i < d->band_count; i++)
        if (d->band[i].truth.diagnosis != DIAGNOSIS_well) return d->band[i].from_s;
    return NEVER_S;
}

static void take_calls(Debrief *d) {
    for (int i = 0; i < d->recall->calls.kept; i++) {
        const Call *call = &d->recall->calls.call[i];
        const CaseTruth *truth = sim_debrief_truth_at(d, call->time_s);
        if (truth == NULL) continue;
        d->call_right[i] = sim_session_names(truth, call->diagnosis)   ? 2
                           : sim_session_names_kind(truth, call->kind) ? 1
                                                                       : 0;
        bool first = d->chain.call_s < 0.0 && call->time_s >= d->chain.trouble_s;
        if (d->call_right[i] == 2 && first && d->chain.trouble_s >= 0.0) d->chain.call_s = call->time_s;
    }
}

static void take_chain(Debrief *d) {
    RerunActs acts;
    int number;
    d->chain = (DebriefChain){trouble_s(d), NEVER_S, NEVER_S, NEVER_S, NEVER_S};
    if (d->chain.trouble_s < 0.0) return;
    for (int64_t i = 0; i < d->recall->entry_count && d->chain.look_s < 0.0; i++) {
        const LogEntry *entry = &d->recall->entry[i];
        bool shown = entry->kind == LOG_PICTURE ||
                     (entry->kind == LOG_LOOK && d->recall->case_file->look.probe == LOOK_PROBE_ALWAYS_ON);
        if (shown && entry->time_s >= d->chain.trouble_s) d->chain.look_s = entry->time_s;
    }
    if (sim_whatif_acts(d->recall, &acts) && sim_whatif_treatment(d->recall, &acts, &number, 1) == 1)
        d->chain.answer_s = acts.act[number].time_s;
    sim_rerun_acts_free(&acts);
}

/* ---- predictions, score ---- */

static void take_predictions(Debrief *d) {
    double squares = 0.0;
    for (int i = 0; i < d->recall->predictions.kept; i++) {
        const Prediction *p = &d->recall->predictions.prediction[i];
        for (int k = 0; p->status == PREDICTION_SEEN && k < p->count; k++) {
            if (!p->part[k].known) continue;
            double miss = sim_predictions_chance(p->sure) - (p->part[k].hit ? 1.0 : 0.0);
            squares += miss * miss;
            d->known++;
            d->hits += p->part[k].hit;
        }
    }
    d->brier = d->known > 0 ? squares / d->known : NAN;
}

/* When an objective was met, as the log says it. */
static double met_s(const Recall *r, const char *id) {
    for (int64_t i = 0; i < r->entry_count; i++) {
        const LogEntry *entry = &r->entry[i];
        if (entry->kind == LOG_OBJECTIVE && strcmp(entry->from, id) == 0) return entry->time_s;
    }
    return NEVER_S;
}

/* Measures the rubric again from what was kept of a night that this build cannot play. Settings and deeds are
   not kept: what compares them is judged by the start of the case. */
static void measure_again(const Debrief *d, ScoreState *score) {
    const Recall *r = d->recall;
    const CaseTruth well = {.diagnosis = DIAGNOSIS_well};
    int call = 0;
    sim_score_start(score);
    for (int64_t i = 0; i < r->point_count; i++) {
        const RecallPoint *point = &r->point[i];
        const CaseTruth *truth = sim_debrief_truth_at(d, point->time_s);
        Display display = {{0}, {0}, {0}};
        for (int id = 0; id < DISPLAY_COUNT; id++) {
            display.valid[id] = isfinite(point->shown[id]);
            if (display.valid[id]) display.value[id] = point->shown[id];
        }
        const ConditionInputs inputs = {&point->truth, &display, &r->case_file->patient.parameters, NULL};
        sim_score_advance(score, r->case_file, &inputs, truth != NULL ? truth : &well, RECORDS_HISTORY_STEP_S,
                          point->time_s);
        for (; call < r->calls.kept && r->calls.call[call].time_s <= point->time_s; call++)
            sim_score_call(score, truth != NULL ? truth : &well, r->calls.call[call].diagnosis,
                           r->calls.call[call].kind, r->calls.call[call].time_s);
    }
}

/* How the night ended, as the log says it. */
static CaseOutcome outcome_of(const Recall *r, bool *ended) {
    *ended = false;
    for (int64_t i = 0; i < r->entry_count; i++) {
        if (r->entry[i].kind != LOG_END) continue;
        *ended = true;
        for (int k = 0; k < CASE_OUTCOME_COUNT; k++)
            if (strcmp(r->entry[i].from, sim_case_outcome_word((CaseOutcome)k)) == 0) return (CaseOutcome)k;
    }
    return CASE_OUTCOME_NONE;
}

static void take_score(Debrief *d) {
    const Recall *r = d->recall;
    ScoreState again;
    double objective_met_s[CASE_OBJECTIVES_MAX];
    ScoreView view = {.score = &r->score, .objective_met_s = objective_met_s, .time_s = r->night.reached_s};
    view.outcome = outcome_of(r, &view.ended);
    for (int i = 0; i < r->case_file->objective_count; i++)
        objective_met_s[i] = met_s(r, r->case_file->objectives[i].id);
    d->score_from_record = !r->same_build;
    if (d->score_from_record) {
        measure_again(d, &again);
        view.score = &again;
    }
    d->line_count = sim_score_tell(r->case_file, &view, d->line);
    d->total = sim_score_total(d->line, d->line_count);
}

void sim_debrief_make(const Recall *recall, Debrief *debrief) {
    memset(debrief, 0, sizeof *debrief);
    debrief->recall = recall;
    take_bands(debrief);
    take_marks(debrief);
    take_alarms(debrief);
    for (int id = 0; id < DISPLAY_COUNT; id++)
        if (recall->case_file->targets[id].given) take_target(debrief, (DisplayId)id);
    take_chain(debrief);
    take_signs(debrief);
    take_calls(debrief);
    take_predictions(debrief);
    take_score(debrief);
    sim_debrief_find_moments(debrief);
    sim_debrief_find_well(debrief);
    sim_debrief_ask(debrief);
}

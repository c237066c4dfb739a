/* The rubric: measuring while the night plays. What the lines say is in score_lines.c. */
#include "sim/score.h"

#include "sim/session.h"

#include <math.h>
#include <string.h>

#define NOT_YET        (-1.0)
#define TIME_LONGEST_S 1e7 /* no night is longer */

void sim_score_start(ScoreState *state) {
    memset(state, 0, sizeof *state);
    state->present = -1;
    state->diagnosis = DIAGNOSIS_well;
}

void sim_score_standard(Case *case_file) {
    if (case_file->score_count > 0) return;
    for (int i = 0; i < case_file->objective_count; i++) {
        CaseScore *row = &case_file->score[case_file->score_count++];
        *row = (CaseScore){.kind = CASE_SCORE_OBJECTIVE, .objective = i, .points = SCORE_OBJECTIVE_POINTS};
        memcpy(row->objective_id, case_file->objectives[i].id, sizeof row->objective_id);
    }
    case_file->score[case_file->score_count++] =
        (CaseScore){.kind = CASE_SCORE_ENDING, .outcome = CASE_OUTCOME_GOOD, .points = SCORE_ENDING_POINTS};
}

/* Opens a trouble when what is wrong changes; a call made in an earlier one may already name it. */
static void follow_truth(ScoreState *state, const CaseTruth *truth, double time_s) {
    if (truth->diagnosis == state->diagnosis) return;
    bool was_well = state->diagnosis == DIAGNOSIS_well;
    state->diagnosis = truth->diagnosis;
    state->present = -1;
    if (was_well) state->called = false;
    if (truth->diagnosis == DIAGNOSIS_well || state->trouble_count == SCORE_TROUBLES_MAX) return;
    state->present = state->trouble_count++;
    state->trouble[state->present] = (ScoreTrouble){
        .diagnosis = truth->diagnosis, .from_s = time_s, .right_s = NOT_YET, .kind_s = NOT_YET};
    if (state->called) sim_score_call(state, truth, state->last, state->last_kind, time_s);
}

void sim_score_call(ScoreState *state, const CaseTruth *truth, DiagnosisId diagnosis, ProblemKind kind,
                    double time_s) {
    state->called = true;
    state->last = diagnosis;
    state->last_kind = kind;
    if (truth->diagnosis == DIAGNOSIS_well) {
        state->false_calls += !sim_session_names(truth, diagnosis);
        return;
    }
    if (state->present < 0) return;
    ScoreTrouble *trouble = &state->trouble[state->present];
    bool right = sim_session_names(truth, diagnosis);
    if (right && trouble->right_s < 0) trouble->right_s = time_s;
    if ((right || sim_session_names_kind(truth, kind)) && trouble->kind_s < 0) trouble->kind_s = time_s;
}

void sim_score_prediction(ScoreState *state, const Prediction *prediction) {
    if (prediction->status != PREDICTION_SEEN) return;
    for (int i = 0; i < prediction->count; i++) {
        const PredictionPart *part = &prediction->part[i];
        if (!part->known) continue;
        double miss = sim_predictions_chance(prediction->sure) - (part->hit ? 1.0 : 0.0);
        state->brier_sum += miss * miss;
        state->parts++;
        state->hits += part->hit;
    }
}

void sim_score_advance(ScoreState *state, const Case *case_file, const ConditionInputs *inputs,
                       const CaseTruth *truth, double dt_s, double time_s) {
    follow_truth(state, truth, time_s);
    for (int i = 0; i < case_file->score_count; i++) {
        const CaseScore *row = &case_file->score[i];
        if (row->kind == CASE_SCORE_INSIDE && inputs->display->valid[row->inside]) {
            double value = inputs->display->value[row->inside];
            const CaseTarget *target = &case_file->targets[row->inside];
            state->known_s[i] += dt_s;
            if (value >= target->low && value <= target->high) state->held_s[i] += dt_s;
        } else if (row->kind == CASE_SCORE_MINUS) {
            bool holds = sim_condition_holds(&row->when, inputs);
            state->times[i] += holds && !state->holds[i];
            state->holds[i] = holds;
            if (holds) state->held_s[i] += dt_s;
        }
    }
}

int sim_score_lines(const Session *session, ScoreLine lines[SCORE_LINES_MAX]) {
    const ScoreView view = {.score = sim_session_score(session),
                            .objective_met_s = sim_session_script(session)->objective_met_s,
                            .outcome = sim_session_outcome(session),
                            .ended = sim_session_ended(session),
                            .time_s = sim_session_time_s(session)};
    return sim_score_tell(sim_session_case(session), &view, lines);
}

static bool time_sound(double time_s) {
    return isfinite(time_s) && fabs(time_s) <= TIME_LONGEST_S;
}

static bool diagnosis_sound(DiagnosisId id) {
    return (int)id >= 0 && (int)id < DIAGNOSIS_COUNT;
}

static bool bool_sound(const bool *value) {
    unsigned char byte; /* a bool read from outside may hold any */
    memcpy(&byte, value, 1);
    return byte <= 1;
}

bool sim_score_state_sound(const ScoreState *state) {
    for (int i = 0; i < CASE_SCORE_MAX; i++) {
        if (!time_sound(state->known_s[i]) || !time_sound(state->held_s[i]) || state->times[i] < 0 ||
            !bool_sound(&state->holds[i]))
            return false;
    }
    if (state->trouble_count < 0 || state->trouble_count > SCORE_TROUBLES_MAX || state->present < -1 ||
        state->present >= state->trouble_count)
        return false;
    for (int i = 0; i < state->trouble_count; i++) {
        const ScoreTrouble *trouble = &state->trouble[i];
        if (!diagnosis_sound(trouble->diagnosis) || !time_sound(trouble->from_s) ||
            !time_sound(trouble->right_s) || !time_sound(trouble->kind_s))
            return false;
    }
    return bool_sound(&state->called) && diagnosis_sound(state->diagnosis) && diagnosis_sound(state->last) &&
           (int)state->last_kind >= 0 && (int)state->last_kind < PROBLEM_COUNT && state->false_calls >= 0 &&
           state->parts >= 0 && state->hits >= 0 && state->hits <= state->parts &&
           isfinite(state->brier_sum) && state->brier_sum >= 0;
}

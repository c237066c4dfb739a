/* Plays a case with given acts in memory and keeps its course. */
#include "sim/rerun.h"

#include "sim/journal_parts.h"
#include "sim/means.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ACTS_FIRST = 64, POINTS_FIRST = 256, WATCH_EVERY_BEATS = 64 };

static const double HALF_TICK_S = BEAT_TICK_S / 2.0, MINUTE_S = 60.0;

/* How an outcome is made from a course. */
typedef enum OutcomeHow { LOWEST, HIGHEST, LAST, MEAN, BELOW, ABOVE } OutcomeHow;

typedef struct OutcomeRule {
    OutcomeHow how;
    ObservableId observable;
    double limit;
} OutcomeRule;

static const RerunOutcomeRow ROWS[OUTCOME_COUNT] = {
#define OUTCOME(key, label, unit, decimals, how, observable, limit)                                          \
    {#key, label, unit, decimals, how == HIGHEST || how == BELOW || how == ABOVE},
#include "sim/outcomes.def"
#undef OUTCOME
};

static const OutcomeRule RULES[OUTCOME_COUNT] = {
#define OUTCOME(key, label, unit, decimals, how, observable, limit) {how, OBSERVABLE_##observable, limit},
#include "sim/outcomes.def"
#undef OUTCOME
};

const RerunOutcomeRow *sim_rerun_outcome_row(RerunOutcome id) {
    return &ROWS[id];
}

/* ---- acts ---- */

/* Puts `act` behind those of the same time; there is room. */
static void insert(RerunActs *acts, const RerunAct *act) {
    int place = acts->count;
    for (; place > 0 && acts->act[place - 1].time_s > act->time_s; place--)
        acts->act[place] = acts->act[place - 1];
    acts->act[place] = *act;
    acts->count++;
}

bool sim_rerun_acts_add(RerunActs *acts, double time_s, LogKind kind, const char *words) {
    if (acts->count == acts->room) {
        int room = acts->room > 0 ? 2 * acts->room : ACTS_FIRST;
        RerunAct *grown = realloc(acts->act, (size_t)room * sizeof *grown);
        if (grown == NULL) return false;
        acts->act = grown;
        acts->room = room;
    }
    RerunAct act = {.time_s = time_s, .kind = kind};
    snprintf(act.words, sizeof act.words, "%s", words);
    insert(acts, &act);
    return true;
}

void sim_rerun_acts_free(RerunActs *acts) {
    free(acts->act);
    *acts = (RerunActs){.count = 0};
}

/* ---- a course ---- */

static ErrorCode no_memory(Error *error) {
    return model_error_set(error, ERROR_MEMORY, "no memory for the course of a night");
}

static ErrorCode add_observation(RerunCourse *course, const RecallPoint *point, Error *error) {
    if (course->observed == course->room) {
        int64_t room = course->room > 0 ? 2 * course->room : POINTS_FIRST;
        RecallPoint *grown = realloc(course->point, (size_t)room * sizeof *grown);
        if (grown == NULL) return no_memory(error);
        course->point = grown;
        course->room = room;
    }
    course->point[course->observed++] = *point;
    return ERROR_OK;
}

/* The means of the steps, from the observations: the first of all stands at the very beginning, the others at
   the ends of their 10 s. */
static ErrorCode take_means(RerunCourse *course, Error *error) {
    int64_t each = (int64_t)(RERUN_STEP_S / RECORDS_HISTORY_STEP_S), last = course->observed - 1;
    course->points = course->observed == 0 ? 0 : last == 0 ? 1 : (int)((last + each - 1) / each);
    course->mean = calloc((size_t)course->points + 1, sizeof *course->mean);
    if (course->mean == NULL) return no_memory(error);
    for (int i = 0; i < course->points; i++) {
        int64_t first = i == 0 ? 0 : i * each + 1, end = (i + 1) * each < last ? (i + 1) * each : last;
        Means means;
        sim_means_clear(&means);
        for (int64_t k = first; k <= end; k++)
            sim_means_take(&means, &course->point[k].truth, RECORDS_HISTORY_STEP_S);
        course->mean[i] = sim_means_read(&means);
        course->mean[i].time_s = course->point[end].time_s;
    }
    return ERROR_OK;
}

/* Length of point `i`, s: the last one may be shorter. */
static double length_s(const RerunCourse *course, int i) {
    return course->mean[i].time_s - (i > 0 ? course->mean[i - 1].time_s : 0.0);
}

static double measure(const RerunCourse *course, const OutcomeRule *rule) {
    double found = NAN, minutes = 0.0, sum = 0.0, weight = 0.0;
    for (int i = 0; i < course->points; i++) {
        double value = model_observables_get(&course->mean[i], rule->observable);
        if (!isfinite(value)) continue;
        bool beyond = rule->how == BELOW ? value < rule->limit : value > rule->limit;
        sum += value * length_s(course, i);
        weight += length_s(course, i);
        if (beyond) minutes += length_s(course, i) / MINUTE_S;
        if (isnan(found) || rule->how == LAST || (rule->how == LOWEST && value < found) ||
            (rule->how == HIGHEST && value > found))
            found = value;
    }
    if (rule->how == MEAN) return weight > 0.0 ? sum / weight : NAN;
    return rule->how == BELOW || rule->how == ABOVE ? minutes : found;
}

/* One rerun under way. */
typedef struct Rerun {
    Session *session;
    const RerunActs *acts;
    int next;
    RerunCourse *course;
    double begun_s, next_point_s;
} Rerun;

/* Says every act whose time has come. */
static void say_due(Rerun *rerun) {
    while (rerun->next < rerun->acts->count &&
           rerun->acts->act[rerun->next].time_s <= sim_session_time_s(rerun->session) + HALF_TICK_S) {
        const char *words = rerun->acts->act[rerun->next++].words;
        Error error;
        model_error_clear(&error);
        if (sim_session_say_as(rerun->session, SESSION_VOICE_PLAN, words, &error) == ERROR_OK) continue;
        if (rerun->course->refused++ == 0)
            snprintf(rerun->course->refusal, sizeof rerun->course->refusal, "%.100s: %.120s", words,
                     error.what);
    }
}

/* What a journal takes down at such a moment. */
static ErrorCode observe(Rerun *rerun, Error *error) {
    const Display *display = sim_session_display(rerun->session);
    RecallPoint point = {.time_s = sim_session_time_s(rerun->session),
                         .truth = sim_session_beat(rerun->session)->observables};
    for (int i = 0; i < DISPLAY_COUNT; i++)
        point.shown[i] = display->valid[i] ? display->value[i] : NAN;
    rerun->next_point_s = sim_journal_next_s(point.time_s, RECORDS_HISTORY_STEP_S);
    return add_observation(rerun->course, &point, error);
}

static ErrorCode play(Rerun *rerun, double until_s, RerunWatch watch, void *context, Error *error) {
    Session *session = rerun->session;
    ErrorCode code = ERROR_OK;
    double whole_s = fmax(until_s - rerun->begun_s, RECORDS_HISTORY_STEP_S);
    for (int64_t beat = 0; code == ERROR_OK && !sim_session_ended(session) &&
                           sim_session_time_s(session) < until_s - HALF_TICK_S;
         beat++) {
        if (watch != NULL && beat % WATCH_EVERY_BEATS == 0 &&
            watch(context, (sim_session_time_s(session) - rerun->begun_s) / whole_s))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        say_due(rerun);
        code = sim_session_advance(session, error);
        if (code == ERROR_OK && sim_session_time_s(session) >= rerun->next_point_s)
            code = observe(rerun, error);
    }
    return code;
}

/* Measures what has been observed. */
static ErrorCode finish(RerunCourse *course, Error *error) {
    ErrorCode code = take_means(course, error);
    for (int i = 0; i < OUTCOME_COUNT; i++)
        course->outcome[i] = measure(course, &RULES[i]);
    return code;
}

/* Plays on from where the session stands; closes it. */
static ErrorCode play_on(Rerun *rerun, double until_s, RerunWatch watch, void *context, Error *error) {
    RerunCourse *course = rerun->course;
    course->from_s = rerun->begun_s = sim_session_time_s(rerun->session);
    rerun->next_point_s =
        course->observed > 0 ? sim_journal_next_s(rerun->begun_s, RECORDS_HISTORY_STEP_S) : 0.0;
    ErrorCode code = play(rerun, until_s, watch, context, error);
    course->reached_s = sim_session_time_s(rerun->session);
    course->ended = sim_session_ended(rerun->session);
    course->end = sim_session_outcome(rerun->session);
    if (course->ended)
        snprintf(course->end_text, sizeof course->end_text, "%s", sim_session_end_text(rerun->session));
    sim_session_close(rerun->session);
    return code == ERROR_OK ? finish(course, error) : code;
}

ErrorCode sim_rerun_play(const Case *case_file, const SessionOptions *options, const RerunActs *acts,
                         double until_s, RerunWatch watch, void *context, RerunCourse *course, Error *error) {
    *course = (RerunCourse){.points = 0};
    Rerun rerun = {.acts = acts, .course = course};
    rerun.session = sim_session_open(case_file, options, error);
    if (rerun.session == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
    return play_on(&rerun, until_s, watch, context, error);
}

/* Copies what was observed before until_s, and at its end where `with_end`: the first one at or after it. */
static ErrorCode copy_record(const Recall *recall, double until_s, bool with_end, RerunCourse *course,
                             Error *error) {
    ErrorCode code = ERROR_OK;
    bool ended = false;
    for (int64_t i = 0; code == ERROR_OK && !ended && i < recall->point_count; i++) {
        double after_s = recall->point[i].time_s - until_s;
        ended = after_s > HALF_TICK_S || (with_end && after_s > -HALF_TICK_S);
        if (!ended || with_end) code = add_observation(course, &recall->point[i], error);
    }
    return code;
}

ErrorCode sim_rerun_recorded(const Recall *recall, double until_s, RerunCourse *course, Error *error) {
    *course = (RerunCourse){.reached_s = fmin(until_s, recall->night.reached_s)};
    course->from_s = course->reached_s;
    for (int64_t i = 0; i < recall->entry_count; i++) {
        const LogEntry *entry = &recall->entry[i];
        if (entry->kind != LOG_END || entry->time_s > until_s + HALF_TICK_S) continue;
        course->ended = true;
        for (int end = 0; end < CASE_OUTCOME_COUNT; end++) {
            if (strcmp(entry->from, sim_case_outcome_word((CaseOutcome)end)) == 0)
                course->end = (CaseOutcome)end;
        }
        snprintf(course->end_text, sizeof course->end_text, "%.*s", CASE_TEXT_MAX - 1, entry->text);
    }
    ErrorCode code = copy_record(recall, until_s, true, course, error);
    return code == ERROR_OK ? finish(course, error) : code;
}

ErrorCode sim_rerun_branch(const Recall *recall, const SessionState *state, const RerunActs *acts, int first,
                           double until_s, RerunWatch watch, void *context, RerunCourse *course,
                           Error *error) {
    *course = (RerunCourse){.points = 0};
    Rerun rerun = {.acts = acts, .next = first, .course = course};
    rerun.session = sim_session_open(recall->case_file, &recall->options, error);
    if (rerun.session == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
    ErrorCode code = sim_session_restore(rerun.session, state, error);
    if (code == ERROR_OK) code = copy_record(recall, state->time_s, false, course, error);
    if (code == ERROR_OK) return play_on(&rerun, until_s, watch, context, error);
    sim_session_close(rerun.session);
    return code;
}

void sim_rerun_course_free(RerunCourse *course) {
    free(course->mean);
    free(course->point);
    course->mean = NULL;
    course->point = NULL;
    course->observed = course->room = 0;
    course->points = 0;
}

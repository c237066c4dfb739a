/* Plays a case with given acts in memory and keeps its course. */
#include "sim/rerun.h"

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

static ErrorCode add_point(RerunCourse *course, const Observables *mean, Error *error) {
    if (course->points == course->room) {
        int room = course->room > 0 ? 2 * course->room : POINTS_FIRST;
        Observables *grown = realloc(course->mean, (size_t)room * sizeof *grown);
        if (grown == NULL) return no_memory(error);
        course->mean = grown;
        course->room = room;
    }
    course->mean[course->points++] = *mean;
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
    Means means;
    double next_point_s;
} Rerun;

/* Says every act whose time has come. */
static void say_due(Rerun *rerun) {
    while (rerun->next < rerun->acts->count &&
           rerun->acts->act[rerun->next].time_s <= sim_session_time_s(rerun->session) + HALF_TICK_S) {
        const char *words = rerun->acts->act[rerun->next++].words;
        Error error;
        model_error_clear(&error);
        if (sim_session_say(rerun->session, words, &error) == ERROR_OK) continue;
        if (rerun->course->refused++ == 0)
            snprintf(rerun->course->refusal, sizeof rerun->course->refusal, "%.100s: %.120s", words,
                     error.what);
    }
}

static ErrorCode end_point(Rerun *rerun, Error *error) {
    Observables mean = sim_means_read(&rerun->means);
    mean.time_s = sim_session_time_s(rerun->session);
    sim_means_clear(&rerun->means);
    rerun->next_point_s += RERUN_STEP_S;
    return add_point(rerun->course, &mean, error);
}

static ErrorCode play(Rerun *rerun, double until_s, RerunWatch watch, void *context, Error *error) {
    Session *session = rerun->session;
    ErrorCode code = ERROR_OK;
    for (int64_t beat = 0; code == ERROR_OK && !sim_session_ended(session) &&
                           sim_session_time_s(session) < until_s - HALF_TICK_S;
         beat++) {
        if (watch != NULL && beat % WATCH_EVERY_BEATS == 0 &&
            watch(context, sim_session_time_s(session) / until_s))
            return model_error_set(error, ERROR_NOT_ALLOWED, "given up on request");
        say_due(rerun);
        code = sim_session_advance(session, error);
        if (code != ERROR_OK) break;
        sim_means_add(&rerun->means, sim_session_beat(session));
        if (sim_session_time_s(session) >= rerun->next_point_s - HALF_TICK_S) code = end_point(rerun, error);
    }
    if (code == ERROR_OK && rerun->means.time_s > HALF_TICK_S) code = end_point(rerun, error);
    return code;
}

ErrorCode sim_rerun_play(const Case *case_file, const SessionOptions *options, const RerunActs *acts,
                         double until_s, RerunWatch watch, void *context, RerunCourse *course, Error *error) {
    *course = (RerunCourse){.points = 0};
    Rerun rerun = {.acts = acts, .course = course, .next_point_s = RERUN_STEP_S};
    sim_means_clear(&rerun.means);
    rerun.session = sim_session_open(case_file, options, error);
    if (rerun.session == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
    ErrorCode code = play(&rerun, until_s, watch, context, error);
    course->reached_s = sim_session_time_s(rerun.session);
    course->ended = sim_session_ended(rerun.session);
    course->end = sim_session_outcome(rerun.session);
    if (course->ended)
        snprintf(course->end_text, sizeof course->end_text, "%s", sim_session_end_text(rerun.session));
    for (int i = 0; i < OUTCOME_COUNT; i++)
        course->outcome[i] = measure(course, &RULES[i]);
    sim_session_close(rerun.session);
    return code;
}

void sim_rerun_course_free(RerunCourse *course) {
    free(course->mean);
    course->mean = NULL;
    course->points = course->room = 0;
}

/* A rehearsal: the courses of a case, and the same in varied patients. */
#include "sim/rehearse.h"

#include "sim/alike.h"
#include "sim/rehearse_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define VARIED_WIDTH 0.5 /* of the spread between people: patients like this one; design */

enum { VARIED_SEED = 50 };

static const double LOW_SHARE = 0.05, MID_SHARE = 0.5, HIGH_SHARE = 0.95;

static CrewTask task_of(const Rehearsal *r, int jobs, CrewJob job, void *context) {
    return (CrewTask){.jobs = jobs,
                      .threads = r->options.threads,
                      .job = job,
                      .context = context,
                      .watch = r->options.watch,
                      .watch_context = r->options.watch_context};
}

bool sim_rehearse_plan_acts(const Case *case_file, int index, RerunActs *acts) {
    const CasePlan *plan = &case_file->plans[index];
    for (int i = 0; i < plan->step_count; i++) {
        const CaseStep *step = &case_file->steps[plan->first_step + i];
        if (!sim_rerun_acts_add(acts, step->time_s, LOG_ORDER, step->text)) return false;
    }
    return true;
}

Rehearsal *sim_rehearse_begin(const Case *case_file, const RehearseOptions *options, Error *error) {
    Rehearsal *r = calloc(1, sizeof *r);
    if (r == NULL) {
        (void)model_error_set(error, ERROR_MEMORY, "no memory for a rehearsal");
        return NULL;
    }
    r->case_file = case_file;
    r->options = *options;
    r->course_count = 1 + case_file->plan_count;
    r->course[0] = (RehearseCourse){.name = "untouched", .rank = CASE_RANK_COUNT};
    for (int i = 0; i < case_file->plan_count; i++) {
        r->course[i + 1].rank = case_file->plans[i].rank;
        memcpy(r->course[i + 1].name, case_file->plans[i].id, sizeof r->course[i + 1].name);
        if (sim_rehearse_plan_acts(case_file, i, &r->acts[i + 1])) continue;
        (void)model_error_set(error, ERROR_MEMORY, "no memory for the plans");
        sim_rehearse_free(r);
        return NULL;
    }
    return r;
}

/* ---- the case's own patient ---- */

static ErrorCode play_course(void *context, int index, CrewSeat *seat, Error *error) {
    Rehearsal *r = context;
    const RehearsePlay play = {.case_file = r->case_file,
                               .options = &r->options.session,
                               .acts = &r->acts[index],
                               .until_s = r->case_file->length_s};
    return sim_rehearse_play(&play, seat, &r->course[index], error);
}

ErrorCode sim_rehearse_courses(Rehearsal *r, Error *error) {
    const CrewTask task = task_of(r, r->course_count, play_course, r);
    return sim_crew_run(&task, error);
}

ErrorCode sim_rehearse_alike(Rehearsal *r, Error *error) {
    if (r->options.alike <= 0) return ERROR_OK;
    return sim_alike_measure(r->case_file, &r->options, &r->course[0], &r->alike, error);
}

void sim_rehearse_print_alike(const Rehearsal *r, FILE *out) {
    if (r->alike != NULL) sim_alike_print(r->alike, out);
}

/* ---- varied patients ---- */

/* One of the ranges, for the threads. */
typedef struct Varying {
    const Rehearsal *rehearsal;
    RehearseRange *range;
    const RerunActs *acts;
} Varying;

static ErrorCode play_varied(void *context, int index, CrewSeat *seat, Error *error) {
    const Varying *v = context;
    const Rehearsal *r = v->rehearsal;
    Case *person;
    Session *session;
    /* person 0 is the case's own */
    ErrorCode code = sim_rehearse_person(r->case_file, &r->options.session, VARIED_SEED, index + 1,
                                         VARIED_WIDTH, &person, &session, error);
    if (code == ERROR_OK) {
        const RehearsePlay play = {.case_file = person, .acts = v->acts, .until_s = r->case_file->length_s};
        code = sim_rehearse_play_session(&play, session, seat, &v->range->course[index], error);
    }
    /* the lines of so many scores are of no use */
    free(v->range->course[index].line);
    v->range->course[index].line = NULL;
    v->range->course[index].line_count = 0;
    sim_session_close(session);
    free(person);
    return sim_rehearse_unplayable(code) ? ERROR_OK : code;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void summarise(RehearseRange *range) {
    double value[REHEARSE_PATIENTS_MAX];
    for (int i = 0; i < range->wanted; i++) {
        if (!range->course[i].played) continue;
        range->played++;
        range->ends[range->course[i].facts.end]++;
    }
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        int count = 0;
        for (int i = 0; i < range->wanted; i++) {
            double one =
                range->course[i].played ? sim_rehearse_fact(&range->course[i].facts, (RehearseFact)k) : NAN;
            if (isfinite(one)) value[count++] = one;
        }
        range->known[k] = count;
        range->low[k] = range->mid[k] = range->high[k] = NAN;
        if (count == 0) continue;
        qsort(value, (size_t)count, sizeof value[0], by_size);
        range->low[k] = value[lround(LOW_SHARE * (count - 1))];
        range->mid[k] = value[lround(MID_SHARE * (count - 1))];
        range->high[k] = value[lround(HIGH_SHARE * (count - 1))];
    }
}

static ErrorCode vary(Rehearsal *r, int course, Error *error) {
    RehearseRange *range = &r->range[r->range_count];
    *range = (RehearseRange){.rank = r->course[course].rank, .wanted = r->options.patients};
    memcpy(range->name, r->course[course].name, sizeof range->name);
    range->course = calloc((size_t)range->wanted, sizeof *range->course);
    if (range->course == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for varied patients");
    r->range_count++;
    Varying varying = {r, range, &r->acts[course]};
    const CrewTask task = task_of(r, range->wanted, play_varied, &varying);
    ErrorCode code = sim_crew_run(&task, error);
    if (code != ERROR_OK) return code;
    summarise(range);
    if (range->played == 0)
        return model_error_set(error, ERROR_SOLVER, "none of the varied patients could be played");
    return ERROR_OK;
}

ErrorCode sim_rehearse_vary(Rehearsal *r, Error *error) {
    if (r->options.patients <= 0) return ERROR_OK;
    ErrorCode code = vary(r, 0, error);
    for (int i = 1; code == ERROR_OK && i < r->course_count; i++) {
        if (r->course[i].rank == CASE_RANK_GOOD) return vary(r, i, error);
    }
    return code;
}

void sim_rehearse_free(Rehearsal *r) {
    if (r == NULL) return;
    for (int i = 0; i < REHEARSE_COURSES_MAX; i++) {
        sim_rehearse_course_free(&r->course[i]);
        sim_rerun_acts_free(&r->acts[i]);
    }
    for (int k = 0; k < r->range_count; k++) {
        for (int i = 0; r->range[k].course != NULL && i < r->range[k].wanted; i++)
            sim_rehearse_course_free(&r->range[k].course[i]);
        free(r->range[k].course);
    }
    sim_alike_free(r->alike);
    free(r);
}

/* A shard of a cohort: its nights played, a row each. */
#include "sim/cohort.h"

#include "sim/build_id.h"
#include "sim/cohort_parts.h"
#include "sim/csv.h"
#include "sim/digest.h"
#include "sim/rehearse_parts.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COHORT_WIDTH 0.5 /* of the spread between people, as in a rehearsal; design */

static const char *const COLUMNS[] = {"night",  "nights", "build",   "cohort", "case",
                                      "course", "rank",   "patient", "outcome"};

static int courses_of(const Cohort *cohort, const Case *case_file) {
    return cohort->plans ? 1 + case_file->plan_count : 1;
}

long sim_cohort_nights(const Cohort *cohort) {
    long nights = 0;
    for (int i = 0; i < cohort->case_count; i++)
        nights += (long)courses_of(cohort, cohort->cases[i]) * cohort->patients;
    return nights;
}

/* Which night a number is. */
typedef struct Night {
    const Case *case_file;
    int course; /* 0 untouched, else plan course - 1 */
    int patient;
} Night;

static Night find_night(const Cohort *cohort, long number) {
    for (int i = 0; i < cohort->case_count; i++) {
        const Case *case_file = cohort->cases[i];
        long here = (long)courses_of(cohort, case_file) * cohort->patients;
        if (number < here)
            return (Night){case_file, (int)(number / cohort->patients), (int)(number % cohort->patients)};
        number -= here;
    }
    return (Night){0};
}

/* What decides the rows: cases, courses, patients, seed. */
static void fingerprint(const Cohort *cohort, char hex[DIGEST_HEX_MAX]) {
    char text[CASE_ID_MAX + 64];
    Digest digest;
    sim_digest_begin(&digest);
    for (int i = 0; i < cohort->case_count; i++) {
        const Case *c = cohort->cases[i];
        int length = snprintf(text, sizeof text, "%s %016" PRIx64 "\n", c->id, c->file_hash);
        sim_digest_add(&digest, text, (size_t)length);
    }
    int length = snprintf(text, sizeof text, "%d %d %" PRIu64, cohort->patients, cohort->plans, cohort->seed);
    sim_digest_add(&digest, text, (size_t)length);
    sim_digest_end(&digest, hex);
    hex[COHORT_HEX] = '\0';
}

/* The nights of one shard under way. */
typedef struct Playing {
    const Cohort *cohort;
    long nights;
    char cohort_hex[DIGEST_HEX_MAX];
    char **row; /* [own nights] */
} Playing;

static char *make_row(const Playing *p, long number, const Night *night, const RehearseCourse *course) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    if (out == NULL) return NULL;
    const CasePlan *plan = night->course > 0 ? &night->case_file->plans[night->course - 1] : NULL;
    CsvWriter csv = sim_csv_begin(out);
    sim_csv_number(&csv, (double)number);
    sim_csv_number(&csv, (double)p->nights);
    sim_csv_text(&csv, sim_build_id());
    sim_csv_text(&csv, p->cohort_hex);
    sim_csv_text(&csv, night->case_file->id);
    sim_csv_text(&csv, plan != NULL ? plan->id : "untouched");
    sim_csv_text(&csv, plan != NULL ? sim_case_rank_word(plan->rank) : "");
    sim_csv_number(&csv, night->patient);
    sim_csv_text(&csv, course->played ? sim_case_outcome_word(course->facts.end) : "not playable");
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++)
        sim_csv_number(&csv, course->played ? sim_rehearse_fact(&course->facts, (RehearseFact)k) : NAN);
    sim_csv_end_row(&csv);
    if (fclose(out) == 0) return text;
    free(text);
    return NULL;
}

static ErrorCode play_night(void *context, int index, CrewSeat *seat, Error *error) {
    const Playing *p = context;
    const Cohort *cohort = p->cohort;
    long number = (long)index * cohort->shards + cohort->shard - 1;
    const Night night = find_night(cohort, number);
    const SessionOptions options = sim_session_options_none();
    RerunActs acts = {0};
    RehearseCourse course = {.rank = CASE_RANK_COUNT};
    Case *person = NULL;
    Session *session = NULL;
    if (night.course > 0 && !sim_rehearse_plan_acts(night.case_file, night.course - 1, &acts)) {
        sim_rerun_acts_free(&acts);
        return model_error_set(error, ERROR_MEMORY, "no memory for a plan");
    }
    ErrorCode code = sim_rehearse_person(night.case_file, &options, cohort->seed, night.patient, COHORT_WIDTH,
                                         &person, &session, error);
    if (code == ERROR_OK) {
        const RehearsePlay play = {.case_file = person, .acts = &acts, .until_s = person->length_s};
        code = sim_rehearse_play_session(&play, session, seat, &course, error);
    }
    sim_session_close(session);
    free(person);
    sim_rerun_acts_free(&acts);
    if (code == ERROR_OK || sim_rehearse_unplayable(code)) {
        p->row[index] = make_row(p, number, &night, &course);
        code = p->row[index] != NULL ? ERROR_OK : model_error_set(error, ERROR_MEMORY, "no memory for a row");
    }
    sim_rehearse_course_free(&course);
    return code;
}

static void write_head(FILE *out) {
    CsvWriter csv = sim_csv_begin(out);
    for (int i = 0; i < COHORT_COLUMNS; i++)
        sim_csv_text(&csv, COLUMNS[i]);
    for (int k = 0; k < REHEARSE_FACT_COUNT; k++) {
        char name[64];
        const RehearseFactRow *row = sim_rehearse_fact_row((RehearseFact)k);
        snprintf(name, sizeof name, "%s%s", row->key, strcmp(row->unit, "time") == 0 ? "_s" : "");
        sim_csv_text(&csv, name);
    }
    sim_csv_end_row(&csv);
}

ErrorCode sim_cohort_play(const Cohort *cohort, FILE *out, Error *error) {
    Playing playing = {.cohort = cohort, .nights = sim_cohort_nights(cohort)};
    fingerprint(cohort, playing.cohort_hex);
    /* numbers shard - 1, shard - 1 + shards, ... below nights */
    long own = (playing.nights - cohort->shard + cohort->shards) / cohort->shards;
    playing.row = calloc((size_t)own + 1, sizeof *playing.row);
    if (playing.row == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for %ld nights", own);
    const CrewTask task = {.jobs = (int)own,
                           .threads = cohort->threads,
                           .job = play_night,
                           .context = &playing,
                           .watch = cohort->watch,
                           .watch_context = cohort->watch_context};
    ErrorCode code = own > 0 ? sim_crew_run(&task, error) : ERROR_OK;
    if (code == ERROR_OK) write_head(out);
    for (long i = 0; i < own; i++) {
        if (code == ERROR_OK) fputs(playing.row[i], out);
        free(playing.row[i]);
    }
    free(playing.row);
    return code;
}

/* Rehearsing a case before it is taught with: what happens when nobody does anything, with each plan of the
   case, and in patients who differ; which look-alikes the numbers on show tell from it, and when the picture
   does. All of it is played and measured; nothing is taken from what the case
   says about itself. */
#ifndef SIM_REHEARSE_H
#define SIM_REHEARSE_H

#include "sim/crew.h"
#include "sim/rerun.h"
#include "sim/score.h"

#include <stdio.h>

enum {
    REHEARSE_ALIKE = 6, /* patients of each group of look-alikes, if nothing is said */
    REHEARSE_ALIKE_LEAST = 4,
    REHEARSE_ALIKE_MAX = 32,
    REHEARSE_PATIENTS = 50, /* varied patients that are played if nothing is said */
    REHEARSE_PATIENTS_MAX = 200,
    REHEARSE_COURSES_MAX = CASE_PLANS_MAX + 1,
    REHEARSE_BANDS_MAX = 16,
    REHEARSE_REFUSED_MAX = 240
};

#define REHEARSE_STEP_S 60.0 /* between the points of a course */

/* What is drawn of a course (rehearse_panels.def). */
typedef enum RehearsePanel {
#define PANEL(key, label, unit, style, shown, truth) REHEARSE_PANEL_##key,
#include "sim/rehearse_panels.def"
#undef PANEL
    REHEARSE_PANEL_COUNT
} RehearsePanel;

/* Times that a fact can be of, s; negative: did not happen. Everything else in the unit of its name; NaN: not
   known. Lows and highs are means of a minute, of the truth. */
typedef struct RehearseFacts {
    double onset_s; /* the case says that something is wrong */
    DiagnosisId truth;
    double alarm_s; /* first alarm since then, or at all */
    AlarmId alarm;
    double number_s; /* first sign in the numbers on show */
    DisplayId number;
    bool number_up;
    double picture_s; /* first sign in the picture */
    int picture;      /* row of sim_firstsign_picture */
    bool picture_up;
    double map_least_mmhg, map_least_s;
    double cvp_most_mmhg, cvp_most_s;
    double flow_least_l_min, flow_least_s;
    double suction_min;
    double lactate_most_mmol_l;
    int objectives_met, objective_count;
    double score, score_most; /* points; sim/score.h */
    bool ended;
    CaseOutcome end;
    double end_s; /* or how far it was played */
    char end_text[CASE_TEXT_MAX];
} RehearseFacts;

/* What was wrong for a time. */
typedef struct RehearseBand {
    double from_s, to_s;
    DiagnosisId diagnosis;
} RehearseBand;

/* A moment of a course: means of the minute before. */
typedef struct RehearsePoint {
    double time_s;
    double value[REHEARSE_PANEL_COUNT]; /* NaN: not on show */
} RehearsePoint;

/* One course: what happened, and the points for a plot. */
typedef struct RehearseCourse {
    bool played; /* false: the model could not play it (variants only) */
    char name[CASE_ID_MAX];
    CaseRank rank; /* CASE_RANK_COUNT: no plan */
    RehearseFacts facts;
    int band_count;
    RehearseBand band[REHEARSE_BANDS_MAX];
    int points, room;
    RehearsePoint *point; /* [points] */
    int line_count;       /* of the score */
    ScoreLine *line;      /* [line_count]; NULL for varied patients */
    int refused;          /* acts that this course did not allow */
    char refusal[REHEARSE_REFUSED_MAX];
} RehearseCourse;

/* What is played of one course. Borrowed by sim_rehearse_play. */
typedef struct RehearsePlay {
    const Case *case_file;
    const SessionOptions *options;
    const RerunActs *acts; /* NULL: nobody does anything */
    double until_s;
} RehearsePlay;

/* Plays one course. Free with sim_rehearse_course_free, also after a failure. */
MODEL_CHECKED ErrorCode sim_rehearse_play(const RehearsePlay *play, CrewSeat *seat, RehearseCourse *course,
                                          Error *error);
void sim_rehearse_course_free(RehearseCourse *course);

/* What is compared over varied patients and kept by the golden tables: one row each (rehearse_facts.def). */
typedef enum RehearseFact {
#define FACT(key, label, unit, decimals, read) REHEARSE_##key,
#include "sim/rehearse_facts.def"
#undef FACT
    REHEARSE_FACT_COUNT
} RehearseFact;

typedef struct RehearseFactRow {
    const char *key, *label, *unit; /* unit "time": a time of the case, s */
    int decimals;
} RehearseFactRow;

const RehearseFactRow *sim_rehearse_fact_row(RehearseFact fact);

/* Value of a fact; NaN where it did not happen or is not known. */
double sim_rehearse_fact(const RehearseFacts *facts, RehearseFact fact);

/* One plan in varied patients. */
typedef struct RehearseRange {
    char name[CASE_ID_MAX];
    CaseRank rank;
    int wanted, played;
    RehearseCourse *course;         /* [wanted]: by number of the patient */
    int known[REHEARSE_FACT_COUNT]; /* patients in which it happened */
    double low[REHEARSE_FACT_COUNT], mid[REHEARSE_FACT_COUNT],
        high[REHEARSE_FACT_COUNT]; /* 5th, 50th, 95th */
    int ends[CASE_OUTCOME_COUNT];
} RehearseRange;

/* What a rehearsal is to play. */
typedef struct RehearseOptions {
    SessionOptions session;
    int patients; /* varied ones, 0..REHEARSE_PATIENTS_MAX */
    int alike;    /* patients of each group of look-alikes, REHEARSE_ALIKE_LEAST or more; 0: no look-alikes */
    int threads;
    CrewWatch watch; /* may be NULL */
    void *watch_context;
} RehearseOptions;

struct Alike; /* sim/alike.h */

/* Large: from sim_rehearse_begin, free with sim_rehearse_free. Borrows the case. */
typedef struct Rehearsal {
    const Case *case_file;
    RehearseOptions options;
    int course_count; /* untouched first, then the plans in the case's order */
    RehearseCourse course[REHEARSE_COURSES_MAX];
    RerunActs acts[REHEARSE_COURSES_MAX];
    int range_count; /* untouched, and the first good plan */
    RehearseRange range[2];
    struct Alike *alike; /* NULL: not asked for, or not played yet */
} Rehearsal;

/* The parts of a rehearsal, in this order: the courses, the look-alikes, the varied patients. NULL with
   `error` when it cannot be played or was given up. */
Rehearsal *sim_rehearse_begin(const Case *case_file, const RehearseOptions *options, Error *error);
MODEL_CHECKED ErrorCode sim_rehearse_courses(Rehearsal *rehearsal, Error *error);
MODEL_CHECKED ErrorCode sim_rehearse_alike(Rehearsal *rehearsal, Error *error);
MODEL_CHECKED ErrorCode sim_rehearse_vary(Rehearsal *rehearsal, Error *error);

/* Accepts NULL. */
void sim_rehearse_free(Rehearsal *rehearsal);

/* Tables as text. */
void sim_rehearse_print_courses(const Rehearsal *rehearsal, FILE *out);
void sim_rehearse_print_alike(const Rehearsal *rehearsal, FILE *out);
void sim_rehearse_print_ranges(const Rehearsal *rehearsal, FILE *out);

/* One row per course and fact: course, rank, fact, value, unit; times in s. */
void sim_rehearse_write_csv(const Rehearsal *rehearsal, FILE *out);

/* The whole rehearsal as one HTML page that needs nothing else: inline SVG, no script, prints on A4. */
void sim_rehearse_write_page(const Rehearsal *rehearsal, FILE *out);

#endif

/* Looking back on a recorded night: what was really going on, what could be seen and when, what was done,
   said and expected, and what came of it. Everything here is measured from the record; judging is for people.
 */
#ifndef SIM_DEBRIEF_H
#define SIM_DEBRIEF_H

#include "model/circulation.h"
#include "sim/recall.h"

#include <stdio.h>

enum {
    DEBRIEF_BANDS_MAX = 24,
    DEBRIEF_MARKS_MAX = 400,
    DEBRIEF_SIGNS_MAX = 24,
    DEBRIEF_ALARMS_MAX = 200,
    DEBRIEF_QUESTIONS_MAX = 12 + CASE_QUESTIONS_MAX,
    DEBRIEF_MOMENTS_MAX = 6,
    DEBRIEF_SEEN_MAX = 10,
    DEBRIEF_WELL_MAX = 3,
    DEBRIEF_LINE_MAX = 240
};

/* What was wrong for a time. */
typedef struct DebriefBand {
    double from_s, to_s;
    CaseTruth truth;
} DebriefBand;

/* Something the trainee or the instructor did, numbered from 1 in order of time. */
typedef struct DebriefMark {
    double time_s;
    LogKind kind;
    char text[DEBRIEF_LINE_MAX];
} DebriefMark;

/* How long a displayed quantity with a target was inside it. */
typedef struct DebriefTarget {
    DisplayId quantity;
    double low, high;
    double inside_frac; /* of the time it was on show */
    double worst, worst_s;
} DebriefTarget;

/* The first change after the trouble began that was more than noise, of one quantity. */
typedef struct DebriefSign {
    bool picture; /* seen in the picture of the heart only */
    const char *label, *unit;
    int decimals;
    double time_s;      /* when it began */
    double before, now; /* mean before the trouble; value a minute after the sign began */
    bool after_order;   /* something had been ordered since the trouble began */
} DebriefSign;

typedef struct DebriefAlarm {
    char key[CASE_ID_MAX];
    double from_s, to_s;
    double acknowledged_s; /* negative: nobody did */
} DebriefAlarm;

/* Times of the chain from trouble to answer, s; negative: did not happen. */
typedef struct DebriefChain {
    double trouble_s; /* the case says that something is wrong */
    double sign_s;    /* first sign on an instrument or in the picture */
    double look_s;    /* first picture after the trouble began */
    double call_s;    /* first right call */
    double answer_s;  /* first treatment after the trouble began */
} DebriefChain;

/* A turning point of the night, worth a picture of the heart. */
typedef struct DebriefMoment {
    double time_s;
    char what[64];
} DebriefMoment;

/* How the heart stood at a moment, and at the start of the night. */
typedef struct DebriefHeart {
    double time_s;
    Observables now, start;                  /* means of a minute around it, and of the first minute */
    double clot_ml[CIRCULATION_CLOT_SITES];  /* beside left and right ventricle, left and right atrium */
    Parameters parameters;                   /* pumps, chest */
} DebriefHeart;

/* What could be seen at a moment: numbers, alarms, and what a look would have shown. */
typedef struct DebriefSeen {
    int count;
    bool picture[DEBRIEF_SEEN_MAX];
    char line[DEBRIEF_SEEN_MAX][DEBRIEF_LINE_MAX / 2];
} DebriefSeen;

/* Large: allocate it. Belongs to the Recall it was made from. */
typedef struct Debrief {
    const Recall *recall;
    int band_count;
    DebriefBand band[DEBRIEF_BANDS_MAX];
    int mark_count;
    DebriefMark mark[DEBRIEF_MARKS_MAX];
    int target_count;
    DebriefTarget target[DISPLAY_COUNT];
    int sign_count; /* in order of time */
    DebriefSign sign[DEBRIEF_SIGNS_MAX];
    int alarm_count;
    DebriefAlarm alarm[DEBRIEF_ALARMS_MAX];
    DebriefChain chain;
    int call_right[SESSION_CALLS_MAX]; /* of recall->calls: 2 the diagnosis, 1 its kind, 0 neither */
    int known, hits;                   /* parts of predictions */
    double brier;                      /* of the predictions' parts, 0 best; NaN without any */
    int line_count;
    ScoreLine line[SCORE_LINES_MAX]; /* the score: see sim/score.h */
    ScoreTotal total;
    bool score_from_record; /* recorded by another build: measured again from what was kept every 10 s */
    int question_count;     /* those found in the night, then the case's own */
    char question[DEBRIEF_QUESTIONS_MAX][CASE_TEXT_MAX];
    int well_count; /* what went well, picked from what was measured */
    char well[DEBRIEF_WELL_MAX][DEBRIEF_LINE_MAX];
    int moment_count; /* in order of time */
    DebriefMoment moment[DEBRIEF_MOMENTS_MAX];
} Debrief;

/* Fills *debrief from a recorded night. */
void sim_debrief_make(const Recall *recall, Debrief *debrief);

/* What was wrong at time_s, as the case says it; NULL when the case does not say. */
const CaseTruth *sim_debrief_truth_at(const Debrief *debrief, double time_s);

/* Number of the recorded point at or before time_s, s; -1 when there is none. */
int64_t sim_debrief_point(const Debrief *debrief, double time_s);

/* Mean of the truth in the minute around time_s, s: it rides on the ventilator. Clock and totals are the last's. */
Observables sim_debrief_mean(const Debrief *debrief, double time_s);

/* How the heart stood; ERROR_FORMAT when the night is of another build. */
MODEL_CHECKED ErrorCode sim_debrief_heart(const Debrief *debrief, double time_s, DebriefHeart *heart, Error *error);

/* What could be seen at time_s, s. */
void sim_debrief_seen(const Debrief *debrief, double time_s, DebriefSeen *seen);

/* What a page may hold beside what is in the record; all may be NULL. */
typedef struct DebriefExtras {
    const struct DebriefNotes *notes;                   /* the trainee's own words */
    void (*heart)(const DebriefHeart *heart, FILE *out); /* draws one as an inline picture */
    const struct RerunActs *acts, *otherwise;           /* a what-if: what was done, and what would have been */
    const struct RerunCourse *night, *other;
    const struct WhatifRange *range;
} DebriefExtras;

/* Writes the debrief as one HTML page that needs nothing else: inline SVG, no script, prints on A4. `extras` may be
   NULL. */
void sim_debrief_write_page(const Debrief *debrief, const DebriefExtras *extras, FILE *out);

/* Writes the course as SVG: what was wrong, calls, marks, the main quantities with targets and alarms. */
void sim_debrief_write_course(const Debrief *debrief, FILE *out);

#endif

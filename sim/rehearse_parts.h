/* What the files of the rehearsal share. Internal to sim/rehearse*.c and sim/cohort.c. */
#ifndef SIM_REHEARSE_PARTS_H
#define SIM_REHEARSE_PARTS_H

#include "sim/rehearse.h"

/* Opens the night of person `number` who is like the case's own, traits moved by `width` of the spread
   between people, body size kept; number 0 is the case's own. A person who cannot live is drawn again; what
   is drawn depends on `seed` and `number` only. *person is that person's case, freed by the caller. */
MODEL_CHECKED ErrorCode sim_rehearse_person(const Case *case_file, const SessionOptions *options,
                                            uint64_t seed, int number, double width, Case **person,
                                            Session **session, Error *error);

/* The steps of plan `index` as acts; false when memory is short. */
bool sim_rehearse_plan_acts(const Case *case_file, int index, RerunActs *acts);

/* True for a failure of the model to play a person, which says nothing against the others. */
bool sim_rehearse_unplayable(ErrorCode code);

/* Plays an open night, which stays the caller's; see sim_rehearse_play. */
MODEL_CHECKED ErrorCode sim_rehearse_play_session(const RehearsePlay *play, Session *session, CrewSeat *seat,
                                                  RehearseCourse *course, Error *error);

/* Name and colour of a panel. */
typedef struct RehearsePanelRow {
    const char *key, *label, *unit;
    int style; /* SvgStyle */
} RehearsePanelRow;
const RehearsePanelRow *sim_rehearse_panel_row(RehearsePanel panel);

/* When the case first said that something is wrong, and what; false: it never did in `session`. */
bool sim_rehearse_onset(const Session *session, double *onset_s, DiagnosisId *truth);

/* Words of a fact: its value alone, and with what happened ("0:12 CVP high", "41 at 2:30"). */
void sim_rehearse_format_fact(RehearseFact fact, double value, char *text, size_t size);
void sim_rehearse_format_cell(const RehearseFacts *facts, RehearseFact fact, char *text, size_t size);

/* True if the fact is a row of the table of courses: it happened in one of them, and is not told with
 * another. */
bool sim_rehearse_fact_said(const Rehearsal *rehearsal, RehearseFact fact);

/* "opens-early (good)". */
void sim_rehearse_course_name(const RehearseCourse *course, char *text, size_t size);

/* Write the plots as SVG: the courses, and the varied patients. */
void sim_rehearse_draw_courses(const Rehearsal *rehearsal, FILE *out);
void sim_rehearse_draw_ranges(const Rehearsal *rehearsal, FILE *out);

#endif

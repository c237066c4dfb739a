/* What a trainee writes down in the debrief, in their own words: first reactions, remarks at moments of the
   night, what to do next time. Kept beside the night, in a text file of its own (the night's path and
   ".words"): the recorded night itself is not touched. */
#ifndef SIM_DEBRIEF_NOTES_H
#define SIM_DEBRIEF_NOTES_H

#include "model/error.h"

#include <stdbool.h>

typedef enum DebriefNoteKind {
    NOTE_FELT,   /* how it was */
    NOTE_WELL,   /* what went well */
    NOTE_HARD,   /* what was hard */
    NOTE_MOMENT, /* about a moment of the night */
    NOTE_NEXT,   /* what to do next time */
    NOTE_KIND_COUNT
} DebriefNoteKind;

enum { DEBRIEF_NOTES_MAX = 64, DEBRIEF_NOTE_MAX = 240 };

typedef struct DebriefNote {
    DebriefNoteKind kind;
    int slot;      /* which of several fields of its kind, from 0 */
    double time_s; /* of NOTE_MOMENT */
    char text[DEBRIEF_NOTE_MAX];
} DebriefNote;

typedef struct DebriefNotes {
    int count;
    DebriefNote note[DEBRIEF_NOTES_MAX];
} DebriefNotes;

/* What is asked for, as it stands beside the field: "What went well?" */
const char *sim_debrief_notes_ask(DebriefNoteKind kind);

/* The note of this kind and slot (of NOTE_MOMENT: at this time); NULL: none. */
const DebriefNote *sim_debrief_notes_find(const DebriefNotes *notes, DebriefNoteKind kind, int slot,
                                          double time_s);

/* Puts a note in the place of the one of its kind and slot (or moment), or adds it; an empty text takes it
   away. False when there is no more room. */
bool sim_debrief_notes_put(DebriefNotes *notes, DebriefNoteKind kind, int slot, double time_s,
                           const char *text);

/* Reads the notes of the night at `path`; none when there is no file. ERROR_FORMAT for a file that is
   something else: then nothing may be written there. */
MODEL_CHECKED ErrorCode sim_debrief_notes_read(const char *path, DebriefNotes *notes, Error *error);

/* Writes them, the whole file or nothing of it. */
MODEL_CHECKED ErrorCode sim_debrief_notes_write(const char *path, const DebriefNotes *notes, Error *error);

#endif

/* What a trainee writes down in the debrief. */
#include "sim/debrief_notes.h"

#include "sim/textfile.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FILE_MAX = 64 * 1024, NAME_MAX_BYTES = 1200 };

static const double SAME_S = 5.0; /* moments closer than this are one */
static const char HEAD[] = "evenkeel words 1\n", SUFFIX[] = ".words";

static const struct {
    const char *word, *ask;
} KINDS[NOTE_KIND_COUNT] = {
    [NOTE_FELT] = {"felt", "How was this night, in a few words of your own?"},
    [NOTE_WELL] = {"well", "What went well?"},
    [NOTE_HARD] = {"hard", "What was hard, or surprised you?"},
    [NOTE_MOMENT] = {"moment", "A note at this moment"},
    [NOTE_NEXT] = {"next", "Next time: when ..., I will ..."},
};

const char *sim_debrief_notes_ask(DebriefNoteKind kind) {
    return KINDS[kind].ask;
}

static int find(const DebriefNotes *notes, DebriefNoteKind kind, int slot, double time_s) {
    for (int i = 0; i < notes->count; i++) {
        const DebriefNote *note = &notes->note[i];
        if (note->kind != kind) continue;
        if (kind == NOTE_MOMENT ? fabs(note->time_s - time_s) < SAME_S : note->slot == slot) return i;
    }
    return -1;
}

const DebriefNote *sim_debrief_notes_find(const DebriefNotes *notes, DebriefNoteKind kind, int slot,
                                          double time_s) {
    int i = find(notes, kind, slot, time_s);
    return i < 0 ? NULL : &notes->note[i];
}

bool sim_debrief_notes_put(DebriefNotes *notes, DebriefNoteKind kind, int slot, double time_s,
                           const char *text) {
    int i = find(notes, kind, slot, time_s);
    if (text[0] == '\0') {
        if (i >= 0) {
            notes->count--;
            memmove(&notes->note[i], &notes->note[i + 1], (size_t)(notes->count - i) * sizeof notes->note[0]);
        }
        return true;
    }
    if (i < 0 && notes->count == DEBRIEF_NOTES_MAX) return false;
    if (i < 0) i = notes->count++;
    notes->note[i] = (DebriefNote){.kind = kind, .slot = slot, .time_s = time_s};
    snprintf(notes->note[i].text, DEBRIEF_NOTE_MAX, "%s", text);
    return true;
}

/* One line: KIND SLOT TIME TEXT. What is not understood is passed over. */
static void read_line(const char *line, DebriefNotes *notes) {
    char word[16];
    int slot, used = 0;
    double time_s;
    if (sscanf(line, "%15s %d %lf %n", word, &slot, &time_s, &used) != 3 || used == 0 || !isfinite(time_s))
        return;
    for (int kind = 0; kind < NOTE_KIND_COUNT; kind++) {
        if (strcmp(word, KINDS[kind].word) == 0)
            (void)sim_debrief_notes_put(notes, (DebriefNoteKind)kind, slot, time_s, line + used);
    }
}

ErrorCode sim_debrief_notes_read(const char *path, DebriefNotes *notes, Error *error) {
    char name[NAME_MAX_BYTES];
    char *text = NULL;
    size_t length = 0;
    notes->count = 0;
    snprintf(name, sizeof name, "%s%s", path, SUFFIX);
    if (access(name, F_OK) != 0) return ERROR_OK;
    ErrorCode code = sim_textfile_read(name, FILE_MAX, &text, &length, error);
    if (code != ERROR_OK) return code;
    if (length < strlen(HEAD) || strncmp(text, HEAD, strlen(HEAD)) != 0) {
        code = model_error_set(error, ERROR_FORMAT, "these are not the words of a debrief; left as it is");
        model_error_at(error, name, 0, 0);
    }
    char *place = NULL;
    for (char *line = code == ERROR_OK ? strtok_r(text + strlen(HEAD), "\n", &place) : NULL; line != NULL;
         line = strtok_r(NULL, "\n", &place))
        read_line(line, notes);
    free(text);
    return code;
}

ErrorCode sim_debrief_notes_write(const char *path, const DebriefNotes *notes, Error *error) {
    char name[NAME_MAX_BYTES], part[NAME_MAX_BYTES + 8];
    snprintf(name, sizeof name, "%s%s", path, SUFFIX);
    snprintf(part, sizeof part, "%s.part", name);
    FILE *out = fopen(part, "w");
    bool good = out != NULL && fputs(HEAD, out) >= 0;
    for (int i = 0; good && i < notes->count; i++) {
        const DebriefNote *note = &notes->note[i];
        good = fprintf(out, "%s %d %.3f ", KINDS[note->kind].word, note->slot, note->time_s) > 0;
        for (const char *c = note->text; good && *c != '\0'; c++)
            good = fputc(*c == '\n' || *c == '\r' ? ' ' : *c, out) != EOF;
        good = good && fputc('\n', out) != EOF;
    }
    good = good && fflush(out) == 0 && fsync(fileno(out)) == 0;
    if (out != NULL) good = (fclose(out) == 0) && good;
    good = good && rename(part, name) == 0;
    if (good) return ERROR_OK;
    ErrorCode code =
        model_error_set(error, ERROR_FILE_WRITE, "the notes cannot be kept: %s", strerror(errno));
    model_error_at(error, name, 0, 0);
    (void)unlink(part);
    return code;
}

/* Earlier nights, from their files. */
#include "sim/attempts.h"

#include "sim/acts.h"
#include "sim/build_id.h"
#include "sim/journal_store.h"
#include "sim/records.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char SUFFIX[] = ".night";

typedef struct Names {
    int count, room;
    char (*name)[ATTEMPT_FILE_MAX];
} Names;

static bool is_night(const char *name) {
    size_t length = strlen(name), suffix = strlen(SUFFIX);
    return length > suffix && length < ATTEMPT_FILE_MAX && strcmp(name + length - suffix, SUFFIX) == 0;
}

static ErrorCode add_name(Names *names, const char *name, Error *error) {
    enum { FIRST_ROOM = 64 };
    size_t size = strlen(name) + 1;
    if (size > ATTEMPT_FILE_MAX) return ERROR_OK; /* no name this program gives */
    if (names->count == names->room) {
        int room = names->room > 0 ? 2 * names->room : FIRST_ROOM;
        void *more = realloc(names->name, (size_t)room * sizeof names->name[0]);
        if (more == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for the list of nights");
        names->name = more;
        names->room = room;
    }
    memcpy(names->name[names->count++], name, size);
    return ERROR_OK;
}

/* Names begin with the time the night began: the later, the larger. */
static int later_first(const void *a, const void *b) {
    return strcmp(b, a);
}

static ErrorCode list_names(const char *folder, Names *names, Error *error) {
    ErrorCode code = ERROR_OK;
    DIR *dir = opendir(folder);
    if (dir == NULL && errno == ENOENT) return ERROR_OK;
    if (dir == NULL) {
        code = model_error_set(error, ERROR_FILE_READ, "cannot list the folder: %s", strerror(errno));
        model_error_at(error, folder, 0, 0);
        return code;
    }
    for (struct dirent *entry; code == ERROR_OK && (entry = readdir(dir)) != NULL;) {
        if (is_night(entry->d_name)) code = add_name(names, entry->d_name, error);
    }
    closedir(dir);
    if (names->count > 0) qsort(names->name, (size_t)names->count, sizeof names->name[0], later_first);
    return code;
}

static void read_outcome(const char *word, Attempt *attempt) {
    for (int outcome = 0; outcome < CASE_OUTCOME_COUNT; outcome++) {
        if (strcmp(word, sim_case_outcome_word((CaseOutcome)outcome)) != 0) continue;
        attempt->outcome_known = true;
        attempt->outcome = (CaseOutcome)outcome;
    }
}

static void read_call(const char *words, Attempt *attempt) {
    Act act;
    if (words[0] == '\0' || sim_acts_parse(words, NULL, &act, NULL) != ERROR_OK || act.id != ACT_call) return;
    attempt->called = true;
    attempt->call = act.diagnosis;
    attempt->confidence_percent = act.confidence_percent;
}

static bool read_attempt(const char *folder, const char *name, Attempt *attempt) {
    char path[JOURNAL_PATH_MAX + ATTEMPT_FILE_MAX];
    JournalStoreBrief brief;
    Error ignored;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    if (sim_journal_store_brief(path, LOG_END, LOG_CALL, &brief, &ignored) != ERROR_OK) return false;
    memset(attempt, 0, sizeof *attempt);
    snprintf(attempt->file, sizeof attempt->file, "%s", name);
    snprintf(attempt->begun, sizeof attempt->begun, "%s", brief.begun);
    snprintf(attempt->trainee, sizeof attempt->trainee, "%s", brief.trainee);
    snprintf(attempt->case_id, sizeof attempt->case_id, "%s", brief.case_id);
    snprintf(attempt->case_title, sizeof attempt->case_title, "%.119s", brief.case_title);
    snprintf(attempt->build, sizeof attempt->build, "%s", brief.build);
    attempt->case_hash = brief.case_hash;
    attempt->seed = brief.seed;
    attempt->reached_s = brief.reached_s;
    attempt->until_s = brief.until_s;
    attempt->complete = brief.ended;
    attempt->this_build = strcmp(brief.build, sim_build_id()) == 0;
    read_outcome(brief.outcome, attempt);
    read_call(brief.last_call, attempt);
    return true;
}

ErrorCode sim_attempts_read(const char *folder, Attempts *attempts, Error *error) {
    Names names = {0};
    ErrorCode code = ERROR_OK;
    memset(attempts, 0, sizeof *attempts);
    if (folder == NULL)
        code = sim_journal_folder(attempts->folder, sizeof attempts->folder, error);
    else
        snprintf(attempts->folder, sizeof attempts->folder, "%s", folder);
    if (code == ERROR_OK) code = list_names(attempts->folder, &names, error);
    for (int i = 0; code == ERROR_OK && i < names.count; i++) {
        if (attempts->count == ATTEMPTS_MAX) {
            attempts->older = names.count - i;
            break;
        }
        if (read_attempt(attempts->folder, names.name[i], &attempts->item[attempts->count]))
            attempts->count++;
        else
            attempts->skipped++;
    }
    free(names.name);
    return code;
}

int sim_attempts_next(const Attempts *attempts, const char *case_id, int from) {
    for (int i = from < 0 ? 0 : from; i < attempts->count; i++) {
        if (case_id == NULL || strcmp(case_id, attempts->item[i].case_id) == 0) return i;
    }
    return -1;
}

int sim_attempts_count(const Attempts *attempts, const char *case_id) {
    int count = 0;
    for (int i = sim_attempts_next(attempts, case_id, 0); i >= 0;
         i = sim_attempts_next(attempts, case_id, i + 1))
        count++;
    return count;
}

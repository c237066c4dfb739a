/* What to practise next: a rule that can be told in three sentences (sim/logbook.h). */
#include "sim/logbook.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WEAK_SCORE 0.8 /* a theme with a mean score under this is practised; design */
#define PERCENT    100.0

enum { CONFUSED_LEAST = 2 };

/* ---- the cases there are ---- */

static void add_truth(LogbookCase *item, DiagnosisId truth) {
    enum { MOST = sizeof item->truth / sizeof item->truth[0] };
    if (truth == DIAGNOSIS_well || item->truth_count == MOST) return;
    for (int i = 0; i < item->truth_count; i++) {
        if (item->truth[i] == truth) return;
    }
    item->truth[item->truth_count++] = truth;
}

static bool read_case(const char *folder, const char *name, ErrorList *errors, LogbookCase *item) {
    char path[CASEFOLDER_PATH_MAX + CASEFOLDER_NAME_MAX + 2];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    Case *file = sim_case_load(path, errors);
    if (file == NULL) return false;
    *item = (LogbookCase){.level = file->level};
    snprintf(item->id, sizeof item->id, "%s", file->id);
    snprintf(item->title, sizeof item->title, "%s", file->title);
    snprintf(item->theme, sizeof item->theme, "%s", file->theme);
    if (file->truth_given) add_truth(item, file->truth.diagnosis);
    for (int i = 0; i < file->action_count; i++) {
        if (file->actions[i].kind == CASE_ACTION_TRUTH) add_truth(item, file->actions[i].truth.diagnosis);
    }
    sim_case_free(file);
    return true;
}

int sim_logbook_cases(LogbookCase item[CASEFOLDER_FILES_MAX]) {
    CaseFolder *folder = calloc(1, sizeof *folder);
    ErrorList *errors = calloc(1, sizeof *errors);
    Error none;
    int count = 0;
    if (folder != NULL && errors != NULL && sim_casefolder_find(folder, &none) == ERROR_OK) {
        for (int i = 0; i < folder->count; i++)
            count += read_case(folder->path, folder->names[i], errors, &item[count]);
    }
    free(folder);
    free(errors);
    return count;
}

/* ---- the rule ---- */

/* Newest night of a case; -1: never played. Nights are in order of time. */
static int last_night(const Logbook *book, const char *case_id) {
    for (int i = book->night_count - 1; i >= 0; i--) {
        if (strcmp(book->night[i].attempt.case_id, case_id) == 0) return i;
    }
    return -1;
}

static bool is_chosen(const LogbookNext *next, int count, int index) {
    for (int i = 0; i < count; i++) {
        if (next[i].index == index) return true;
    }
    return false;
}

static bool has_truth(const LogbookCase *item, DiagnosisId truth) {
    for (int i = 0; i < item->truth_count; i++) {
        if (item->truth[i] == truth) return true;
    }
    return false;
}

/* How often each diagnosis was missed. */
static int count_missed(const Logbook *book, LogbookPair pair[LOGBOOK_PAIRS_MAX],
                        int missed[DIAGNOSIS_COUNT]) {
    int count = sim_logbook_confused(book, pair);
    for (int i = 0; i < DIAGNOSIS_COUNT; i++)
        missed[i] = 0;
    for (int i = 0; i < count; i++)
        missed[pair[i].truth] += pair[i].times;
    return count;
}

/* Of the cases in which `truth` occurs the one played longest ago; -1: none. */
static int case_of_truth(const Logbook *book, const LogbookCase *item, int count, DiagnosisId truth) {
    int best = -1, best_night = 0;
    for (int i = 0; i < count; i++) {
        int night = last_night(book, item[i].id);
        if (!has_truth(&item[i], truth) || (best >= 0 && night >= best_night)) continue;
        best = i;
        best_night = night;
    }
    return best;
}

static int choose_missed(const Logbook *book, const LogbookCase *item, int count, LogbookNext *next,
                         int used) {
    LogbookPair pair[LOGBOOK_PAIRS_MAX];
    int missed[DIAGNOSIS_COUNT], pairs = count_missed(book, pair, missed), best = -1, chosen = -1;
    for (int i = 0; i < pairs; i++) { /* the most frequent first */
        DiagnosisId truth = pair[i].truth;
        if (missed[truth] < CONFUSED_LEAST || (best >= 0 && missed[truth] <= missed[pair[best].truth]))
            continue;
        int found = case_of_truth(book, item, count, truth);
        if (found < 0) continue;
        best = i;
        chosen = found;
    }
    if (best < 0) return used;
    next[used].index = chosen;
    snprintf(next[used].why, sizeof next[used].why, "%s was missed %d times, mostly called %s",
             sim_diagnoses_row(pair[best].truth)->label, missed[pair[best].truth],
             sim_diagnoses_row(pair[best].called)->label);
    return used + 1;
}

/* Last score of a case that counts; NaN: none. */
static double last_score(const Logbook *book, const char *case_id) {
    for (int i = book->night_count - 1; i >= 0; i--) {
        if (sim_logbook_counts(&book->night[i]) && strcmp(book->night[i].attempt.case_id, case_id) == 0)
            return sim_logbook_score(&book->night[i]);
    }
    return NAN;
}

/* True if a case of the theme is there that has not been chosen. */
static bool has_case(const LogbookCase *item, int count, const char *theme, const LogbookNext *next,
                     int used) {
    for (int i = 0; i < count; i++) {
        if (strcmp(item[i].theme, theme) == 0 && !is_chosen(next, used, i)) return true;
    }
    return false;
}

static int choose_weak(const Logbook *book, const LogbookCase *item, int count, LogbookNext *next, int used) {
    LogbookGroup *theme = calloc(LOGBOOK_GROUPS_MAX, sizeof *theme);
    if (theme == NULL) return used;
    int themes = sim_logbook_groups(book, LOGBOOK_BY_THEME, theme), weakest = -1, best = -1;
    double lowest = INFINITY;
    for (int i = 0; i < themes; i++) {
        bool weak = theme[i].counted > 0 && theme[i].mean_score < WEAK_SCORE &&
                    has_case(item, count, theme[i].key, next, used);
        if (weak && (weakest < 0 || theme[i].mean_score < theme[weakest].mean_score)) weakest = i;
    }
    for (int i = 0; weakest >= 0 && i < count; i++) {
        double score = last_score(book, item[i].id);
        if (strcmp(item[i].theme, theme[weakest].key) != 0 || is_chosen(next, used, i)) continue;
        if (isfinite(score) && score >= lowest) continue;
        if (!isfinite(score) && best >= 0) continue;
        best = i;
        if (isfinite(score)) lowest = score;
    }
    if (best >= 0) {
        next[used].index = best;
        snprintf(next[used].why, sizeof next[used].why,
                 "weakest theme: %.80s, mean score %.0f %% of %d nights", theme[weakest].key,
                 PERCENT * theme[weakest].mean_score, theme[weakest].counted);
        used++;
    }
    free(theme);
    return used;
}

static int choose_longest_ago(const Logbook *book, const LogbookCase *item, int count, LogbookNext *next,
                              int used) {
    int best = -1, best_night = 0;
    for (int i = 0; i < count; i++) {
        int night = last_night(book, item[i].id);
        if (is_chosen(next, used, i)) continue;
        bool sooner = best < 0 || night < best_night ||
                      (night < 0 && best_night < 0 && item[i].level < item[best].level);
        if (!sooner) continue;
        best = i;
        best_night = night;
    }
    if (best < 0) return used;
    next[used].index = best;
    if (best_night < 0)
        snprintf(next[used].why, sizeof next[used].why, "not played yet, level %d", item[best].level);
    else
        snprintf(next[used].why, sizeof next[used].why, "played longest ago, on %.10s",
                 book->night[best_night].attempt.begun);
    return used + 1;
}

int sim_logbook_next(const Logbook *book, const LogbookCase *item, int count,
                     LogbookNext next[LOGBOOK_NEXT_MAX]) {
    int used = choose_missed(book, item, count, next, 0);
    used = choose_weak(book, item, count, next, used);
    return choose_longest_ago(book, item, count, next, used);
}

/* The nearest valid name for something mistyped. */
#include "sim/suggest.h"

#include "model/observables.h"
#include "model/parameters.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { LETTERS_MAX = 63, BEGINNING_MIN = 3 /* letters of a name that tell which one is meant */ };

static int least(int a, int b) {
    return a < b ? a : b;
}

static size_t lower_copy(char *out, const char *text) {
    size_t n = 0;
    for (; text[n] != '\0' && n < LETTERS_MAX; n++)
        out[n] = (char)tolower((unsigned char)text[n]);
    out[n] = '\0';
    return n;
}

int sim_suggest_distance(const char *a, const char *b) {
    char x[LETTERS_MAX + 1], y[LETTERS_MAX + 1];
    size_t nx = lower_copy(x, a), ny = lower_copy(y, b);
    int rows[3][LETTERS_MAX + 1];
    int *before = rows[0], *last = rows[1], *now = rows[2];
    for (size_t j = 0; j <= ny; j++)
        last[j] = (int)j;
    for (size_t i = 1; i <= nx; i++) {
        now[0] = (int)i;
        for (size_t j = 1; j <= ny; j++) {
            int change = x[i - 1] == y[j - 1] ? 0 : 1;
            now[j] = least(least(last[j] + 1, now[j - 1] + 1), last[j - 1] + change);
            if (i > 1 && j > 1 && x[i - 1] == y[j - 2] && x[i - 2] == y[j - 1])
                now[j] = least(now[j], before[j - 2] + 1);
        }
        int *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[ny];
}

/* Index of the nearest name of which at most `most` letters differ, or count. Only the first `letters`
   letters of a name are compared. */
static size_t nearest_within(const char *typed, const char *const *names, size_t count, size_t letters,
                             int most) {
    size_t best = count;
    int best_distance = most + 1;
    for (size_t i = 0; i < count; i++) {
        char beginning[LETTERS_MAX + 1];
        snprintf(beginning, sizeof beginning, "%.*s", (int)letters, names[i]);
        int distance = sim_suggest_distance(typed, beginning);
        if (distance >= best_distance) continue;
        best = i;
        best_distance = distance;
    }
    return best;
}

size_t sim_suggest_nearest(const char *typed, const char *const *names, size_t count) {
    size_t length = strlen(typed);
    int allowed = length < LETTERS_MAX ? (int)length / 3 : LETTERS_MAX / 3;
    size_t nearest = nearest_within(typed, names, count, LETTERS_MAX, allowed < 2 ? 2 : allowed);
    if (nearest < count || length < BEGINNING_MIN || length > LETTERS_MAX) return nearest;
    return nearest_within(typed, names, count, length, (int)(length - 1) / 3);
}

void sim_suggest_allow(Error *error, const char *typed, const char *const *names, size_t count,
                       const char *prefix, const char *otherwise) {
    size_t nearest = sim_suggest_nearest(typed, names, count);
    if (nearest < count)
        model_error_allow(error, "nearest is %s%s", prefix, names[nearest]);
    else if (otherwise != NULL)
        model_error_allow(error, "%s", otherwise);
}

ErrorCode sim_suggest_parameter(Error *error, const char *key) {
    if (model_observables_find(key) != OBSERVABLE_COUNT) {
        ErrorCode code =
            model_error_set(error, ERROR_NOT_ALLOWED, "%s is a consequence: the model makes it", key);
        model_error_allow(error, "a cause or a setting from: evenkeel list parameters");
        return code;
    }
    const char *names[PARAMETER_COUNT];
    for (int i = 0; i < PARAMETER_COUNT; i++)
        names[i] = model_parameters_row((ParameterId)i)->key;
    ErrorCode code = model_error_set(error, ERROR_UNKNOWN_NAME, "there is no parameter \"%.60s\"", key);
    sim_suggest_allow(error, key, names, PARAMETER_COUNT, "", "a key from: evenkeel list parameters");
    return code;
}

/* The nearest valid name for something mistyped. */
#include "sim/suggest.h"

#include <ctype.h>
#include <string.h>

enum { LETTERS_MAX = 63 };

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

size_t sim_suggest_nearest(const char *typed, const char *const *names, size_t count) {
    size_t best = count;
    int best_distance = 0;
    for (size_t i = 0; i < count; i++) {
        int distance = sim_suggest_distance(typed, names[i]);
        if (best == count || distance < best_distance) {
            best = i;
            best_distance = distance;
        }
    }
    int allowed = (int)strlen(typed) / 3;
    return best < count && best_distance <= (allowed < 2 ? 2 : allowed) ? best : count;
}

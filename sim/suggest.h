/* The nearest valid name for something mistyped. */
#ifndef SIM_SUGGEST_H
#define SIM_SUGGEST_H

#include <stddef.h>

/* Returns the index of the name in `names`[count] nearest to `typed` (optimal string alignment distance, case
   ignored), or count if none is near enough to be meant (more than a third of the letters, at least 2, differ). */
size_t sim_suggest_nearest(const char *typed, const char *const *names, size_t count);

/* Number of insertions, deletions, replacements and swaps of neighbours that turn `a` into `b`, case ignored;
   only the first 63 characters count. */
int sim_suggest_distance(const char *a, const char *b);

#endif

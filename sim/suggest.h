/* The nearest valid name for something mistyped. */
#ifndef SIM_SUGGEST_H
#define SIM_SUGGEST_H

#include "model/error.h"

#include <stddef.h>

/* Returns the index of the name in `names`[count] nearest to `typed` (optimal string alignment distance, case
   ignored), or count if none is near enough to be meant (more than a third of the letters, at least 2,
   differ). When no name is near, one that begins as typed is taken: people leave the unit out. */
size_t sim_suggest_nearest(const char *typed, const char *const *names, size_t count);

/* Adds to an error what was perhaps meant by `typed`: "nearest is X", X with `prefix` before it, or
   `otherwise` (a printf-free text, may be NULL) when none of names[count] is near. */
void sim_suggest_allow(Error *error, const char *typed, const char *const *names, size_t count,
                       const char *prefix, const char *otherwise);

/* Fills `error` for a key that is no parameter: it is a consequence, or not known; with the nearest key. */
ErrorCode sim_suggest_parameter(Error *error, const char *key);

/* Number of insertions, deletions, replacements and swaps of neighbours that turn `a` into `b`, case ignored;
   only the first 63 characters count. */
int sim_suggest_distance(const char *a, const char *b);

#endif

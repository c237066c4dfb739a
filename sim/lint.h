/* Reading a case critically: what is allowed but cannot be meant. A case with warnings loads and plays. */
#ifndef SIM_LINT_H
#define SIM_LINT_H

#include "sim/case.h"
#include "sim/errorlist.h"

/* Adds to *warnings (not emptied) everything that looks wrong in a case whose text is text[length], in the
   order of its lines; each has file, line, column, and what would be better. The text must be the one that
   the case was read from. */
void sim_lint_case(const Case *case_file, const char *text, size_t length, ErrorList *warnings);

/* The same for a case that was loaded from a file, which is read again. */
MODEL_CHECKED ErrorCode sim_lint_file(const Case *case_file, ErrorList *warnings, Error *error);

#endif

/* The case language as a JSON Schema (draft 2020-12), for editors that complete and check while one types. It
   is written from the same table that the reader uses, with the names of the other tables. What only the
   whole case can tell (references, limits, order of times) is left to `evenkeel inspect`. */
#ifndef SIM_CASE_JSONSCHEMA_H
#define SIM_CASE_JSONSCHEMA_H

#include <stdio.h>

/* Writes the schema to `out`. */
void sim_case_jsonschema_write(FILE *out);

#endif

/* Free practice: a night without a case file. Any base patient, everything can be ordered, every cause can be
   changed while it runs, nothing ends it but a day. */
#ifndef SIM_PRACTICE_H
#define SIM_PRACTICE_H

#include "sim/case.h"

#define PRACTICE_PREFIX "practice:" /* before a person's key, in the place of a case file's name */

enum { PRACTICE_SEED = 1 }; /* where nobody asks for another */

/* Makes the case of a person of model/people.h (key, "supported_axial_small") with this seed (at most 2^53 -
   1). It holds its own text (Case.source), so that its nights can be recorded, resumed and replayed. NULL and
   `error` (with the nearest key) for an unknown person. Free with sim_case_free. */
Case *sim_practice_case(const char *person, uint64_t seed, Error *error);

#endif

/* Patients who are like a case's own, but not the same. */
#include "sim/rehearse_parts.h"

#include "model/cohort.h"

#include <stdlib.h>

enum { TRIES_MOST = 20 };

static const uint64_t NEXT_PERSON =
    UINT64_C(0x9e3779b97f4a7c15); /* distance of two persons' seeds (splitmix64) */

bool sim_rehearse_unplayable(ErrorCode code) {
    return code == ERROR_SOLVER || code == ERROR_NOT_FINITE || code == ERROR_NEGATIVE_VOLUME ||
           code == ERROR_COMBINATION || code == ERROR_RANGE;
}

/* Opens the night of a person drawn with `random`; NULL if that person cannot live. */
static Session *try_person(Case *person, const Parameters *base, const SessionOptions *options, double width,
                           Random *random) {
    double ln_x[COHORT_TRAITS];
    Error ignored;
    model_cohort_traits(random, width, ln_x);
    ln_x[COHORT_SIZE] = 0.0;
    person->patient.parameters = model_cohort_apply(base, ln_x);
    if (model_parameters_check(&person->patient.parameters, &ignored) != ERROR_OK) return NULL;
    Session *session = sim_session_open(person, options, &ignored);
    if (session == NULL || model_cohort_is_survivable(sim_session_reference(session))) return session;
    sim_session_close(session);
    return NULL;
}

ErrorCode sim_rehearse_person(const Case *case_file, const SessionOptions *options, uint64_t seed, int number,
                              double width, Case **person, Session **session, Error *error) {
    SessionOptions own = *options;
    *session = NULL;
    *person = malloc(sizeof **person);
    if (*person == NULL) return model_error_set(error, ERROR_MEMORY, "no memory for a varied patient");
    **person = *case_file;
    own.seed = (own.seed_given ? own.seed : case_file->seed) + (uint64_t)number;
    own.seed_given = true;
    if (number == 0) {
        *session = sim_session_open(*person, &own, error);
        if (*session == NULL) return error != NULL ? error->code : ERROR_INTERNAL;
        return ERROR_OK;
    }
    Random random = model_random_seed(seed + (uint64_t)number * NEXT_PERSON);
    for (int i = 0; i < TRIES_MOST && *session == NULL; i++)
        *session = try_person(*person, &case_file->patient.parameters, &own, width, &random);
    if (*session != NULL) return ERROR_OK;
    return model_error_set(error, ERROR_COMBINATION, "no one like this patient lives in %d draws",
                           TRIES_MOST);
}

/* Free practice, as a case that is written on the spot. */
#include "sim/practice.h"

#include "model/people.h"
#include "sim/suggest.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char TEXT[] =
    "evenkeel_case: 1\n"
    "id: practice-%s\n"
    "title: Free practice\n"
    "level: 1\n"
    "theme: free practice\n"
    "length: 24h\n"
    "seed: %" PRIu64 "\n"
    "practice: yes\n"
    "summary: Every order and every cause is open, and the truth is shown.\n"
    "look: {probe: always_on}\n"
    "handover:\n"
    "  who: \"%c%s.\"\n"
    "  done: What you make of it.\n"
    "  attached: Arterial line, pulmonary artery catheter, drains, pacing wires, ventilator.\n"
    "  objectives: [Try what you want to understand.]\n"
    "patient: {base: %s}\n"
    "endings:\n"
    "  - {id: over, at_length: yes, outcome: none, text: A day of practice is over.}\n";

static void unknown_person(const char *person, Error *error) {
    const char *names[PERSON_COUNT];
    for (int i = 0; i < PERSON_COUNT; i++) {
        names[i] = model_people_key((PersonId)i);
    }
    model_error_set(error, ERROR_UNKNOWN_NAME, "there is no person \"%.60s\"", person);
    sim_suggest_allow(error, person, names, PERSON_COUNT, "", "see: evenkeel list patients");
}

Case *sim_practice_case(const char *person, uint64_t seed, Error *error) {
    PersonId id = model_people_find(person);
    char source[CASE_SOURCE_MAX], name[CASE_PATH_MAX];
    Error local;
    if (error == NULL) error = &local;
    if (id == PERSON_COUNT) {
        unknown_person(person, error);
        return NULL;
    }
    const char *text = model_people_text(id);
    char first = (char)(text[0] >= 'a' && text[0] <= 'z' ? text[0] - 'a' + 'A' : text[0]);
    int length = snprintf(source, sizeof source, TEXT, person, seed, first, text + 1, person);
    snprintf(name, sizeof name, PRACTICE_PREFIX "%s", person);
    ErrorList *errors = calloc(1, sizeof *errors);
    if (errors == NULL || length < 0 || (size_t)length >= sizeof source) {
        model_error_set(error, ERROR_MEMORY, "no memory for the case");
        free(errors);
        return NULL;
    }
    Case *out = sim_case_parse(source, (size_t)length, name, errors);
    if (out == NULL) *error = errors->items[0];
    free(errors);
    return out;
}

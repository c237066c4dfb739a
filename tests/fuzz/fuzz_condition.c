/* Any bytes as a condition: refused at a column, or a program that can be run. */
#include "sim/condition.h"

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MAX = 400 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const Observables observables;
    static const Display display;
    static const Parameters parameters;
    const ConditionInputs inputs = {&observables, &display, &parameters, NULL};
    char text[TEXT_MAX + 1];
    Condition condition;
    Error error;
    if (size > TEXT_MAX) size = TEXT_MAX;
    memcpy(text, data, size);
    text[size] = '\0';
    if (sim_condition_parse(text, &condition, &error) == ERROR_OK) {
        (void)sim_condition_holds(&condition, &inputs);
    } else if (error.column < 1) {
        abort();
    }
    return 0;
}

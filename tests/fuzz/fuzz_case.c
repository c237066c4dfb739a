/* Any bytes as a case file: a case or a list of errors, never a crash. */
#include "sim/case.h"

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static ErrorList errors;
    Case *night = sim_case_parse((const char *)data, size, "fuzz.yaml", &errors);
    if ((night == NULL) != (errors.count > 0)) abort();
    sim_case_free(night);
    return 0;
}

/* Any bytes as a case file: a case or a list of errors, never a crash; and a case is read critically too. */
#include "sim/case.h"
#include "sim/lint.h"

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static ErrorList errors;
    Case *night = sim_case_parse((const char *)data, size, "fuzz.yaml", &errors);
    if ((night == NULL) != (errors.count > 0)) abort();
    if (night != NULL) sim_lint_case(night, (const char *)data, size, &errors);
    sim_case_free(night);
    return 0;
}

/* Any bytes as an act: what is read is written in words that are read back as the same words. */
#include "sim/acts.h"

#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MAX = 700 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char text[TEXT_MAX + 1], words[ACT_TEXT_MAX], again[ACT_TEXT_MAX];
    Act act;
    Error error;
    if (size > TEXT_MAX) size = TEXT_MAX;
    memcpy(text, data, size);
    text[size] = '\0';
    if (sim_acts_parse(text, NULL, &act, &error) != ERROR_OK) return 0;
    sim_acts_format(&act, words, sizeof words);
    if (sim_acts_parse(words, NULL, &act, &error) != ERROR_OK) abort();
    sim_acts_format(&act, again, sizeof again);
    if (strcmp(words, again) != 0) abort();
    return 0;
}

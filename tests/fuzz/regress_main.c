/* Runs a fuzz harness over kept inputs without a fuzzer: regress FILE... Each file is also cut short and has
   single bytes changed, with a fixed generator, so that the neighbourhood of what was once found stays
   covered. */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BYTES_MAX = 300000, CHANGES = 300 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static uint32_t next(uint32_t *state) {
    *state = *state * 1664525u + 1013904223u; /* linear congruential, Numerical Recipes constants */
    return *state >> 8;
}

static int run_file(const char *path, uint8_t *bytes, uint8_t *work) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        fprintf(stderr, "%s: cannot be opened\n", path);
        return 1;
    }
    size_t size = fread(bytes, 1, BYTES_MAX, file);
    fclose(file);
    uint32_t state = 20240229;
    (void)LLVMFuzzerTestOneInput(bytes, size);
    for (int i = 0; i < CHANGES && size > 0; i++) {
        memcpy(work, bytes, size);
        size_t length = i % 3 == 0 ? next(&state) % (size + 1) : size;
        for (int k = 0; k < 1 + i % 4 && length > 0; k++) {
            work[next(&state) % length] = (uint8_t)next(&state);
        }
        (void)LLVMFuzzerTestOneInput(work, length);
    }
    return 0;
}

int main(int argc, char **argv) {
    uint8_t *bytes = malloc(BYTES_MAX), *work = malloc(BYTES_MAX);
    int failed = bytes == NULL || work == NULL || argc < 2;
    for (int i = 1; i < argc && !failed; i++) {
        failed = run_file(argv[i], bytes, work);
    }
    if (!failed) printf("%d inputs, %d variants each\n", argc - 1, CHANGES);
    free(bytes);
    free(work);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

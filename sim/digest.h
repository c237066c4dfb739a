/* Fingerprints of files, and names made of fingerprints. */
#ifndef SIM_DIGEST_H
#define SIM_DIGEST_H

#include "model/error.h"

#include <stddef.h>
#include <stdint.h>

enum { DIGEST_HEX_MAX = 65, DIGEST_UUID_MAX = 37, DIGEST_STATE_MAX = 256 };

/* A SHA-256 (FIPS 180-4) under way; flat. */
typedef struct Digest {
    uint64_t state[DIGEST_STATE_MAX / sizeof(uint64_t)];
} Digest;

void sim_digest_begin(Digest *digest);
void sim_digest_add(Digest *digest, const void *bytes, size_t count);

/* Writes the digest as 64 lower-case hexadecimal digits. */
void sim_digest_end(Digest *digest, char hex[DIGEST_HEX_MAX]);

/* SHA-256 of a file. ERROR_FILE_READ names it. */
MODEL_CHECKED ErrorCode sim_digest_file(const char *path, char hex[DIGEST_HEX_MAX], Error *error);

/* Version 5 UUID (RFC 9562, 5.5) of `name` in this program's own name space: the same name, the same UUID. */
void sim_digest_uuid(const char *name, char uuid[DIGEST_UUID_MAX]);

#endif

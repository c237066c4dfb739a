/* Fingerprints by the nettle library: the only file that knows it. */
#include "sim/digest.h"

#include <nettle/sha1.h>
#include <nettle/sha2.h>

#include <assert.h>
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { BLOCK_BYTES = 1 << 16, UUID_BYTES = 16 };

static_assert(sizeof(struct sha256_ctx) <= sizeof(Digest), "room for the library's state");

/* Drawn once for this program: 0aed1eea-ee5f-4bc6-bf9b-9e083db70f7c. */
static const uint8_t NAME_SPACE[UUID_BYTES] = {0x0a, 0xed, 0x1e, 0xea, 0xee, 0x5f, 0x4b, 0xc6,
                                               0xbf, 0x9b, 0x9e, 0x08, 0x3d, 0xb7, 0x0f, 0x7c};

static void write_hex(const uint8_t *bytes, size_t count, char *text) {
    for (size_t i = 0; i < count; i++)
        snprintf(text + 2 * i, 3, "%02x", bytes[i]);
}

void sim_digest_begin(Digest *digest) {
    sha256_init((struct sha256_ctx *)digest->state);
}

void sim_digest_add(Digest *digest, const void *bytes, size_t count) {
    sha256_update((struct sha256_ctx *)digest->state, count, bytes);
}

void sim_digest_end(Digest *digest, char hex[DIGEST_HEX_MAX]) {
    uint8_t bytes[SHA256_DIGEST_SIZE];
    sha256_digest((struct sha256_ctx *)digest->state, sizeof bytes, bytes);
    write_hex(bytes, sizeof bytes, hex);
}

ErrorCode sim_digest_file(const char *path, char hex[DIGEST_HEX_MAX], Error *error) {
    uint8_t block[BLOCK_BYTES];
    Digest digest;
    FILE *file = fopen(path, "rb");
    bool whole = file != NULL;
    sim_digest_begin(&digest);
    for (size_t got; whole && (got = fread(block, 1, sizeof block, file)) > 0;)
        sim_digest_add(&digest, block, got);
    whole = whole && ferror(file) == 0;
    if (!whole) {
        ErrorCode code = model_error_set(error, ERROR_FILE_READ, "cannot read the file: %s", strerror(errno));
        model_error_at(error, path, 0, 0);
        if (file != NULL) fclose(file);
        return code;
    }
    fclose(file);
    sim_digest_end(&digest, hex);
    return ERROR_OK;
}

void sim_digest_uuid(const char *name, char uuid[DIGEST_UUID_MAX]) {
    struct sha1_ctx sha;
    uint8_t b[SHA1_DIGEST_SIZE];
    sha1_init(&sha);
    sha1_update(&sha, sizeof NAME_SPACE, NAME_SPACE);
    sha1_update(&sha, strlen(name), (const uint8_t *)name);
    sha1_digest(&sha, sizeof b, b);
    b[6] = (uint8_t)((b[6] & 0x0f) | 0x50); /* version 5 */
    b[8] = (uint8_t)((b[8] & 0x3f) | 0x80); /* variant of RFC 9562 */
    snprintf(uuid, DIGEST_UUID_MAX, "%02x%02x%02x%02x-%02x%02x-%02x%02x-%02x%02x-%02x%02x%02x%02x%02x%02x",
             b[0], b[1], b[2], b[3], b[4], b[5], b[6], b[7], b[8], b[9], b[10], b[11], b[12], b[13], b[14],
             b[15]);
}

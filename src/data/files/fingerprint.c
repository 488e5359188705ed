#include "data/files/fingerprint.h"

#include <errno.h>
#include <sha2.h>
#include <stdio.h>
#include <string.h>

#include "base/plain_file.h"

static bool add_file(SHA2_CTX *digest, const char *file, foci_error *err) {
    FILE *stream = foci_file_open(file, FOCI_MOST_OF_TABLE, err);
    if (!stream)
        return false;
    unsigned char bytes[16384];
    size_t got = 0;
    while ((got = fread(bytes, 1, sizeof bytes, stream)) > 0)
        SHA256Update(digest, bytes, got);
    bool ok = !ferror(stream) || foci_fail(err, FOCI_NO_FILE, file, 0, "cannot be read: %s", strerror(errno));
    fclose(stream);
    return ok;
}

static void print_digest(char hex[65], SHA2_CTX *digest) {
    unsigned char bytes[SHA256_DIGEST_LENGTH];
    SHA256Final(bytes, digest);
    for (size_t i = 0; i < sizeof bytes; i++)
        snprintf(hex + 2 * i, 3, "%02x", bytes[i]);
}

bool foci_fingerprint_files(char hex[65], const char *const *files, size_t count, foci_error *err) {
    SHA2_CTX digest;
    SHA256Init(&digest);
    for (size_t i = 0; i < count; i++)
        if (!add_file(&digest, files[i], err))
            return false;
    print_digest(hex, &digest);
    return true;
}

void foci_fingerprint_text(char hex[65], const char *text) {
    SHA2_CTX digest;
    SHA256Init(&digest);
    SHA256Update(&digest, (const unsigned char *)text, strlen(text));
    print_digest(hex, &digest);
}

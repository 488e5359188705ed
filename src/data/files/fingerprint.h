/* What a file's content is, in 64 letters: the only door to the digest library. */
#ifndef FOCI_DATA_FINGERPRINT_H
#define FOCI_DATA_FINGERPRINT_H

#include "fieldfoci/error.h"

/* SHA-256 (FIPS 180-4) of the files' contents one after the other, lower-case hex. */
bool foci_fingerprint_files(char hex[65], const char *const *files, size_t count, foci_error *err) FOCI_MUST_CHECK;

/* The same of a text. */
void foci_fingerprint_text(char hex[65], const char *text);

#endif

/* Files that are read: ordinary ones of a sensible size, whatever a user or another file names. */
#ifndef FOCI_BASE_PLAIN_FILE_H
#define FOCI_BASE_PLAIN_FILE_H

#include <stdio.h>

#include "fieldfoci/error.h"

/* Most bytes of a disease profile, of a job or summary, and of a table of stops or boundaries. */
#define FOCI_MOST_OF_PROFILE (1L << 20)
#define FOCI_MOST_OF_SUMMARY (64L << 20)
#define FOCI_MOST_OF_TABLE (1L << 30)

/* Opens for reading. FOCI_NO_FILE where it is not there, is no ordinary file (a folder, a device, or a pipe, which
 * would keep the reader waiting) or is larger than `most` bytes; never waits. */
FILE *foci_file_open(const char *file, long most, foci_error *err) FOCI_MUST_CHECK;

/* The same question without opening it for long; an empty file is refused, too. */
bool foci_file_check(const char *file, long most, foci_error *err) FOCI_MUST_CHECK;

/* The whole file, with a zero byte behind its `*size` bytes; owned by the caller. */
char *foci_file_read(const char *file, long most, size_t *size, foci_error *err) FOCI_MUST_CHECK;

#endif

/* What lies in a .zip archive. */
#ifndef FOCI_DATA_ZIP_MEMBERS_H
#define FOCI_DATA_ZIP_MEMBERS_H

#include "fieldfoci/error.h"

/* Whether the file begins as an archive does. */
bool foci_zip_is(bool *is, const char *file, foci_error *err) FOCI_MUST_CHECK;

/* The text of a member, with a zero byte behind; owned by the caller. "" where there is no such member. FOCI_NO_FILE
 * where it has more than `most` bytes or cannot be read. */
char *foci_zip_member_read(const char *file, const char *name, size_t most, foci_error *err) FOCI_MUST_CHECK;

#endif

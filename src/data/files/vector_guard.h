/* What a user's vector file may not do before it is opened: wait, grow, or lead to other files and addresses. */
#ifndef FOCI_DATA_VECTOR_GUARD_H
#define FOCI_DATA_VECTOR_GUARD_H

#include "fieldfoci/error.h"

/* Most rows of one layer: more than a season of scouting of any farm (common practice, no source). */
enum { FOCI_MOST_ROWS = 1000000 };

/* FOCI_NO_FILE where the file, or one that the library would read beside it, is no ordinary one or too large, also once
 * it is unpacked; FOCI_BAD_INPUT where a reference system in it leads elsewhere. `drivers` (ended by NULL) are those
 * that may read it. Between foci_gdal_begin and foci_gdal_end. */
bool foci_vector_guard(const char *file, const char *const *drivers, foci_error *err) FOCI_MUST_CHECK;

#endif

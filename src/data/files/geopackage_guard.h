/* What a user's GeoPackage may not do to its reader: the only door to SQLite. */
#ifndef FOCI_DATA_GEOPACKAGE_GUARD_H
#define FOCI_DATA_GEOPACKAGE_GUARD_H

#include "fieldfoci/error.h"

/* FOCI_BAD_INPUT where a reference system of the file leads to another file or address. True for every file that is no
 * SQLite database. */
bool foci_geopackage_check(const char *file, foci_error *err) FOCI_MUST_CHECK;

/* From begin to end every SQLite file that this thread opens may take so many seconds: a view that never ends is then
 * interrupted (the library that reads says so). What views call is held to what changes nothing and reaches nothing. */
void foci_geopackage_begin(void);
void foci_geopackage_end(void);

/* Whether the time since the last begin is over. */
bool foci_geopackage_is_late(void);

/* Test hook: that many seconds in place of the usual ones; 0 puts them back. */
void foci_geopackage_limit(double seconds);

#endif

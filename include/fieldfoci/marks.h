/* Marks: roads, wells, drains, trees, gates, so that people recognize the field on a map. */
#ifndef FIELDFOCI_MARKS_H
#define FIELDFOCI_MARKS_H

#include "fieldfoci/geometry.h"

typedef enum { FOCI_MARK_POINT, FOCI_MARK_LINE, FOCI_MARK_AREA } foci_mark_kind;

typedef struct {
    foci_mark_kind kind;
    char *name;       /* one line, "" if none; owned */
    size_t count;     /* of parts: one of one corner for a point, open lines, or all rings of an area */
    foci_ring *parts; /* meters, work system; owned */
} foci_mark;

typedef struct {
    size_t count;
    foci_mark *items; /* owned */
} foci_marks;

/* Reads every layer of a vector file (a GPX file: waypoints, routes and tracks, not the points of these), adding to
 * `marks`; the name is the column "name", else "label" or "title", in any case of letters. `crs` is the system of a
 * file that carries none, or NULL; CSV files have lon and lat, or what foci_stops_read takes. Errors: FOCI_NO_FILE,
 * FOCI_BAD_INPUT (no shape, no system), FOCI_BAD_SETTING; on failure `marks` is as before. */
FOCI_API bool foci_marks_read(foci_marks *marks, const char *file, const char *work_crs, const char *crs,
                              foci_error *err) FOCI_MUST_CHECK;

/* Adds one point (meters, work system). */
FOCI_API bool foci_marks_add_point(foci_marks *marks, foci_point place, const char *name,
                                   foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_marks_free(foci_marks *marks);

#endif

/* Waypoints for a phone or a hand-held receiver: GPX 1.1. */
#ifndef FOCI_SHOW_EXPORT_GPX_H
#define FOCI_SHOW_EXPORT_GPX_H

#include "fieldfoci/survey.h"

typedef struct {
    foci_point lonlat; /* WGS84, degrees */
    const char *name;
    const char *description; /* may be NULL */
    const char *type;        /* may be NULL */
} foci_gpx_place;

/* Texts that are NULL or "" are left out. Borrows all of it. */
typedef struct {
    const char *title, *description;
    const char *time; /* ISO 8601, UTC: "2026-05-01T08:00:00Z" */
    size_t count;
    const foci_gpx_place *places; /* in walking order: waypoints, and the route through them */
    const foci_gpx_place *start;  /* where the route begins and, where closed, ends; no waypoint. May be NULL */
    bool closed;
} foci_gpx;

/* Writes `path` whole or not at all, which must not exist, and reads it again. Text that XML cannot hold becomes "?".
 * FOCI_BAD_INPUT for a place off the globe; FOCI_NO_FILE. */
bool foci_gpx_write(const foci_gpx *gpx, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The dig checks of a field, "" or NULL where it has no name; `time` as above. The cautions go into the file's
 * description, and each place says what to mind there. */
bool foci_gpx_write_digs(const foci_dig_points *digs, const char *field, const char *time,
                         const foci_sentences *cautions, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif

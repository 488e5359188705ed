/* Findings: what a user should know about the data before believing a map. */
#ifndef FIELDFOCI_CHECKS_H
#define FIELDFOCI_CHECKS_H

#include "fieldfoci/stops.h"

typedef enum { FOCI_NOTE, FOCI_WARNING } foci_severity_of_finding;

typedef struct {
    const char *what; /* the check's name, static */
    foci_severity_of_finding severity;
    char *text; /* one sentence; owned */
    /* where it changes how far a map of these stops can be trusted: that, in plain words and without the names of
     * options, as it stands on the sheet; NULL where it does not; owned */
    char *trust;
    size_t stop_count;
    char **stops; /* names of the stops it speaks of; owned */
} foci_finding;

typedef struct {
    size_t count;
    foci_finding *items;
} foci_findings;

/* Adds one finding; `stops` (indices into `of`) may be NULL. */
FOCI_API bool foci_findings_add(foci_findings *findings, const char *what, foci_severity_of_finding severity,
                                const foci_stops *of, const size_t *stops, size_t stop_count, foci_error *err,
                                const char *format, ...) FOCI_MUST_CHECK FOCI_PRINTF(8, 9);

/* Gives the finding that was added last its plain words for the sheet. */
FOCI_API bool foci_findings_trust(foci_findings *findings, foci_error *err, const char *format, ...) FOCI_MUST_CHECK
    FOCI_PRINTF(3, 4);

/* What findings are called that say how a file was read, where that was a choice. */
#define FOCI_HOW_READ "how it was read"

/* Adds one note of that name: "stops.csv: semicolons stand between the cells; ...". Nothing where there are no notes.
 */
FOCI_API bool foci_findings_add_notes(foci_findings *findings, const char *file, const foci_notes *notes,
                                      foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_findings_free(foci_findings *findings);

/* One row of the catalog of data checks. */
typedef struct {
    const char *name;  /* as it stands in findings[].what */
    const char *title; /* one line for the docs */
    bool (*make)(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                 const foci_multipolygon *field_shape, foci_error *err);
} foci_check;

/* Ends with a row of zeros; run in this order. */
FOCI_API extern const foci_check foci_check_table[];

/* Runs every check: marks stops that cannot be used (`used`, `why`), pools those that share a place, and lists the
 * findings. The shapes may be NULL (no field given). Errors: FOCI_BAD_INPUT where no stop is left, with the remedy. */
FOCI_API bool foci_checks_make(foci_findings *findings, foci_stops *stops, const foci_multipolygon *field_lonlat,
                               const foci_multipolygon *field_shape, foci_error *err) FOCI_MUST_CHECK;

#endif

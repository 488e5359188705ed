/* The files of a survey folder: one row per file. */
#ifndef FIELDFOCI_EXPORT_H
#define FIELDFOCI_EXPORT_H

#include "fieldfoci/seasons.h"

typedef struct {
    const char *file;  /* "survey.gpkg" */
    const char *title; /* one line for docs and help */
    /* whether this round has it (an inverse-distance surface has no deviation, say) */
    bool (*applies)(const foci_survey *round);
    /* writes the whole file at `path`, checks it by reading it again; false leaves nothing behind */
    bool (*write)(const foci_survey *round, const char *path, foci_error *err);
} foci_export;

/* Ends with a row of zeros. survey.json is not here: the survey itself writes it last. */
FOCI_API extern const foci_export foci_export_table[];

/* The files of a comparison of seasons, in the same way; seasons.json is not here. Where fewer than two seasons can be
 * compared `applies` leaves out what has nothing to show. */
typedef struct {
    const char *file;
    const char *title;
    bool (*applies)(const foci_seasons *seasons);
    bool (*write)(const foci_seasons *seasons, const char *path, foci_error *err);
} foci_seasons_export;

FOCI_API extern const foci_seasons_export foci_seasons_export_table[];

#endif

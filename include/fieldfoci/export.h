/* The files of a survey folder: one row per file. */
#ifndef FIELDFOCI_EXPORT_H
#define FIELDFOCI_EXPORT_H

#include "fieldfoci/round.h"

typedef struct {
    const char *file;  /* "survey.gpkg" */
    const char *title; /* one line for docs and help */
    /* whether this round has it (an inverse-distance surface has no deviation, say) */
    bool (*applies)(const foci_round *round);
    /* writes the whole file at `path`, checks it by reading it again; false leaves nothing behind */
    bool (*write)(const foci_round *round, const char *path, foci_error *err);
} foci_export;

/* Ends with a row of zeros. survey.json is not here: the survey itself writes it last. */
FOCI_API extern const foci_export foci_export_table[];

#endif

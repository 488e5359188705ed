/* A survey read back from what is kept of it. */
#ifndef FOCI_RUN_RECALL_H
#define FOCI_RUN_RECALL_H

#include "data/files/json_file.h"
#include "data/files/vector_file.h"
#include "fieldfoci/history.h"
#include "fieldfoci/steps.h"

/* What is kept; all borrowed. */
typedef struct {
    const char *name; /* what messages call it */
    const foci_json *job;
    const char *folder; /* where the job's files are named from; NULL: by where they lie in all the system */
    const char *field;  /* the field's name */
    const foci_multipolygon *boundary; /* WGS84 */
    const foci_table *stops; /* stop, hits and checked or value, date; east and north, where those were its own */
} foci_kept_survey;

/* As foci_survey_check leaves it, but stops that cannot be used are an error. `work_crs`: the system to work in; NULL:
 * the survey's own. */
bool foci_recall(foci_survey *out, const foci_kept_survey *kept, const char *work_crs, foci_error *err) FOCI_MUST_CHECK;

/* Of a survey folder; `key` receives what it is, by content. */
bool foci_recall_folder(foci_survey *out, char key[65], const char *folder, const char *work_crs,
                        foci_error *err) FOCI_MUST_CHECK;

/* Of the survey of a history whose sha256 this is. */
bool foci_recall_entry(foci_survey *out, const char *history, const char *sha256, const char *work_crs,
                       const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

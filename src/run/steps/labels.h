/* What a survey is called by: season, title, rating, dates. */
#ifndef FOCI_RUN_LABELS_H
#define FOCI_RUN_LABELS_H

#include "fieldfoci/steps.h"

/* The time of making, ISO 8601 in UTC: SOURCE_DATE_EPOCH where it is set, else now. FOCI_BAD_SETTING where it is set
 * and is no number of seconds. */
bool foci_labels_made(char made[32], foci_error *err) FOCI_MUST_CHECK;

/* Season, title, rating and dates of a round whose stops are read. */
bool foci_labels_make(foci_survey *round, const foci_survey_options *used, foci_error *err) FOCI_MUST_CHECK;

#endif

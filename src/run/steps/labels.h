/* What is said beside a survey's numbers: labels, cautions, warnings. */
#ifndef FOCI_RUN_LABELS_H
#define FOCI_RUN_LABELS_H

#include "fieldfoci/steps.h"

/* The time of making, ISO 8601 in UTC: SOURCE_DATE_EPOCH where it is set, else now. FOCI_BAD_SETTING where it is set
 * and is no number of seconds. */
bool foci_labels_made(char made[32], foci_error *err) FOCI_MUST_CHECK;

/* Season, title, rating and dates of a round whose stops are read. */
bool foci_labels_make(foci_survey *round, const foci_survey_options *used, foci_error *err) FOCI_MUST_CHECK;

/* Those of these cautions that are the same for any stops; `profile` NULL: no disease is named. */
bool foci_labels_standing(foci_sentences *cautions, const foci_profile *profile, foci_error *err) FOCI_MUST_CHECK;

/* The cautions that stand on every output, and those of the disease. */
bool foci_labels_caution(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* What a user should know about the estimate itself. */
bool foci_labels_warn(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif

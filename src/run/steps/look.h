/* The steps of a look at stops, wherever they come from. */
#ifndef FOCI_RUN_LOOK_H
#define FOCI_RUN_LOOK_H

#include "fieldfoci/steps.h"

/* The options of a survey, as asked and as used; borrows nothing. On failure it can only be freed. */
bool foci_look_begin(foci_survey *survey, const foci_survey_options *options, foci_error *err) FOCI_MUST_CHECK;

/* What is to be read of the stops; `profile` NULL: none. Borrows from both. FOCI_BAD_SETTING: limits of a count. */
bool foci_look_reading(foci_stops_options *out, const foci_survey_options *used, const foci_profile *profile,
                       foci_error *err) FOCI_MUST_CHECK;

/* Checks a round whose field and stops are in the work system, and makes its readings. */
bool foci_look_check(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif

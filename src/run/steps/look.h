/* The steps of a look at stops, wherever they come from. */
#ifndef FOCI_RUN_LOOK_H
#define FOCI_RUN_LOOK_H

#include "fieldfoci/survey.h"

/* What is to be read of the stops; `profile` NULL: none. Borrows from both. FOCI_BAD_SETTING: wrong --limits. */
bool foci_look_reading(foci_stops_options *out, const foci_settings *settings, const foci_profile *profile,
                       foci_error *err) FOCI_MUST_CHECK;

/* Checks a round whose field and stops are in the work system, and makes its readings. `unfit` as foci_survey_look. */
bool foci_look_check(foci_round *round, foci_error *unfit, foci_error *err) FOCI_MUST_CHECK;

#endif

/* How far to trust a survey: what a user should know about the estimate itself. */
#ifndef FOCI_DECIDE_WARNINGS_H
#define FOCI_DECIDE_WARNINGS_H

#include "fieldfoci/survey.h"

/* Warnings of the data first, then those that the method left, then those of what was estimated and decided. */
bool foci_warnings_make(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif

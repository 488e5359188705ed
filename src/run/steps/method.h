/* From the options to a surface method fitted to the readings. */
#ifndef FOCI_RUN_METHOD_H
#define FOCI_RUN_METHOD_H

#include "fieldfoci/steps.h"

/* Chooses threshold, area, heading and method of a round whose stops are read, fits the model, and writes what was left
 * open into `used` as it was settled, so that the job repeats the survey. */
bool foci_method_fit(foci_survey *round, foci_survey_options *used, const foci_execution *how,
                     foci_error *err) FOCI_MUST_CHECK;

#endif

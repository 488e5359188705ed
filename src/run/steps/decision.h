/* From a surface to what to do: hotspots, zones, economics, dig-checks. */
#ifndef FOCI_RUN_DECISION_H
#define FOCI_RUN_DECISION_H

#include "fieldfoci/steps.h"

/* Refuses early what cannot be decided by: chances the wrong way round, cost without loss or above it, lanes of no
 * width. FOCI_BAD_SETTING. */
bool foci_decision_check(const foci_survey_options *options, foci_error *err) FOCI_MUST_CHECK;

/* Of a round whose surface is made; `used` keeps the chances as they were settled. */
bool foci_decision_make(foci_survey *round, foci_survey_options *used, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

/* From a surface to what to do: hotspots, zones, economics, dig-checks. */
#ifndef FOCI_RUN_DECISION_H
#define FOCI_RUN_DECISION_H

#include "fieldfoci/survey.h"

/* Refuses early what cannot be decided by: chances the wrong way round, cost without loss or above it, a place that is
 * none. FOCI_BAD_SETTING. */
bool foci_decision_check(const foci_settings *settings, foci_error *err) FOCI_MUST_CHECK;

/* Of a round whose surface is made; the settings keep the chances as they were used. */
bool foci_decision_make(foci_round *round, foci_settings *settings, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

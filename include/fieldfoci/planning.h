/* The whole of planning: from a boundary (and what is known of it) to a plan. */
#ifndef FIELDFOCI_PLANNING_H
#define FIELDFOCI_PLANNING_H

#include "fieldfoci/plan.h"
#include "fieldfoci/settings.h"

/* By settings->plan, and of settings->survey by boundary, field, reading, disease, threshold, row heading, gate, seed
 * and labels. FOCI_BAD_SETTING: neither a number of stops nor what they are for, or both; options that do not go
 * together; what foci_layout_make refuses. FOCI_BAD_INPUT, FOCI_NO_FILE: as those who read boundary, profile and survey
 * folders; a survey of another field. */
FOCI_API bool foci_plan_make(foci_plan *out, const foci_settings *settings, const foci_execution *how,
                             foci_error *err) FOCI_MUST_CHECK;

#endif

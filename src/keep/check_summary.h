/* What check adds to the summary: each stop as it was read, and the first look. */
#ifndef FOCI_KEEP_CHECK_SUMMARY_H
#define FOCI_KEEP_CHECK_SUMMARY_H

#include "data/files/json_file.h"
#include "fieldfoci/survey.h"

/* The keys `each`, `highest`, `lowest`, `days`, `raters`. */
bool foci_check_summary_put(foci_json *root, const foci_survey *survey, foci_error *err) FOCI_MUST_CHECK;

#endif

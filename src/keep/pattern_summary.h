/* The `pattern` object of survey.json. */
#ifndef FOCI_KEEP_PATTERN_SUMMARY_H
#define FOCI_KEEP_PATTERN_SUMMARY_H

#include "data/files/json_file.h"
#include "fieldfoci/survey.h"

/* Under the key `pattern`; null where the readings were not judged. */
bool foci_pattern_summary_put(foci_json *root, const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* What `pattern --json` prints; owned by the caller. */
char *foci_pattern_summary(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif

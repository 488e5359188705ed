/* report.html: all of a survey on one page that opens anywhere, with scripts or without, and prints. */
#ifndef FOCI_SHOW_REPORT_H
#define FOCI_SHOW_REPORT_H

#include "fieldfoci/survey.h"

/* Names no path, only file names. The same round gives the same bytes. FOCI_TOO_EARLY, FOCI_NO_FILE,
 * FOCI_NO_MEMORY. */
bool foci_report_write(const foci_survey *round, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif

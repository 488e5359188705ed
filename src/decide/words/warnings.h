/* How far to trust a survey: what a user should know about the estimate itself. */
#ifndef FOCI_DECIDE_WARNINGS_H
#define FOCI_DECIDE_WARNINGS_H

#include "fieldfoci/survey.h"

/* Warnings of the data first, then those that the method left, then those of what was estimated and decided. */
bool foci_warnings_make(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* ---- what the steps find and decide, each in its words ---- */

/* `why` no model of likeness could be fitted. */
bool foci_find_no_model(foci_survey *round, const char *why, foci_error *err) FOCI_MUST_CHECK;

/* Stops that crowd the bad spots, where that makes the average run high by more than a little. */
bool foci_find_crowding(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* Ground that no stop speaks for, where it is more than a little. */
bool foci_find_gaps(foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* What became of the earlier survey; owned by the caller, as are those below. */
char *foci_words_earlier(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* Zones of a disease that does not live in the soil, for a reason; why there are none without one; why the verdict
 * makes none. */
bool foci_say_zones_even_so(foci_survey *round, const char *reason, foci_error *err) FOCI_MUST_CHECK;
char *foci_words_no_pockets(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;
char *foci_words_no_zones(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* How often left-out stops fell inside their bounds; false where it is not known. */
bool foci_words_coverage(char *text, size_t size, const foci_cross_validation *check);

#endif

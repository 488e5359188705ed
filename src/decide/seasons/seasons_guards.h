/* What must hold before one season is held against another. */
#ifndef FOCI_DECIDE_SEASONS_GUARDS_H
#define FOCI_DECIDE_SEASONS_GUARDS_H

#include "fieldfoci/survey.h"

/* Ground that both boundaries cover, over that which either covers; both in the same work system. */
bool foci_seasons_overlap(double *out, const foci_field *one, const foci_field *other, foci_error *err) FOCI_MUST_CHECK;

/* Refuses (FOCI_BAD_INPUT, source `name`) the survey `name`, read into `other`, where it is of another disease, kind of
 * reading, unit or rating than `one`, or of another field: boundaries that overlap less than 95 %. Both have a field,
 * in the same work system. Thresholds may differ. */
bool foci_seasons_guard_pair(const foci_survey *one, const foci_survey *other, const char *name,
                             foci_error *err) FOCI_MUST_CHECK;

/* The same, but what a person may know better gives way to a reason, which is then put among those of `even_so`: the
 * unit, the rating, a disease that only one of them names, a boundary that has 80 % or more in common. What stops the
 * pair is no error: `*fence` (owned by the caller) tells it, "it is of another disease ..."; NULL where nothing does.
 */
bool foci_seasons_fence_pair(char **fence, foci_sentences *even_so, const foci_survey *one, const foci_survey *other,
                             const char *name, const char *reason, foci_error *err) FOCI_MUST_CHECK;

/* The same readings at the same places, begun on the same day: one survey under two names. The same stops scouted again
 * are another one, even where nothing was found in either. Both in the same work system. */
bool foci_seasons_same_readings(const foci_survey *one, const foci_survey *other);

/* A disease that does not live in the soil does not stay in its places: refused (FOCI_BAD_SETTING, about `option`),
 * unless there is a reason to go on, which is then put among those of `even_so`. */
bool foci_seasons_guard_soil(foci_sentences *even_so, const foci_survey *round, const char *option, const char *reason,
                             foci_error *err) FOCI_MUST_CHECK;

#endif

/* The first look at a round, the same evening: by day, by rater, the highest and the lowest stops. */
#ifndef FIELDFOCI_FIRST_LOOK_H
#define FIELDFOCI_FIRST_LOOK_H

#include "fieldfoci/checks.h"

/* Stops of one day or one rater whose readings can be used. */
typedef struct {
    const char
        *name; /* YYYY-MM-DD or the rater, as the first of its stops has it; "": not said; borrowed from the stops */
    size_t stops;
    double mean;          /* of their readings, reading's unit */
    double hits, checked; /* their sums; NaN for scores */
} foci_reading_group;

/* In the order of days or names; those without come last. */
typedef struct {
    size_t count;
    foci_reading_group *items;
} foci_reading_groups;

/* What the checks left (foci_checks_make). None where no stop says its day, or its rater. */
FOCI_API bool foci_reading_groups_by_day(foci_reading_groups *out, const foci_stops *stops,
                                         foci_error *err) FOCI_MUST_CHECK;
FOCI_API bool foci_reading_groups_by_rater(foci_reading_groups *out, const foci_stops *stops,
                                           foci_error *err) FOCI_MUST_CHECK;
FOCI_API void foci_reading_groups_free(foci_reading_groups *groups);

/* Indices into `stops->items` of those whose readings can be used, by their readings, equal ones in the order of the
 * file; `*count` of them, owned by the caller. */
FOCI_API bool foci_stops_ranked(size_t **out, size_t *count, const foci_stops *stops, bool lowest_first,
                                foci_error *err) FOCI_MUST_CHECK;

/* The ends of the 95 % interval for a share of which `hits` of `checked` were counted, percent: Wilson (1927, Journal
 * of the American Statistical Association 22:209-212). It takes the units as independent. */
FOCI_API void foci_share_interval(double hits, double checked, double *low, double *high);

#endif

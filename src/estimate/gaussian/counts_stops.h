/* Stops with counts, in the frame of the rows: u along them, v across. */
#ifndef FOCI_ESTIMATE_COUNTS_STOPS_H
#define FOCI_ESTIMATE_COUNTS_STOPS_H

#include "base/frame.h"

typedef struct {
    size_t count;
    size_t earlier;         /* the last so many are of an earlier season than the one in question */
    double *u, *v;          /* metres; u owns the block in which all five arrays lie */
    double *hits, *checked; /* infected units of units looked at */
    double *log_choose;     /* log of the binomial coefficient, by the gamma function */
} foci_counts_stops;

/* More units at one place lose digits in the sums (docs/counts.md). */
#define FOCI_COUNTS_UNITS 1e6

/* All of one season. Errors: FOCI_BAD_INPUT (row = 1-based stop) where a count is impossible or above
 * FOCI_COUNTS_UNITS, or a place is no number. */
bool foci_counts_stops_make(foci_counts_stops *out, const foci_frame *frame, const foci_point *places,
                            const double *hits, const double *checked, size_t count, foci_error *err) FOCI_MUST_CHECK;

/* Those of `from` that are listed in `which`, those of the season in question first. */
bool foci_counts_stops_pick(foci_counts_stops *out, const foci_counts_stops *from, const size_t *which, size_t count,
                            foci_error *err) FOCI_MUST_CHECK;

/* Those of the season in question, then those of an earlier one. */
bool foci_counts_stops_join(foci_counts_stops *out, const foci_counts_stops *own, const foci_counts_stops *earlier,
                            foci_error *err) FOCI_MUST_CHECK;

void foci_counts_stops_free(foci_counts_stops *stops);

#endif

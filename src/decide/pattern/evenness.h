/* Whether the stops are spread evenly, and the mean that makes up for it where they are not. */
#ifndef FOCI_DECIDE_EVENNESS_H
#define FOCI_DECIDE_EVENNESS_H

#include "fieldfoci/geometry.h"

/* Cell declustering (Deutsch & Journel 1998, GSLIB, section VI.2): a stop's weight is 1 / (occupied cells x stops in
 * its cell), averaged over 10 x 10 origins; the weights sum to 1. The cell's side is the distance between evenly spread
 * stops: the square root of the hull's area a stop, the hull widened by (sqrt(n) / (sqrt(n) - 1))^2 for its rim; at
 * least the diagonal of the stops' box / (n - 1). NaN for fewer than 2 stops or all in one place; the weights are then
 * equal. */
bool foci_decluster(double *weights, double *side, const foci_point *places, size_t count,
                    foci_error *err) FOCI_MUST_CHECK;

/* How close the stops stand at each: minus the logarithm of the mean distance to its two nearest, at least 0.1 m.
 * `*even`: these distances differ by no more than 5 %, or there are fewer than 3 stops; density is then not to be
 * looked at. */
bool foci_stop_density(double *density, bool *even, const foci_point *places, size_t count,
                       foci_error *err) FOCI_MUST_CHECK;

#endif

/* Switching along a lane: the best on-and-off sequence in which nothing is shorter than the least run. */
#ifndef FOCI_DECIDE_LANES_RUNS_H
#define FOCI_DECIDE_LANES_RUNS_H

#include "fieldfoci/error.h"

/* `on[i]`: whether step i of `count` is on. Of all sequences whose runs, on and off, have at least `least` steps (1 <=
 * least <= count; the runs at the ends too) the one with the largest sum of `value` over the steps that are on; of
 * equals the one with the fewest switches, then the one that ends on. Exact, by dynamic programming, in time
 * proportional to count x least. Adding steps of value 0 changes no sum in its last digit, so that ties over them are
 * true ties. */
bool foci_lanes_runs(bool *on, const double *value, size_t count, size_t least, foci_error *err) FOCI_MUST_CHECK;

#endif

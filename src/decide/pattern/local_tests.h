/* Local Moran and Gi* at each stop, and the false-discovery rate over all of them. */
#ifndef FOCI_DECIDE_LOCAL_TESTS_H
#define FOCI_DECIDE_LOCAL_TESTS_H

#include "decide/pattern/links.h"
#include "fieldfoci/pattern.h"

/* `out` holds links->count tests. Weights of the links are not looked at: local Moran is row-standardised, Gi*
 * binary. A stop without a neighbour has no local Moran; its Gi* is its own reading's z. The false-discovery rate is
 * held over all stops that have a p. */
bool foci_local_tests_make(foci_local_test *out, const foci_links *links, const double *values,
                           foci_error *err) FOCI_MUST_CHECK;

/* Benjamini & Hochberg 1995: q[i] is the least false-discovery rate at which test i is still a discovery. NaN stays out
 * of the count. p and q may be the same array. */
bool foci_false_discovery(double *q, const double *p, size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif

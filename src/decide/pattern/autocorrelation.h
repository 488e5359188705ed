/* Moran's I, Geary's C and the General G of the readings over their links. */
#ifndef FOCI_DECIDE_AUTOCORRELATION_H
#define FOCI_DECIDE_AUTOCORRELATION_H

#include "decide/pattern/links.h"
#include "fieldfoci/pattern.h"

/* The three values alone; NaN where not defined. Stops without a neighbour stay in mean and variance of I and C but
 * are not counted in their n; G leaves them out. */
typedef struct {
    double moran, geary, general_g;
} foci_autocorrelation;

/* `order` NULL: as they stand; else values[order[i]] is taken to stop i. s0: sum of the weights. */
foci_autocorrelation foci_autocorrelation_at(const foci_links *links, double s0, const double *values,
                                             const size_t *order);

/* Value, expectation, variance, z and p of each (not the permuted p): Moran 1950, Geary 1954, Getis & Ord 1992; moments
 * under randomisation after Cliff & Ord 1981. NaN for fewer than 4 linked stops or equal readings. Also I's variance,
 * z and p for normal readings. */
bool foci_autocorrelation_test(foci_pattern *out, const foci_links *links, const double *values,
                               foci_error *err) FOCI_MUST_CHECK;

#endif

/* Minimising a function of a few bounded numbers: the only door to NLopt. */
#ifndef FOCI_BASE_OPTIMUM_H
#define FOCI_BASE_OPTIMUM_H

#include "fieldfoci/error.h"

typedef double (*foci_objective)(const double *point, size_t count, void *context);

/* From `point` (in and out) within [lower, upper], derivative-free; `*least` is the value reached. Stops at a relative
 * change of 1e-12 in the point or 1e-14 in the value, or after 20,000 evaluations. */
bool foci_minimise(double *point, size_t count, const double *lower, const double *upper, foci_objective objective,
                   void *context, double *least, foci_error *err) FOCI_MUST_CHECK;

#endif

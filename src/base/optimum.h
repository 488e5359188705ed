/* Minimising a function of a few bounded numbers: the only door to NLopt. */
#ifndef FOCI_BASE_OPTIMUM_H
#define FOCI_BASE_OPTIMUM_H

#include "fieldfoci/error.h"

typedef double (*foci_objective)(const double *point, size_t count, void *context);

/* From `point` (in and out) within [lower, upper], derivative-free; `*least` is the value reached. Stops at a relative
 * change of 1e-12 in the point or 1e-14 in the value, or after 20,000 evaluations. */
bool foci_minimise(double *point, size_t count, const double *lower, const double *upper, foci_objective objective,
                   void *context, double *least, foci_error *err) FOCI_MUST_CHECK;

/* Writes the derivatives into `slope` unless that is NULL. */
typedef double (*foci_sloped_objective)(const double *point, double *slope, size_t count, void *context);

/* The same for a smooth function with derivatives, in tens of evaluations instead of thousands (sequential quadratic
 * programmes: Kraft 1994, ACM Transactions on Mathematical Software 20:262). Stops at a relative change of 1e-9 in the
 * point or 1e-12 in the value, or after 500 evaluations: the least of the valley it starts in, to about 1e-9 of its
 * value. */
bool foci_minimise_sloped(double *point, size_t count, const double *lower, const double *upper,
                          foci_sloped_objective objective, void *context, double *least,
                          foci_error *err) FOCI_MUST_CHECK;

#endif

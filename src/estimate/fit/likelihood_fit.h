/* The covariance under which the readings are likeliest, and whether likeness reaches farther in one direction. */
#ifndef FOCI_ESTIMATE_LIKELIHOOD_FIT_H
#define FOCI_ESTIMATE_LIKELIHOOD_FIT_H

#include "estimate/fit/likelihood_grid.h"

typedef struct {
    foci_variogram variogram; /* sills in the values' unit squared */
    double log;               /* logarithm of the (restricted) likelihood */
} foci_likelihood_fit;

/* The best model of the grid's families: from the two best points of each family that comes near, refined without
 * derivatives over range, nugget share and (where the grid has ratios) ratio. `values` of foci_likelihood_grid_run, one
 * column. FOCI_NO_FIT where no point has a likelihood. */
bool foci_likelihood_best(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                          const foci_likelihood_value *values, const foci_likelihood *likelihood,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* The same with all ratios held at 1. */
bool foci_likelihood_best_isotropic(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                                    const foci_likelihood_value *values, const foci_likelihood *likelihood,
                                    const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* The best of 12 headings, 15 degrees apart, with the model of the isotropic fit `start`: range, share and ratio
 * refined at the best heading. Never below `start`: the ratio may be 1. */
bool foci_likelihood_best_heading(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                                  const foci_likelihood_fit *start, const foci_likelihood *likelihood,
                                  const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

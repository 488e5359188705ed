/* The covariance under which the readings are likeliest, and whether likeness reaches farther in one direction. */
#ifndef FOCI_ESTIMATE_SCORE_BEST_H
#define FOCI_ESTIMATE_SCORE_BEST_H

#include "estimate/fit/score_search.h"

typedef struct {
    foci_covariance_shape shape;
    double sill; /* the values' unit squared */
    double log;  /* logarithm of the (restricted) likelihood */
} foci_score_best;

/* As it is reported. */
foci_variogram foci_score_best_variogram(const foci_score_best *best, bool restricted);

/* The best model of the grid's families: from the two best points of each family that comes near, refined without
 * derivatives over range, nugget share and (where the grid has ratios) ratio. FOCI_NO_FIT where no point has a
 * likelihood. */
bool foci_score_best_find(foci_score_best *out, const foci_score_search *search, const foci_execution *how,
                          foci_error *err) FOCI_MUST_CHECK;

/* The best of 12 headings, 15 degrees apart, with the model of the best isotropic one, `start`: range, share and ratio
 * refined at the best heading. Never below `start`: the ratio may be 1. */
bool foci_score_best_heading(foci_score_best *out, const foci_score_search *search, const foci_score_best *start,
                             const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

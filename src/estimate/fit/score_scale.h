/* Which Box-Cox scale the readings ask for. */
#ifndef FOCI_ESTIMATE_SCORE_SCALE_H
#define FOCI_ESTIMATE_SCORE_SCALE_H

#include "estimate/fit/box_cox.h"
#include "estimate/fit/score_search.h"

/* Half the 95 % point of chi-square with one degree of freedom: exponents less likely than that are outside the 95 %
 * interval of a profile likelihood. */
#define FOCI_SCALE_GAIN 1.92

typedef struct {
    double lambda, gain; /* log likelihood above that of lambda 1 */
} foci_scale_choice;

/* The exponent in [-0.5, 1.5] of greatest profile likelihood of the readings themselves (the slope of the
 * transformation included): 21 exponents over the whole isotropic grid, then between them at the best point of it.
 * FOCI_BAD_INPUT as foci_box_cox_shift. */
bool foci_scale_choose(foci_scale_choice *out, const foci_observations *stops, const foci_score_grid *grid,
                       const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

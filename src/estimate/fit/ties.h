/* An earlier season tied to the one in question: draws of independent seasons are weighed with each tie and drawn anew.
 */
#ifndef FOCI_ESTIMATE_TIES_H
#define FOCI_ESTIMATE_TIES_H

#include "estimate/fit/systematic.h"

typedef struct {
    double rho;   /* share of the field's variance in common */
    double scale; /* deviation of the earlier season's field over that of the other */
    double prior; /* sums to 1 over the ties */
} foci_tie;

/* Of draws x ties, those of a draw together: the weight is that of the draw times the tie's prior times its likelihood
 * over that of the first tie, under which the draws were made; sums to 1. Returns the log of what the evidence gains.
 */
double foci_ties_weigh(double *weight, const double *log_likelihood, const double *draw_weight, size_t draws,
                       const foci_tie *ties, size_t tie_count);

/* `wanted` systematic draws of draws x ties, along a path on which neighbors are alike: `*count` different ones, at
 * most `wanted`, whose weights sum to 1; point: draw x tie_count + tie. */
bool foci_ties_draw(foci_drawn *out, size_t *count, const double *weight, size_t draws, size_t tie_count, size_t wanted,
                    foci_error *err) FOCI_MUST_CHECK;

#endif

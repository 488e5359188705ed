/* What a mixture of normal distributions on the scale of kriging says of a reading. */
#ifndef FOCI_ESTIMATE_SCORE_MIXTURE_H
#define FOCI_ESTIMATE_SCORE_MIXTURE_H

#include "estimate/fit/box_cox.h"

/* Weights sum to 1; deviations are all above 0, or all 0. Borrowed; mean and deviation are overwritten. */
typedef struct {
    size_t count;
    const double *weight;
    double *mean, *deviation;
} foci_score_mixture;

/* Arrays of the caller, any may be NULL; reading's unit. */
typedef struct {
    double *estimate;   /* mean */
    double *variance;   /* of a new reading */
    double *low, *high; /* 5 % and 95 % bounds */
    double *chance;     /* that the reading is at or above the threshold; NaN where the threshold is */
    double *log_score;  /* left-out stops only: logarithm of the density at the reading */
} foci_score_layers;

/* Writes what the mixture says to place i of the layers, log_score excepted. The mean is that of the readings the
 * mixture stands for, none counting for more than scale->highest, by 21-point Gauss-Hermite quadrature of each part
 * (without transformation: in closed form, not held within any limits). Variance, bounds and chance are not held. */
void foci_score_mixture_tell(const foci_score_layers *out, size_t i, const foci_score_mixture *mixture,
                             const foci_box_cox *scale, double threshold);

#endif

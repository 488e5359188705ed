/* What a mixture of normal distributions on the scale of estimation says: of a share, by the logit, and of a score, by
 * its Box-Cox scale. */
#ifndef FOCI_ESTIMATE_MIXTURE_H
#define FOCI_ESTIMATE_MIXTURE_H

#include "estimate/fit/box_cox.h"
#include "fieldfoci/surface.h"

/* Weights sum to 1; deviations are all above 0, or for a score that is known all 0. Borrowed. */
typedef struct {
    size_t count;
    const double *weight, *mean, *deviation;
} foci_mixture;

/* Probability that the number is at or below x. */
double foci_mixture_below(const foci_mixture *mixture, double x);

/* The number below which `probability` (0 to 1, both ends excluded) lies: Newton's method on the log of the nearer
 * tail, kept within a bracket, to 1e-10. */
double foci_mixture_quantile(const foci_mixture *mixture, double probability);

/* Mean and variance of the share whose logit the mixture is of, by 21-point Gauss-Hermite quadrature of each part. */
void foci_mixture_share_moments(const foci_mixture *mixture, double *mean, double *variance);

/* The share below which `probability` lies. */
double foci_mixture_share(const foci_mixture *mixture, double probability);

/* Probability that the share is at or above `threshold`: 1 for 0 and below, 0 for 1 and above, NaN for NaN. */
double foci_mixture_share_chance(const foci_mixture *mixture, double threshold);

/* Probability that fewer than `hits` of `checked` units are infected: the mean of foci_mixture_below over a beta
 * distributed share (hits, checked - hits + 1), by Gauss-Hermite quadrature on the logit scale. */
double foci_mixture_share_fewer(const foci_mixture *mixture, double hits, double checked);

/* Writes what the mixture says of a share (0 to 1) to place i of the arrays, any of which may be NULL; `estimate` is
 * the mean. */
void foci_mixture_tell_share(const foci_prediction *out, size_t i, const foci_mixture *mixture, double threshold);

/* Arrays of the caller, any may be NULL; reading's unit. */
typedef struct {
    double *estimate;   /* mean */
    double *variance;   /* of a new reading */
    double *low, *high; /* 5 % and 95 % bounds */
    double *chance;     /* that the reading is at or above the threshold; NaN where the threshold is */
    double *log_score;  /* left-out stops only: logarithm of the density at the reading */
} foci_score_layers;

/* Writes what the mixture says of a score to place i of the layers, log_score excepted. The mean is that of the
 * readings the mixture stands for, none counting for more than scale->highest, by 21-point Gauss-Hermite quadrature of
 * each part (without transformation: in closed form, not held within any limits). Variance, bounds and chance are not
 * held. At most FOCI_SCORE_DRAWS parts. */
void foci_mixture_tell_score(const foci_score_layers *out, size_t i, const foci_mixture *mixture,
                             const foci_box_cox *scale, double threshold);

#endif

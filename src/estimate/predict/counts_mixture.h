/* What a mixture of normal distributions on the logit scale says of a share. */
#ifndef FOCI_ESTIMATE_COUNTS_MIXTURE_H
#define FOCI_ESTIMATE_COUNTS_MIXTURE_H

#include <stddef.h>

/* Weights sum to 1; means and deviations (> 0) on the logit scale. Borrowed. */
typedef struct {
    size_t count;
    const double *weight, *mean, *deviation;
} foci_counts_mixture;

/* Mean and variance of the share, by 21-point Gauss-Hermite quadrature of each part. */
void foci_counts_mixture_moments(const foci_counts_mixture *mixture, double *mean, double *variance);

/* Probability that the logit is at or below x. */
double foci_counts_mixture_below(const foci_counts_mixture *mixture, double x);

/* The logit below which `probability` (0 to 1, both ends excluded) lies: Newton's method on the log of the nearer
 * tail, kept within a bracket, to 1e-10. */
double foci_counts_mixture_quantile(const foci_counts_mixture *mixture, double probability);

/* The share below which `probability` lies. */
double foci_counts_mixture_share(const foci_counts_mixture *mixture, double probability);

/* Probability that the share is at or above `threshold`: 1 for 0 and below, 0 for 1 and above, NaN for NaN. */
double foci_counts_mixture_chance(const foci_counts_mixture *mixture, double threshold);

/* Probability that fewer than `hits` of `checked` units are infected: the mean of foci_counts_mixture_below over a beta
 * distributed share (hits, checked - hits + 1), by Gauss-Hermite quadrature on the logit scale. */
double foci_counts_mixture_fewer(const foci_counts_mixture *mixture, double hits, double checked);

/* What is said of a share: arrays of the caller, any may be NULL. */
typedef struct {
    double *mean, *variance;
    double *low, *high; /* 5 % and 95 % bounds */
    double *chance;     /* that the share is at or above the threshold; NaN without one */
} foci_counts_prediction;

/* Writes what the mixture says to place i of the arrays. */
void foci_counts_mixture_tell(const foci_counts_prediction *out, size_t i, const foci_counts_mixture *mixture,
                              double threshold);

#endif

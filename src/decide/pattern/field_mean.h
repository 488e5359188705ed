/* The mean of the field with its interval, for the advice 'use the field average'. */
#ifndef FOCI_DECIDE_FIELD_MEAN_H
#define FOCI_DECIDE_FIELD_MEAN_H

#include "fieldfoci/pattern.h"

/* Mean and 90 % interval. Scores: mean -+ t s / sqrt(n). Counts: 100 sum y / sum n, Wilson's interval with t in place
 * of the normal quantile and as many units as a binomial would need for the variance of a beta-binomial,
 * (sum n)^2 / sum n (1 + rho (n - 1)). NaN bounds for fewer than 2 stops. */
void foci_field_mean_find(foci_estimate *out, const foci_readings *readings, foci_reading_kind kind, double rho);

/* Mean with a weight for each stop, reading's unit. */
double foci_field_mean_weighted(const foci_readings *readings, foci_reading_kind kind, const double *weights);

#endif

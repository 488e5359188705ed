/* The likelihood of one season alone, and its derivatives (Rasmussen & Williams 2006, section 5.5.1). */
#ifndef FOCI_ESTIMATE_JOINT_SLOPE_H
#define FOCI_ESTIMATE_JOINT_SLOPE_H

#include "estimate/gaussian/covariance.h"

/* Derivatives by the mean, log(sigma^2), log(noise^2) (counts: 0), log(range) and log(ratio). */
typedef struct {
    double mean, variance, noise, range, ratio;
} foci_joint_slope;

/* `season`: data of one season. `field`: where the search for the mode starts, and the mode found; `slope` may be NULL.
 */
bool foci_joint_season_likelihood(double *log_likelihood, foci_joint_slope *slope, double *field,
                                  const foci_observations *season, const foci_parameters *parameters,
                                  foci_error *err) FOCI_MUST_CHECK;

#endif

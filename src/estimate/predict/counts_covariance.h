/* The counts surface at several places together, on the logit scale. */
#ifndef FOCI_ESTIMATE_COUNTS_COVARIANCE_H
#define FOCI_ESTIMATE_COUNTS_COVARIANCE_H

#include "estimate/predict/counts_model.h"

/* More stops than can be worked jointly are put together into so many pools, their units added up. */
enum { FOCI_COUNTS_POOLS = FOCI_COUNTS_JOINT };

/* Posterior mean and covariance (count x count) of the logit of the share, at the parameter point of the largest
 * weight; variation from stop to stop is not in it. Rasmussen & Williams 2006, Gaussian Processes for Machine Learning,
 * equations 3.21 and 3.24. */
bool foci_counts_covariance(const foci_counts_model *model, double *mean, double *covariance, const foci_point *places,
                            size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif

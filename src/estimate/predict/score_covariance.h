/* The kriged surface at several places together, on the scale of kriging. */
#ifndef FOCI_ESTIMATE_SCORE_COVARIANCE_H
#define FOCI_ESTIMATE_SCORE_COVARIANCE_H

#include "estimate/predict/score_model.h"

/* More stops than this are put together into so many pools: the mean of each at the middle of its stops, the nugget
 * less accordingly. */
enum { FOCI_SCORE_POOLS = 1000 };

/* Mean and covariance (count x count) of the surface without its nugget, given the readings, under the component of the
 * largest weight: universal kriging of several places together (Cressie 1993, Statistics for Spatial Data, section
 * 3.4). All 0 but the mean where all readings are equal. */
bool foci_score_covariance(const foci_score_model *model, double *mean, double *covariance, const foci_point *places,
                           size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif

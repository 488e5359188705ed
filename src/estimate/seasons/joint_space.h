/* The numbers that a joint fit searches, and their bounds. */
#ifndef FOCI_ESTIMATE_JOINT_SPACE_H
#define FOCI_ESTIMATE_JOINT_SPACE_H

#include "estimate/seasons/joint_slope.h"

enum { FOCI_JOINT_NUMBERS_MOST = 3 * FOCI_SEASONS_TOGETHER + 2 };

/* Means, logs of variances, for scores logs of the noise's variances (a number a season each), log of the range, and
 * where there are rows log of the ratio. Bounds: range from a quarter of the median distance to the nearest stop of the
 * season to half the largest distance (of an exponential correlation; others reach as far), sigma^2 from 0.02 to 9,
 * noise^2 from 0.0001 to 4, ratio from 1 to 4. */
typedef struct {
    size_t seasons, count;
    bool scores, rows;
    foci_correlation_family family;
    double lower[FOCI_JOINT_NUMBERS_MOST], upper[FOCI_JOINT_NUMBERS_MOST];
} foci_joint_space;

/* FOCI_NO_FIT where most stops share their places. */
bool foci_joint_space_make(foci_joint_space *out, const foci_observations *data, bool rows,
                           const foci_correlation_family *family, foci_error *err) FOCI_MUST_CHECK;

/* Indices of the numbers; those of a season, then the common ones. */
size_t foci_joint_space_variance(const foci_joint_space *space, size_t season);
size_t foci_joint_space_noise(const foci_joint_space *space, size_t season); /* scores */
size_t foci_joint_space_range(const foci_joint_space *space);
size_t foci_joint_space_ratio(const foci_joint_space *space); /* with rows */

foci_parameters foci_joint_space_parameters(const foci_joint_space *space, const double *point);

/* The parameters of one season alone. */
foci_parameters foci_joint_space_season(const foci_joint_space *space, const double *point, size_t season);

#endif

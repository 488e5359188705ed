/* A covariance of sill 1 as it is searched for, between the variogram that is shown and the parameters that are worked
 * with. */
#ifndef FOCI_ESTIMATE_COVARIANCE_SHAPE_H
#define FOCI_ESTIMATE_COVARIANCE_SHAPE_H

#include "estimate/gaussian/covariance.h"
#include "fieldfoci/variogram.h"

typedef struct {
    foci_correlation_family family;
    double range;   /* practical, along the heading, metres */
    double ratio;   /* range across / along the heading, at most 1 */
    double share;   /* nugget / sill */
    double heading; /* degrees; of the frame in which the parameters hold */
} foci_covariance_shape;

/* `sill`: of the variogram. A sill of 0 has a share of 0. */
foci_covariance_shape foci_covariance_shape_of(const foci_variogram *variogram, double *sill);

foci_variogram foci_covariance_shape_variogram(const foci_covariance_shape *shape, double sill);

/* The same sill in each of `seasons` seasons, rho 0. */
foci_parameters foci_covariance_shape_parameters(const foci_covariance_shape *shape, double sill, size_t seasons);

#endif

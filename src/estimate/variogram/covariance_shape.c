#include "estimate/variogram/covariance_shape.h"

#include <math.h>

foci_covariance_shape foci_covariance_shape_of(const foci_variogram *variogram, double *sill) {
    *sill = variogram->nugget + variogram->partial_sill;
    const foci_correlation_family family = {variogram->kind, variogram->smoothness,
                                            foci_correlation_practical(variogram->kind, variogram->smoothness)};
    return (foci_covariance_shape){.family = family,
                                   .range = family.practical * variogram->range,
                                   .ratio = variogram->ratio,
                                   .share = *sill > 0 ? variogram->nugget / *sill : 0,
                                   .heading = variogram->heading};
}

foci_variogram foci_covariance_shape_variogram(const foci_covariance_shape *shape, double sill) {
    return (foci_variogram){.kind = shape->family.row,
                            .nugget = shape->share * sill,
                            .partial_sill = (1 - shape->share) * sill,
                            .range = shape->range / shape->family.practical,
                            .heading = shape->heading,
                            .ratio = shape->ratio,
                            .smoothness = shape->family.smoothness,
                            .squares = NAN};
}

foci_parameters foci_covariance_shape_parameters(const foci_covariance_shape *shape, double sill, size_t seasons) {
    foci_parameters at = {.family = shape->family, .range = shape->range, .stretch = 1 / shape->ratio};
    for (size_t s = 0; s < seasons; s++) {
        at.sigma[s] = sqrt((1 - shape->share) * sill);
        at.noise[s] = sqrt(shape->share * sill);
    }
    return at;
}

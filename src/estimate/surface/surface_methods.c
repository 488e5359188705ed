#include "estimate/surface/surface_methods.h"

#include "estimate/predict/counts_model.h"

static const struct foci_surface_functions counts = {
    .fit = foci_surface_counts_fit,
    .free = foci_surface_counts_free,
    .at = foci_surface_counts_at,
    .left_out = foci_surface_counts_left_out,
    .covariance = foci_surface_counts_covariance,
};

static const struct foci_surface_functions moments = {
    .fit = foci_surface_moments_fit,
    .free = foci_surface_moments_free,
    .at = foci_surface_moments_at,
    .left_out = foci_surface_moments_left_out,
};

static const struct foci_surface_functions kriging = {
    .fit = foci_surface_kriging_fit,
    .free = foci_surface_kriging_free,
    .at = foci_surface_kriging_at,
    .left_out = foci_surface_kriging_left_out,
    .covariance = foci_surface_kriging_covariance,
};

static const struct foci_surface_functions indicator = {
    .fit = foci_surface_indicator_fit,
    .free = foci_surface_indicator_free,
    .at = foci_surface_indicator_at,
    .left_out = foci_surface_indicator_left_out,
    .covariance = foci_surface_indicator_covariance,
};

static const struct foci_surface_functions idw = {
    .fit = foci_surface_idw_fit,
    .free = foci_surface_idw_free,
    .at = foci_surface_idw_at,
    .left_out = foci_surface_idw_left_out,
};

const foci_surface_method foci_surface_methods[] = {
    {
        .name = "counts",
        .title = "model-based binomial kriging of counts",
        .needs_counts = true,
        .gives_variance = true,
        .on_lattice = true,
        .earlier_most = FOCI_COUNTS_JOINT,
        .functions = &counts,
    },
    {
        .name = "moments",
        .title = "binomial kriging of counts by moments",
        .needs_counts = true,
        .needs_variogram = true,
        .gives_variance = true,
        .functions = &moments,
    },
    {
        .name = "kriging",
        .title = "ordinary kriging",
        .needs_variogram = true,
        .gives_variance = true,
        .earlier_most = 1000, /* all stops enter each estimate */
        .functions = &kriging,
    },
    {
        .name = "indicator",
        .title = "indicator kriging",
        .needs_variogram = true,
        .gives_variance = true,
        .functions = &indicator,
    },
    {
        .name = "idw",
        .title = "inverse-distance weighting",
        .functions = &idw,
    },
    {0},
};

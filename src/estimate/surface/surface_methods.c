#include "estimate/surface/surface_methods.h"

#include "estimate/predict/counts_model.h"

const foci_surface_method foci_surface_methods[] = {
    {
        .name = "counts",
        .title = "model-based binomial kriging of counts",
        .needs_counts = true,
        .gives_variance = true,
        .on_nodes = true,
        .earlier_most = FOCI_COUNTS_JOINT,
        .functions = &foci_surface_by_counts,
    },
    {
        .name = "moments",
        .title = "binomial kriging of counts by moments",
        .needs_counts = true,
        .needs_variogram = true,
        .gives_variance = true,
        .functions = &foci_surface_by_moments,
    },
    {
        .name = "kriging",
        .title = "ordinary kriging",
        .needs_variogram = true,
        .gives_variance = true,
        .earlier_most = 1000, /* all stops enter each estimate */
        .functions = &foci_surface_by_kriging,
    },
    {
        .name = "indicator",
        .title = "indicator kriging",
        .needs_variogram = true,
        .gives_variance = true,
        .functions = &foci_surface_by_indicator,
    },
    {
        .name = "idw",
        .title = "inverse-distance weighting",
        .functions = &foci_surface_by_distance,
    },
    {0},
};

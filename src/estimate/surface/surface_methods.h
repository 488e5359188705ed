/* The rows of the catalogue of surface methods: what each is made of. */
#ifndef FOCI_ESTIMATE_SURFACE_METHODS_H
#define FOCI_ESTIMATE_SURFACE_METHODS_H

#include "fieldfoci/surface.h"

/* What a method is asked for, as surface.h has it. */
struct foci_surface_functions {
    bool (*fit)(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err);
    void (*free)(void *state);
    /* Places are worked in fixed tiles, so the answer does not depend on the number of threads. */
    bool (*at)(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err);
    bool (*left_out)(const void *state, const foci_leave_one_out *out, const foci_execution *how, foci_error *err);
    bool (*covariance)(const void *state, double *mean, double *covariance, double *threshold, const foci_point *places,
                       size_t count, foci_error *err); /* NULL: it knows none */
};

extern const struct foci_surface_functions foci_surface_by_counts, foci_surface_by_moments, foci_surface_by_kriging,
    foci_surface_by_indicator, foci_surface_by_distance;

#endif

/* A surface method fitted and asked in one call, for tests that ask once. */
#ifndef FOCI_TESTS_SURFACE_MODEL_H
#define FOCI_TESTS_SURFACE_MODEL_H

#include "support/readings.h"

#include "fieldfoci/cross_validation.h"

/* Kriging of the readings as they are, unless the options say otherwise. */
static inline foci_surface_options support_options(const foci_surface_options *options) {
    foci_surface_options own = *options;
    if (!own.method)
        own.method = foci_surface_method_find("kriging");
    if (own.least == own.most) {
        own.least = -INFINITY;
        own.most = INFINITY;
    }
    if (!(own.area > 0))
        own.area = 216;
    return own;
}

static inline bool support_at(double *estimate, double *variance, const foci_readings *readings,
                              const foci_surface_options *options, const foci_point *places, size_t count,
                              foci_error *err) {
    const foci_surface_options own = support_options(options);
    const foci_prediction out = {.estimate = estimate, .variance = variance};
    foci_surface_model model = {0};
    bool ok = foci_surface_fit(&model, readings, NULL, &own, HOW, err) &&
              foci_surface_at(&model, places, count, &out, HOW, err);
    foci_surface_model_free(&model);
    return ok;
}

static inline bool support_cross_validation(foci_cross_validation *check, const foci_readings *readings,
                                            const foci_surface_options *options, foci_error *err) {
    const foci_surface_options own = support_options(options);
    foci_surface_model model = {0};
    bool ok = foci_surface_fit(&model, readings, NULL, &own, HOW, err) &&
              foci_cross_validation_make(check, &model, readings, HOW, err);
    foci_surface_model_free(&model);
    return ok;
}

static inline bool support_leave_one_out(double *estimate, double *variance, const foci_readings *readings,
                                         const foci_surface_options *options, foci_error *err) {
    foci_cross_validation check = {0};
    if (!support_cross_validation(&check, readings, options, err))
        return false;
    for (size_t i = 0; i < check.n; i++) {
        estimate[i] = check.estimate[i];
        if (variance)
            variance[i] = check.variance[i];
    }
    foci_cross_validation_free(&check);
    return true;
}

static inline bool support_surface(foci_surface *surface, const foci_readings *readings, const foci_grid *grid,
                                   const foci_surface_options *options, foci_error *err) {
    const foci_surface_options own = support_options(options);
    foci_surface_model model = {0};
    bool ok = foci_surface_fit(&model, readings, NULL, &own, HOW, err) &&
              foci_surface_estimate(surface, &model, grid, HOW, err);
    foci_surface_model_free(&model);
    return ok;
}

#endif

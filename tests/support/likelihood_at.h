/* Readings as the exact engine takes them, and their likelihood under one variogram. */
#ifndef FOCI_TESTS_LIKELIHOOD_AT_H
#define FOCI_TESTS_LIKELIHOOD_AT_H

#include "estimate/gaussian/exact.h"
#include "estimate/variogram/covariance_shape.h"
#include "support/simulated_scores.h"

/* With a trend of this order; freed by foci_observations_free. */
static inline foci_observations support_observed(const foci_readings *stops, int order, double heading) {
    const foci_season_readings season = {stops->places, stops->values, NULL, stops->count};
    const foci_columns drift = foci_columns_drift(order, 1);
    foci_observations observed = {0};
    foci_error err = {0};
    assert_done(foci_observations_make(&observed, foci_response_normal, &season, 1, &drift, heading, &err), err);
    return observed;
}

/* At the variogram's shape; its sill does not matter. */
static inline foci_likelihood_value support_likelihood_at(const foci_readings *stops, const foci_variogram *model,
                                                          int order, bool restricted) {
    foci_observations observed = support_observed(stops, order, model->heading);
    foci_likelihood likelihood = {0};
    foci_exact work = {0};
    foci_likelihood_value value = {0};
    foci_error err = {0};
    double sill = 0;
    const foci_covariance_shape shape = foci_covariance_shape_of(model, &sill);
    const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 1);
    assert_done(foci_likelihood_make(&likelihood, &observed, observed.readings, 1, restricted, &err), err);
    assert_done(foci_exact_make(&work, observed.count, observed.columns.count + 1, false, &err), err);
    foci_exact_take(&work, &observed);
    foci_exact_likelihood(&value, &work, &likelihood, &at);
    foci_exact_free(&work);
    foci_exact_free(&work);
    foci_observations_free(&observed);
    return value;
}

#endif

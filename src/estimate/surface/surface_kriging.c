/* The kernel for scores as a surface method. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/predict/score_model.h"
#include "estimate/surface/surface_methods.h"

typedef struct {
    foci_score_model model;
    double threshold;
    size_t count;
    const double *values;
} kriging_state;

void foci_surface_kriging_free(void *state) {
    kriging_state *kriging = state;
    foci_score_model_free(&kriging->model);
    free(kriging);
}

bool foci_surface_kriging_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                              const foci_readings *earlier, const foci_surface_options *options,
                              const foci_execution *how, foci_error *err) {
    kriging_state *kriging = foci_new_array(1, sizeof *kriging, err);
    if (!kriging)
        return false;
    kriging->threshold = options->threshold;
    kriging->count = readings->count;
    kriging->values = readings->values;
    if (!foci_score_model_fit(&kriging->model, readings, earlier, options, true, how, err)) {
        free(kriging);
        return false;
    }
    *facts = kriging->model.facts;
    *state = kriging;
    return true;
}

bool foci_surface_kriging_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                             const foci_execution *how, foci_error *err) {
    const kriging_state *kriging = state;
    const foci_score_layers layers = {.estimate = out->estimate,
                                      .variance = out->variance,
                                      .low = out->low,
                                      .high = out->high,
                                      .chance = out->chance};
    return foci_score_model_at(&layers, &kriging->model, places, count, kriging->threshold, how, err);
}

bool foci_surface_kriging_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                   foci_error *err) {
    const kriging_state *kriging = state;
    double *low = foci_new_array(kriging->count, sizeof *low, err);
    double *high = low ? foci_new_array(kriging->count, sizeof *high, err) : NULL;
    const foci_score_layers layers = {
        .estimate = out->estimate, .variance = out->variance, .low = low, .high = high, .log_score = out->log_score};
    bool ok = high && foci_score_model_left_out(&layers, &kriging->model, kriging->threshold, how, err);
    for (size_t i = 0; ok && i < kriging->count; i++)
        out->inside[i] = low[i] <= kriging->values[i] && kriging->values[i] <= high[i];
    free(low);
    free(high);
    return ok;
}

/* Beyond the limits of a transformed scale the chance is certain. */
static double threshold_on_scale(const foci_box_cox *scale, double threshold) {
    if (scale->transformed && threshold <= scale->least)
        return -INFINITY;
    if (scale->transformed && threshold > scale->most)
        return INFINITY;
    return foci_box_cox_forward(scale, threshold);
}

bool foci_surface_kriging_covariance(const void *state, double *mean, double *covariance, double *threshold,
                                     const foci_point *places, size_t count, foci_error *err) {
    const kriging_state *kriging = state;
    if (!foci_score_covariance(&kriging->model, mean, covariance, places, count, err))
        return false;
    *threshold = threshold_on_scale(&kriging->model.scale, kriging->threshold);
    return true;
}

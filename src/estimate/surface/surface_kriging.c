/* The kernel for scores as a surface method. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/predict/score_model.h"
#include "estimate/surface/surface_methods.h"

static void free_state(void *state) {
    foci_score_model_free(state);
    free(state);
}

static bool fit(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_score_model *model = foci_new_array(1, sizeof *model, err);
    if (!model)
        return false;
    if (!foci_score_model_fit(model, readings, earlier, options, true, how, err)) {
        free(model);
        return false;
    }
    *facts = model->facts;
    *state = model;
    return true;
}

static bool at(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err) {
    const foci_score_model *model = state;
    const foci_score_layers layers = {.estimate = out->estimate,
                                      .variance = out->variance,
                                      .low = out->low,
                                      .high = out->high,
                                      .chance = out->chance};
    return foci_score_model_at(&layers, model, places, count, model->options.threshold, how, err);
}

/* What the bounds of a left-out stop are held against: its reading, or where that is a class a percent drawn from it,
 * each stop's by another component. */
static double to_be_inside(const foci_score_model *model, size_t i) {
    const double *drawn = model->low ? model->components[i % model->count].readings : NULL;
    return drawn ? foci_box_cox_back(&model->scale, drawn[i]) : model->readings.values[i];
}

static bool leave_one_out(const void *state, const foci_leave_one_out *out, const foci_execution *how,
                          foci_error *err) {
    const foci_score_model *model = state;
    const size_t count = model->readings.count;
    double *low = foci_new_array(count, sizeof *low, err);
    double *high = low ? foci_new_array(count, sizeof *high, err) : NULL;
    const foci_score_layers layers = {
        .estimate = out->estimate, .variance = out->variance, .low = low, .high = high, .log_score = out->log_score};
    bool ok = high && foci_score_model_leave_one_out(&layers, model, model->options.threshold, how, err);
    for (size_t i = 0; ok && i < count; i++) {
        const double value = to_be_inside(model, i);
        out->inside[i] = low[i] <= value && value <= high[i];
    }
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

static bool covariance_of(const void *state, double *mean, double *covariance, double *threshold,
                          const foci_point *places, size_t count, foci_error *err) {
    const foci_score_model *model = state;
    *threshold = threshold_on_scale(&model->scale, model->options.threshold);
    return foci_score_covariance(model, mean, covariance, places, count, err);
}

const struct foci_surface_functions foci_surface_by_kriging = {
    .fit = fit,
    .free = free_state,
    .at = at,
    .left_out = leave_one_out,
    .covariance = covariance_of,
};

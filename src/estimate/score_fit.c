#include "estimate/score_model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/text.h"
#include "estimate/score_parameters.h"
#include "estimate/score_scale.h"

/* Systems of all stops may take this much. */
#define MOST_BYTES 2147483648.0

const foci_score_fit foci_score_fits[] = {
    {"restricted-likelihood", "restricted likelihood", true, false},
    {"likelihood", "likelihood", false, false},
    {"weighted-squares", "weighted squares of the semivariances", false, true},
    {0},
};

const foci_score_fit *foci_score_fit_find(const char *name) {
    for (const foci_score_fit *fit = foci_score_fits; fit->name; fit++)
        if (foci_text_same(fit->name, name))
            return fit;
    return NULL;
}

void foci_score_model_free(foci_score_model *model) {
    for (size_t k = 0; model->components && k < model->count; k++)
        foci_kriging_system_free(&model->components[k].system);
    free(model->components);
    free(model->values);
    *model = (foci_score_model){0};
}

static bool all_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->values[i] != readings->values[0])
            return false;
    return true;
}

/* Settles the scale and writes the readings on it. */
static bool settle_scale(foci_score_model *model, const foci_readings *sample, foci_error *err) {
    const foci_score_options *o = &model->options;
    const foci_readings *readings = &model->readings;
    foci_score_summary *summary = &model->summary;
    double lambda = o->scale == FOCI_SCALE_BOX_COX ? o->lambda : 1;
    bool any_negative = false, any_positive = false;
    for (size_t i = 0; i < readings->count; i++) {
        any_negative = any_negative || readings->values[i] < 0;
        any_positive = any_positive || readings->values[i] > 0;
    }
    if (o->scale == FOCI_SCALE_AUTO && !o->variogram && !model->constant && !any_negative && any_positive) {
        foci_likelihood_grid grid =
            foci_likelihood_grid_make(sample->places, sample->count, o->kind, o->smoothness, NAN, o->spacing);
        foci_scale_choice choice = {0};
        if (!foci_scale_choose(&choice, sample, o->trend, &grid, o->threads, err))
            return false;
        summary->scale_gain = choice.gain;
        summary->best_lambda = choice.lambda;
        lambda = choice.gain > FOCI_SCALE_GAIN ? choice.lambda : 1;
    }
    bool asked = o->scale == FOCI_SCALE_BOX_COX && !model->constant;
    if ((asked || lambda != 1) &&
        !foci_box_cox_make(&summary->scale, lambda, readings->values, readings->count, o->least, o->most, err))
        return false;
    model->values = foci_new_array(readings->count, sizeof *model->values, err);
    for (size_t i = 0; model->values && i < readings->count; i++)
        model->values[i] = foci_box_cox_forward(&summary->scale, readings->values[i]);
    return model->values;
}

static bool check_memory(const foci_score_model *model, foci_error *err) {
    double stops = (double)model->readings.count, bytes = 8 * stops * stops * (double)model->count;
    if (model->neighbours > 0 || bytes <= MOST_BYTES)
        return true;
    return foci_fail(err, FOCI_NO_MEMORY, NULL, 0,
                     "kriging from all %zu stops at once would take %.1f GiB, and 2 GiB is the limit; give "
                     "--neighbours 64",
                     model->readings.count, bytes / 1073741824.0);
}

static bool solve_component(foci_score_component *component, const foci_score_model *model, foci_error *err) {
    size_t n = model->readings.count;
    component->plane = foci_kriging_plane_make(&component->variogram, &model->readings);
    if (model->neighbours > 0)
        return true;
    if (!foci_kriging_system_make(&component->system, n, err))
        return false;
    foci_kriging_system *system = &component->system;
    system->count = n;
    system->order = model->options.trend;
    for (size_t i = 0; i < n; i++)
        foci_kriging_plane_place(&component->plane, model->readings.places[i], &system->u[i], &system->v[i]);
    memcpy(system->values, model->values, n * sizeof *system->values);
    return foci_kriging_system_solve(system, &component->variogram, err);
}

static bool check(const foci_readings *readings, const foci_score_options *o, foci_error *err) {
    if (readings->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no stops; give some");
    if (o->trend < 0 || o->trend > FOCI_DRIFT_ORDER_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, "--trend", 0, "%d is no order of a trend; give 0, 1 or 2", o->trend);
    if (o->scale == FOCI_SCALE_BOX_COX && !isfinite(o->lambda))
        return foci_fail(err, FOCI_BAD_SETTING, "--scale", 0, "%g is no exponent; give a number such as 0.5",
                         o->lambda);
    if (o->variogram && o->variogram->nugget + o->variogram->partial_sill == 0 && !all_equal(readings))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "the variogram says that readings do not vary with distance, yet they differ; give another "
                         "--variogram, or use --surface idw");
    return true;
}

static foci_score_model begin(const foci_readings *readings, const foci_score_options *options) {
    foci_score_spread nothing = {NAN, NAN, NAN};
    foci_score_model model = {.readings = *readings, .options = *options};
    if (!model.options.fit)
        model.options.fit = foci_score_fits;
    if (options->neighbours < readings->count)
        model.neighbours = options->neighbours;
    model.constant = all_equal(readings) &&
                     (!options->variogram || options->variogram->nugget + options->variogram->partial_sill == 0);
    model.summary = (foci_score_summary){.log_likelihood = NAN,
                                         .scale = {.lambda = 1},
                                         .scale_gain = NAN,
                                         .best_lambda = NAN,
                                         .fitted_to = readings->count,
                                         .range = nothing,
                                         .nugget_share = nothing,
                                         .ratio = nothing,
                                         .no_pattern = NAN,
                                         .anisotropy = {NAN, NAN, NAN, NAN, false}};
    return model;
}

bool foci_score_model_fit(foci_score_model *out, const foci_readings *readings, const foci_score_options *options,
                          foci_error *err) {
    foci_readings sample = {0};
    bool ok = false;
    if (!check(readings, options, err))
        return false;
    foci_linear_single_thread();
    foci_score_model model = begin(readings, options);
    if (!foci_score_sample(&sample, readings, err) || !settle_scale(&model, &sample, err))
        goto done;
    if (!model.constant) {
        if (!foci_score_parameters_fit(&model, err) || !check_memory(&model, err))
            goto done;
        for (size_t k = 0; k < model.count; k++)
            if (!solve_component(&model.components[k], &model, err))
                goto done;
    }
    model.options.variogram = NULL; /* the components hold what was given */
    *out = model;
    model = (foci_score_model){0};
    ok = true;
done:
    foci_score_sample_free(&sample);
    foci_score_model_free(&model);
    return ok;
}

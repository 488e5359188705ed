#include "estimate/predict/score_model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/text.h"
#include "estimate/fit/score_scale.h"
#include "estimate/predict/score_parameters.h"

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
    free(model->earlier_values);
    *model = (foci_score_model){0};
}

static bool all_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->values[i] != readings->values[0])
            return false;
    return true;
}

/* A scale that takes the readings of all seasons. */
static bool make_scale(foci_score_model *model, double lambda, foci_error *err) {
    const foci_score_options *o = &model->options;
    size_t own = model->readings.count, count = own + model->earlier;
    double *all = foci_new_array(count, sizeof *all, err);
    if (!all)
        return false;
    for (size_t i = 0; i < count; i++)
        all[i] = i < own ? model->readings.values[i] : o->earlier->values[i - own];
    bool ok = foci_box_cox_make(&model->summary.scale, lambda, all, count, o->least, o->most, err);
    free(all);
    return ok;
}

static bool put_on_scale(double **out, const foci_score_model *model, const double *values, size_t count,
                         foci_error *err) {
    *out = foci_new_array(count, sizeof **out, err);
    for (size_t i = 0; *out && i < count; i++)
        (*out)[i] = foci_box_cox_forward(&model->summary.scale, values[i]);
    return *out;
}

/* Settles the scale and writes the readings on it. */
static bool settle_scale(foci_score_model *model, const foci_readings *sample, const foci_execution *how,
                         foci_error *err) {
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
        if (!foci_scale_choose(&choice, sample, o->trend, &grid, how, err))
            return false;
        summary->scale_gain = choice.gain;
        summary->best_lambda = choice.lambda;
        lambda = choice.gain > FOCI_SCALE_GAIN ? choice.lambda : 1;
    }
    bool asked = o->scale == FOCI_SCALE_BOX_COX && !model->constant;
    return (!(asked || lambda != 1) || make_scale(model, lambda, err)) &&
           put_on_scale(&model->values, model, readings->values, readings->count, err) &&
           (model->earlier == 0 ||
            put_on_scale(&model->earlier_values, model, o->earlier->values, model->earlier, err));
}

static bool check_memory(const foci_score_model *model, foci_error *err) {
    double stops = (double)(model->readings.count + model->earlier), bytes = 8 * stops * stops * (double)model->count;
    if (model->neighbours > 0 || bytes <= MOST_BYTES)
        return true;
    return foci_fail(err, FOCI_NO_MEMORY, NULL, 0,
                     "kriging from all %zu stops at once would take %.1f GiB, and 2 GiB is the limit; give "
                     "--neighbors 64",
                     model->readings.count, bytes / 1073741824.0);
}

static bool solve_component(foci_score_component *component, const foci_score_model *model, foci_error *err) {
    size_t own = model->readings.count, n = own + model->earlier;
    component->plane = foci_kriging_plane_make(&component->variogram, &model->readings);
    if (model->neighbours > 0)
        return true;
    if (!foci_kriging_system_make(&component->system, n, err))
        return false;
    foci_kriging_system *system = &component->system;
    system->count = n;
    system->earlier = model->earlier;
    system->shared = component->shared;
    system->order = model->options.trend;
    for (size_t i = 0; i < n; i++) {
        foci_point place = i < own ? model->readings.places[i] : model->options.earlier->places[i - own];
        foci_kriging_plane_place(&component->plane, place, &system->u[i], &system->v[i]);
        system->values[i] = i < own ? model->values[i] : model->earlier_values[i - own];
    }
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
    if (o->earlier && (o->variogram || (o->fit && o->fit->by_squares) || o->neighbours > 0))
        return foci_fail(err, FOCI_BAD_SETTING, "--earlier", 0,
                         "needs a covariance fitted by likelihood, and all stops in each estimate; leave out %s",
                         o->variogram        ? "--variogram"
                         : o->neighbours > 0 ? "--neighbors"
                                             : "--fit");
    return true;
}

static foci_score_model begin(const foci_readings *readings, const foci_score_options *options) {
    foci_interval nothing = {NAN, NAN, NAN};
    foci_score_model model = {.readings = *readings, .options = *options};
    if (!model.options.fit)
        model.options.fit = foci_score_fits;
    if (options->neighbours < readings->count)
        model.neighbours = options->neighbours;
    model.constant = all_equal(readings) &&
                     (!options->variogram || options->variogram->nugget + options->variogram->partial_sill == 0);
    if (options->earlier && !model.constant)
        model.earlier = options->earlier->count;
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
                          const foci_execution *how, foci_error *err) {
    const foci_execution scaling = foci_execution_part(how, 0, 0.5), fitting = foci_execution_part(how, 0.5, 1);
    foci_readings sample = {0};
    bool ok = false;
    if (!check(readings, options, err))
        return false;
    foci_linear_single_thread();
    foci_score_model model = begin(readings, options);
    if (!foci_score_sample(&sample, readings, err) || !settle_scale(&model, &sample, &scaling, err))
        goto done;
    if (!model.constant) {
        if (!foci_score_parameters_fit(&model, &fitting, err) || !check_memory(&model, err))
            goto done;
        for (size_t k = 0; k < model.count; k++)
            if (!solve_component(&model.components[k], &model, err))
                goto done;
    }
    model.options.variogram = NULL; /* the components hold what was given */
    model.options.earlier = NULL;
    *out = model;
    model = (foci_score_model){0};
    ok = true;
done:
    foci_score_sample_free(&sample);
    foci_score_model_free(&model);
    return ok;
}

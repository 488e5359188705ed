#include "estimate/predict/score_model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/fit/fit_summary.h"
#include "estimate/fit/score_scale.h"
#include "estimate/predict/score_classes.h"

/* Systems of all stops may take this much. */
#define MOST_BYTES 2147483648.0

void foci_score_model_free(foci_score_model *model) {
    for (size_t k = 0; model->components && k < model->count; k++) {
        foci_conditional_free(&model->components[k].given);
        free(model->components[k].readings);
    }
    free(model->components);
    free(model->low);
    foci_observations_free(&model->stops);
    *model = (foci_score_model){0};
}

static bool all_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->values[i] != readings->values[0])
            return false;
    return true;
}

foci_observations foci_score_model_stops(const foci_score_model *model, const foci_score_component *component) {
    foci_observations stops = model->stops;
    if (component->readings)
        stops.readings = component->readings;
    return stops;
}

/* A scale that takes the readings of all seasons. */
static bool make_scale(foci_score_model *model, const foci_readings *readings, const foci_readings *earlier,
                       double lambda, foci_error *err) {
    const foci_surface_options *o = &model->options;
    size_t own = readings->count, count = own + model->earlier;
    double *all = foci_new_array(count, sizeof *all, err);
    if (!all)
        return false;
    for (size_t i = 0; i < count; i++)
        all[i] = i < own ? readings->values[i] : earlier->values[i - own];
    bool ok = foci_box_cox_make(&model->scale, lambda, all, count, o->least, o->most, err);
    free(all);
    return ok;
}

static bool put_on_scale(double **out, const foci_score_model *model, const double *values, size_t count,
                         foci_error *err) {
    *out = foci_new_array(count, sizeof **out, err);
    for (size_t i = 0; *out && i < count; i++)
        (*out)[i] = foci_box_cox_forward(&model->scale, values[i]);
    return *out;
}

/* The exponent that the readings ask for, where they may. */
static bool choose_scale(double *lambda, const foci_readings *sample, size_t count, const foci_surface_options *o,
                         const foci_execution *how, foci_error *err) {
    const foci_season_readings season = {sample->places, sample->values, NULL, sample->count};
    const foci_columns drift = foci_columns_drift(o->trend, 1);
    foci_observations stops = {0};
    foci_scale_choice choice = {0};
    const foci_score_grid grid =
        foci_score_grid_make(sample->places, sample->count, o->kind, o->smoothness, NAN, sqrt(o->area / (double)count));
    bool ok = foci_observations_make(&stops, foci_response_normal, &season, 1, &drift, NAN, err) &&
              foci_scale_choose(&choice, &stops, &grid, how, err);
    foci_observations_free(&stops);
    if (!ok)
        return false;
    *lambda = choice.gain > FOCI_SCALE_GAIN ? choice.lambda : 1;
    return true;
}

/* Settles the scale. */
static bool settle_scale(foci_score_model *model, const foci_readings *readings, const foci_readings *earlier,
                         const foci_execution *how, foci_error *err) {
    const foci_surface_options *o = &model->options;
    double lambda = o->scale == FOCI_SCALE_BOX_COX ? o->lambda : 1;
    bool any_negative = false, any_positive = false;
    for (size_t i = 0; i < readings->count; i++) {
        any_negative = any_negative || readings->values[i] < 0;
        any_positive = any_positive || readings->values[i] > 0;
    }
    if (o->scale == FOCI_SCALE_AUTO && !o->variogram && !model->constant && !any_negative && any_positive) {
        foci_readings sample = {0};
        bool ok =
            foci_score_sample(&sample, readings, err) && choose_scale(&lambda, &sample, readings->count, o, how, err);
        foci_score_sample_free(&sample);
        if (!ok)
            return false;
    }
    bool asked = o->scale == FOCI_SCALE_BOX_COX && !model->constant;
    if ((asked || lambda != 1) && !make_scale(model, readings, earlier, lambda, err))
        return false;
    model->facts.lambda = model->scale.lambda;
    model->facts.shift = model->scale.shift;
    return true;
}

static bool check_memory(const foci_score_model *model, foci_error *err) {
    double stops = (double)(model->readings.count + model->earlier), bytes = 8 * stops * stops * (double)model->count;
    if (model->neighbours > 0 || bytes <= MOST_BYTES)
        return true;
    return foci_fail(err, FOCI_NO_MEMORY, NULL, 0,
                     "kriging from all %zu stops at once would take %.1f GiB, and 2 GiB is the limit; give "
                     "{neighbors} 64",
                     model->readings.count, bytes / 1073741824.0);
}

/* The component's own readings of the season in question, and what all have of an earlier one. */
static bool take_readings(foci_score_component *component, const foci_observations *stops, const double *own,
                          size_t count, foci_error *err) {
    component->readings = foci_new_array(stops->count, sizeof *component->readings, err);
    if (!component->readings)
        return false;
    memcpy(component->readings, stops->readings, stops->count * sizeof *component->readings);
    memcpy(component->readings, own, count * sizeof *component->readings);
    return true;
}

/* `values`: each component's own readings, or NULL. */
static bool take_components(foci_score_model *model, const foci_score_draws *draws, const double *values,
                            foci_error *err) {
    const foci_observations *stops = &model->stops;
    const size_t own = model->readings.count;
    foci_exact work = {0};
    bool ok = false;
    if (model->neighbours == 0 && !foci_exact_make(&work, stops->count, stops->columns.count + 1, true, err))
        return false;
    for (size_t k = 0; k < model->count; k++) {
        foci_score_component *component = &model->components[k];
        const foci_covariance_shape *shape = &draws->draw[k].shape;
        component->variogram = foci_covariance_shape_variogram(shape, draws->draw[k].sill);
        component->at = foci_covariance_shape_parameters(shape, draws->draw[k].sill, stops->seasons);
        component->at.rho = draws->draw[k].rho;
        component->weight = draws->draw[k].weight;
        component->widen = draws->widen;
        if (values && !take_readings(component, stops, values + k * own, own, err))
            goto done;
        if (model->neighbours > 0)
            continue;
        const foci_observations its = foci_score_model_stops(model, component);
        foci_exact_take(&work, &its);
        if (!foci_conditional_make(&component->given, stops->count, stops->columns.count, err) ||
            !foci_exact_solve(&work, &component->at, err) ||
            !foci_exact_condition(&component->given, &work, false, err))
            goto done;
    }
    ok = true;
done:
    foci_exact_free(&work);
    return ok;
}

/* `error` of each reading of the season in question, or NULL; `values` as take_components. */
static bool take_draws(foci_score_model *model, const foci_readings *own, const foci_readings *earlier,
                       const double *error, const foci_score_draws *draws, const double *values, foci_error *err) {
    model->freedom = draws->freedom;
    model->count = draws->count;
    model->components = foci_new_array(draws->count, sizeof *model->components, err);
    if (!model->components || !check_memory(model, err) ||
        !foci_score_observe(&model->stops, own, earlier, model->options.trend, draws, err))
        return false;
    for (size_t i = 0; error && i < own->count; i++)
        model->stops.error[i] = error[i];
    return take_components(model, draws, values, err);
}

/* The limits of classes on the scale of kriging. */
static bool take_limits(foci_score_model *model, foci_readings *own, foci_error *err) {
    const size_t n = own->count;
    model->low = foci_new_array(n, 2 * sizeof *model->low, err);
    if (!model->low)
        return false;
    model->high = model->low + n;
    for (size_t i = 0; i < n; i++) {
        model->low[i] = foci_box_cox_forward(&model->scale, own->low[i]);
        model->high[i] = foci_box_cox_forward(&model->scale, own->high[i]);
    }
    own->low = model->low;
    own->high = model->high;
    return true;
}

/* Where readings are classes: components that differ in what lies in them, too. */
static bool fit_classes(foci_score_model *model, foci_readings *own, const foci_readings *earlier, bool headings,
                        const foci_execution *how, foci_error *err) {
    foci_score_draws draws = {0};
    double *values = foci_new_array(own->count, FOCI_SCORE_DRAWS * sizeof *values, err);
    bool ok =
        values && take_limits(model, own, err) &&
        foci_score_classes_draw(&draws, values, &model->facts, own, earlier, &model->options, headings, how, err) &&
        take_draws(model, own, earlier, NULL, &draws, values, err);
    free(values);
    return ok;
}

/* Readings on the scale of kriging, and the components that they are kriged with. */
static bool fit_components(foci_score_model *model, const foci_readings *readings, const foci_readings *before,
                           bool headings, const foci_execution *how, foci_error *err) {
    foci_readings own = *readings, earlier = before ? *before : (foci_readings){0};
    foci_score_draws draws = {0};
    double *values = NULL, *earlier_values = NULL;
    bool ok = false;
    if (!put_on_scale(&values, model, own.values, own.count, err) ||
        !put_on_scale(&earlier_values, model, earlier.values, earlier.count, err))
        goto done;
    own.values = values;
    earlier.values = earlier_values;
    ok = own.low ? fit_classes(model, &own, &earlier, headings, how, err)
                 : foci_score_draws_make(&draws, &model->facts, &own, before ? &earlier : NULL, &model->options,
                                         headings, how, err) &&
                       take_draws(model, &own, &earlier, NULL, &draws, NULL, err);
done:
    free(values);
    free(earlier_values);
    return ok;
}

static bool check(const foci_readings *readings, const foci_readings *earlier, const foci_surface_options *o,
                  foci_error *err) {
    if (readings->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no stops; give some");
    if (o->trend < 0 || o->trend > FOCI_DRIFT_ORDER_MOST)
        return foci_fail(err, FOCI_BAD_SETTING, "{trend}", 0, "%d is no order of a trend; give 0, 1 or 2", o->trend);
    if (o->scale == FOCI_SCALE_BOX_COX && !isfinite(o->lambda))
        return foci_fail(err, FOCI_BAD_SETTING, "{scale}", 0, "%g is no exponent; give a number such as 0.5",
                         o->lambda);
    if (o->variogram && o->variogram->nugget + o->variogram->partial_sill == 0 && !all_equal(readings))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "the variogram says that readings do not vary with distance, yet they differ; give another "
                         "{variogram}, or use {surface} idw");
    if (earlier && (o->variogram || (o->fit && o->fit->by_squares) || o->neighbours > 0))
        return foci_fail(err, FOCI_BAD_SETTING, "{earlier}", 0,
                         "needs a covariance fitted by likelihood, and all stops in each estimate; leave out %s",
                         o->variogram        ? "{variogram}"
                         : o->neighbours > 0 ? "{neighbors}"
                                             : "{fit}");
    return true;
}

static foci_score_model begin(const foci_readings *readings, const foci_readings *earlier,
                              const foci_surface_options *options) {
    foci_score_model model = {.readings = *readings, .options = *options, .scale = {.lambda = 1}};
    if (options->neighbours < readings->count)
        model.neighbours = options->neighbours;
    model.constant = all_equal(readings) &&
                     (!options->variogram || options->variogram->nugget + options->variogram->partial_sill == 0);
    if (earlier && !model.constant)
        model.earlier = earlier->count;
    model.facts = foci_fit_summary_unknown();
    model.facts.fitted_on = readings->count;
    if (earlier)
        model.facts.earlier.rho = 0;
    return model;
}

/* Whether what lies in the readings' classes is drawn; from very many stops each is read as its class's middle. */
static bool within_limits(const foci_score_model *model) {
    return model->readings.low && !model->constant && model->readings.count <= FOCI_SCORE_CLASSES_MOST;
}

bool foci_score_model_fit(foci_score_model *out, const foci_readings *readings, const foci_readings *earlier,
                          const foci_surface_options *options, bool headings, const foci_execution *how,
                          foci_error *err) {
    const foci_execution scaling = foci_execution_part(how, 0, 0.5), fitting = foci_execution_part(how, 0.5, 1);
    if (!check(readings, earlier, options, err))
        return false;
    foci_linear_single_thread();
    foci_score_model model = begin(readings, earlier, options);
    foci_readings start = *readings;
    double *values = NULL;
    bool ok = true;
    if (within_limits(&model)) {
        values = foci_new_array(readings->count, sizeof *values, err);
        ok = values && foci_score_classes_start(values, readings, err);
        start.values = values;
    } else {
        start.low = start.high = NULL;
    }
    ok =
        ok && settle_scale(&model, &start, earlier, &scaling, err) &&
        (model.constant || fit_components(&model, &start, model.earlier > 0 ? earlier : NULL, headings, &fitting, err));
    free(values);
    if (!ok) {
        foci_score_model_free(&model);
        return false;
    }
    model.options.variogram = NULL; /* the components hold what was given */
    *out = model;
    return true;
}

bool foci_score_model_known(foci_score_model *out, const foci_readings *readings, const double *error,
                            const foci_surface_options *options, foci_error *err) {
    const foci_readings nothing = {0};
    foci_score_draws draws = {0};
    foci_linear_single_thread();
    foci_score_model model = begin(readings, NULL, options);
    model.constant = false;
    model.neighbours = 0;
    if (!foci_score_draws_make(&draws, &model.facts, readings, NULL, options, false, NULL, err) ||
        !take_draws(&model, readings, &nothing, error, &draws, NULL, err)) {
        foci_score_model_free(&model);
        return false;
    }
    model.options.variogram = NULL;
    *out = model;
    return true;
}

static const foci_score_component *likeliest_component(const foci_score_model *model) {
    const foci_score_component *likeliest = model->components;
    for (size_t k = 1; k < model->count; k++)
        if (model->components[k].weight > likeliest->weight)
            likeliest = &model->components[k];
    return likeliest;
}

/* All stops, or their pools; the squares of these run with the map. */
static bool pool_stops(foci_observations *out, const foci_observations *stops, double heading, foci_error *err) {
    foci_observations north = {0}, pools = {0};
    const bool many = stops->count > FOCI_SCORE_POOLS;
    bool ok = (!many || (foci_observations_turn(&north, stops, NAN, err) &&
                         foci_observations_pool(&pools, &north, FOCI_SCORE_POOLS, err))) &&
              foci_observations_turn(out, many ? &pools : stops, heading, err);
    foci_observations_free(&north);
    foci_observations_free(&pools);
    return ok;
}

/* The field given these at one component, where the model has no such thing: it works from the nearest. */
static bool condition_pools(foci_observations *pools, foci_conditional *given, foci_parameters *at,
                            const foci_observations *stops, double heading, foci_error *err) {
    foci_exact work = {0};
    if (!pool_stops(pools, stops, heading, err))
        return false;
    const size_t columns = pools->columns.count;
    at->noise[0] *= sqrt((double)pools->count / (double)stops->count);
    if (!foci_exact_make(&work, pools->count, columns + 1, true, err))
        return false;
    foci_exact_take(&work, pools);
    bool ok = foci_exact_solve(&work, at, err) && foci_conditional_make(given, pools->count, columns, err) &&
              foci_exact_condition(given, &work, false, err);
    foci_exact_free(&work);
    return ok;
}

bool foci_score_covariance(const foci_score_model *model, double *mean, double *covariance, const foci_point *places,
                           size_t count, foci_error *err) {
    if (model->constant) {
        for (size_t j = 0; j < count; j++)
            mean[j] = model->readings.values[0];
        for (size_t i = 0; i < count * count; i++)
            covariance[i] = 0;
        return true;
    }
    const foci_score_component *component = likeliest_component(model);
    const bool whole = model->neighbours == 0;
    foci_parameters at = component->at;
    foci_observations pools = {0};
    foci_conditional of_pools = {0};
    bool ok = false;
    double *room = NULL;
    const foci_observations own = foci_score_model_stops(model, component), *stops = whole ? &own : &pools;
    if (!whole && !condition_pools(&pools, &of_pools, &at, &own, component->variogram.heading, err))
        goto done;
    room = foci_new_array(foci_targets_room(stops, count), sizeof *room, err);
    if (!room)
        goto done;
    const foci_targets targets = foci_targets_fill(room, stops, places, count, 0);
    if (!foci_conditional_covariance(mean, covariance, whole ? &component->given : &of_pools, stops, &at, &targets,
                                     err))
        goto done;
    for (size_t i = 0; i < count * count; i++)
        covariance[i] *= component->widen;
    for (size_t j = 0; j < count; j++)
        covariance[j + j * count] = fmax(covariance[j + j * count], 0);
    ok = true;
done:
    free(room);
    foci_observations_free(&pools);
    foci_conditional_free(&of_pools);
    return ok;
}

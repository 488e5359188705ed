#include "estimate/predict/score_parameters.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/fit/likelihood_fit.h"
#include "estimate/fit/score_seasons.h"
#include "estimate/fit/systematic.h"

enum { SAMPLE = 400, DRAWS_MOST = FOCI_SCORE_DRAWS, DRAWS_LEAST = 4 };

/* Up to so many stops all draws are taken; beyond, a posterior narrows and a system costs more. */
#define STOPS_OF_ALL_DRAWS 200.0

/* "No pattern": what stops share with their neighbours is small, or ends before the next one. */
#define HARDLY_ALIKE 0.9

bool foci_score_sample(foci_readings *out, const foci_readings *readings, foci_error *err) {
    foci_readings sample = {.count = readings->count < SAMPLE ? readings->count : SAMPLE};
    sample.places = foci_new_array(sample.count, sizeof *sample.places, err);
    if (!sample.places)
        return false;
    sample.values = foci_new_array(sample.count, sizeof *sample.values, err);
    if (!sample.values) {
        free(sample.places);
        return false;
    }
    for (size_t k = 0; k < sample.count; k++) {
        size_t i = k * readings->count / sample.count;
        sample.places[k] = readings->places[i];
        sample.values[k] = readings->values[i];
    }
    *out = sample;
    return true;
}

void foci_score_sample_free(foci_readings *sample) {
    free(sample->places);
    free(sample->values);
    *sample = (foci_readings){0};
}

/* A Student distribution is replaced by the normal one of the same variance, which needs more than two degrees of
 * freedom; with fewer than five the variance of five is used. */
static double widening(double freedom) {
    double held = fmax(freedom, 5);
    return held / (held - 2);
}

static bool take_one(foci_score_model *model, const foci_variogram *variogram, foci_error *err) {
    model->components = foci_new_array(1, sizeof *model->components, err);
    if (!model->components)
        return false;
    double share = variogram->nugget / (variogram->nugget + variogram->partial_sill);
    double range = foci_variogram_practical_range(variogram);
    model->components[0] = (foci_score_component){.variogram = *variogram, .weight = 1, .widen = 1};
    model->count = model->summary.components = 1;
    model->summary.variogram = *variogram;
    model->summary.range = (foci_interval){range, range, range};
    model->summary.nugget_share = (foci_interval){share, share, share};
    model->summary.ratio = (foci_interval){variogram->ratio, variogram->ratio, variogram->ratio};
    return true;
}

/* Semivariances of what ordinary least squares leaves of the trend, as is usual though a little too small. */
static bool fit_squares(foci_score_model *model, const foci_readings *sample, foci_error *err) {
    const foci_score_options *o = &model->options;
    foci_semivariances semivariances = {0};
    foci_variogram variogram = {0};
    bool ok = foci_drift_remove(sample->values, o->trend, sample->places, sample->count, err) &&
              foci_semivariances_make(&semivariances, sample, o->lag, o->farthest, err) &&
              foci_variogram_fit(&variogram, &semivariances, o->kind, o->smoothness, err) &&
              take_one(model, &variogram, err);
    foci_semivariances_free(&semivariances);
    return ok;
}

static void summarise(foci_score_summary *summary, const foci_likelihood_grid *grid, const double *weights) {
    double range[FOCI_LIKELIHOOD_RANGES] = {0}, share[FOCI_LIKELIHOOD_SHARES] = {0};
    double ratio[FOCI_LIKELIHOOD_RATIOS] = {0};
    summary->no_pattern = 0;
    for (size_t i = 0; i < foci_likelihood_grid_count(grid); i++) {
        foci_likelihood_index index = foci_likelihood_grid_index(grid, i);
        range[index.range] += weights[i];
        share[index.share] += weights[i];
        ratio[index.ratio] += weights[i];
        if (foci_likelihood_share[index.share] >= HARDLY_ALIKE || grid->range[index.range] < grid->spacing)
            summary->no_pattern += weights[i];
    }
    summary->range = foci_level_interval(grid->range, range, grid->ranges);
    summary->nugget_share = foci_level_interval(foci_likelihood_share, share, FOCI_LIKELIHOOD_SHARES);
    foci_interval falling = foci_level_interval(grid->ratio, ratio, grid->ratios);
    summary->ratio = (foci_interval){falling.high, falling.median, falling.low};
}

static size_t draws_for(size_t stops) {
    double times = STOPS_OF_ALL_DRAWS / (double)stops, draws = DRAWS_MOST * times * times;
    return draws >= DRAWS_MOST ? DRAWS_MOST : draws <= DRAWS_LEAST ? DRAWS_LEAST : (size_t)draws;
}

/* Components in the order of the grid's points: those with the same distances stand together. */
static int by_point(const void *a, const void *b) {
    size_t first = ((const foci_likelihood_draw *)a)->point, second = ((const foci_likelihood_draw *)b)->point;
    return (first > second) - (first < second);
}

/* `both` of two seasons, or NULL. */
static bool draw(foci_score_draw draws[DRAWS_MOST], size_t *count, const foci_score_model *model,
                 const foci_likelihood_grid *grid, const foci_likelihood_value *values, const double *weights,
                 foci_likelihood *both, foci_error *err) {
    foci_likelihood_draw drawn[DRAWS_MOST];
    size_t wanted = draws_for(model->readings.count);
    if (!foci_likelihood_grid_draw(drawn, count, wanted, grid, weights, err))
        return false;
    qsort(drawn, *count, sizeof *drawn, by_point);
    for (size_t k = 0; k < *count; k++)
        draws[k] = (foci_score_draw){drawn[k].point, drawn[k].weight, values[drawn[k].point].sill, 0};
    return !both || foci_score_seasons_spread(draws, count, wanted, grid, both, err);
}

static bool take_draws(foci_score_model *model, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                       foci_likelihood *likelihood, foci_error *err) {
    size_t distinct = 0, stops = model->readings.count + model->earlier;
    double freedom = (double)(likelihood->count - likelihood->functions);
    double unbiased = likelihood->restricted ? 1 : (double)likelihood->count / freedom;
    foci_score_draw drawn[DRAWS_MOST];
    bool ok = false;
    double *weights = foci_new_array(foci_likelihood_grid_count(grid), sizeof *weights, err);
    if (!weights || !foci_likelihood_grid_weigh(weights, grid, values, err) ||
        !draw(drawn, &distinct, model, grid, values, weights, model->earlier > 0 ? likelihood : NULL, err))
        goto done;
    model->components = foci_new_array(distinct, sizeof *model->components, err);
    if (!model->components)
        goto done;
    for (size_t k = 0; k < distinct; k++) {
        double sill = drawn[k].sill * unbiased;
        foci_variogram variogram = foci_likelihood_grid_shape(grid, drawn[k].point);
        variogram.nugget *= sill;
        variogram.partial_sill *= sill;
        model->components[k] = (foci_score_component){
            .variogram = variogram, .weight = drawn[k].weight, .widen = widening(freedom), .shared = drawn[k].shared};
    }
    model->count = model->summary.components = distinct;
    model->freedom = likelihood->count == stops ? freedom : 0;
    model->summary.shared = likelihood->shared;
    summarise(&model->summary, grid, weights);
    ok = true;
done:
    free(weights);
    return ok;
}

/* Along the rows: one degree of freedom at the edge of what is allowed, so half the chance of chi-square 1 (Self &
 * Liang 1987, Journal of the American Statistical Association 82:605-610). The best of many headings gains more by luck
 * than chi-square 2 says, whose chance is exp(-gain): as the better of two such did, near enough, in 150 made-up
 * isotropic fields (docs/likelihood.md). */
static void report_anisotropy(foci_score_summary *summary, const foci_likelihood_fit *isotropic,
                              const foci_likelihood_fit *best, bool along_rows) {
    double gain = fmax(best->log - isotropic->log, 0);
    summary->anisotropy.heading = best->variogram.heading;
    summary->anisotropy.ratio = best->variogram.ratio;
    summary->anisotropy.gain = gain;
    summary->anisotropy.chance = along_rows ? 0.5 * erfc(sqrt(gain)) : 1 - expm1(-gain) * expm1(-gain);
    summary->anisotropy.used = along_rows;
}

static bool compare(foci_score_model *model, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                    const foci_likelihood *likelihood, const foci_likelihood_fit *best, const foci_execution *how,
                    foci_error *err) {
    foci_likelihood_fit other = {0};
    if (grid->ratios > 1) {
        if (!foci_likelihood_best_isotropic(&other, grid, values, likelihood, how, err))
            return false;
        report_anisotropy(&model->summary, &other, best, true);
    } else if (model->options.compare_headings) {
        if (!foci_likelihood_best_heading(&other, grid, best, likelihood, how, err))
            return false;
        report_anisotropy(&model->summary, best, &other, false);
    }
    return true;
}

/* Over the grid: the likelihood of the sample, or of the samples of both seasons. The earlier season's values are
 * brought to the sill of the other. */
static bool evaluate(foci_likelihood *likelihood, foci_likelihood_value *values, foci_score_model *model,
                     const foci_likelihood_grid *grid, const foci_readings *sample, const foci_readings *earlier,
                     const foci_execution *how, foci_error *err) {
    const foci_execution first = foci_execution_part(how, 0, earlier ? 0.5 : 1);
    const foci_execution second = foci_execution_part(how, 0.5, 1);
    const foci_score_options *o = &model->options;
    foci_likelihood own = {0}, both = {0};
    double scale = 1;
    if (!foci_likelihood_make(&own, sample->places, sample->values, sample->count, 1, o->trend, o->fit->restricted,
                              err))
        return false;
    if (!foci_likelihood_grid_run(values, grid, &own, &first, err) ||
        (earlier && !foci_score_seasons_join(&both, &scale, values, grid, &own, earlier, &second, err))) {
        foci_likelihood_free(&own);
        return false;
    }
    if (earlier)
        foci_likelihood_free(&own);
    for (size_t i = 0; i < model->earlier; i++)
        model->earlier_values[i] *= scale;
    *likelihood = earlier ? both : own;
    return true;
}

/* `earlier` of an earlier season, or NULL. */
static bool fit_likelihood(foci_score_model *model, const foci_readings *sample, const foci_readings *earlier,
                           const foci_execution *how, foci_error *err) {
    const foci_execution on_grid = foci_execution_part(how, 0, 0.6), refining = foci_execution_part(how, 0.6, 0.8);
    const foci_execution comparing = foci_execution_part(how, 0.8, 1);
    const foci_score_options *o = &model->options;
    foci_likelihood likelihood = {0};
    foci_likelihood_fit best = {0};
    bool ok = false;
    foci_likelihood_grid grid =
        foci_likelihood_grid_make(sample->places, sample->count, o->kind, o->smoothness, o->row_heading, o->spacing);
    foci_likelihood_value *values = foci_new_array(foci_likelihood_grid_count(&grid), sizeof *values, err);
    if (!values || !evaluate(&likelihood, values, model, &grid, sample, earlier, &on_grid, err) ||
        !take_draws(model, &grid, values, &likelihood, err) ||
        !foci_likelihood_best(&best, &grid, values, &likelihood, &refining, err) ||
        !compare(model, &grid, values, &likelihood, &best, &comparing, err))
        goto done;
    model->summary.variogram = best.variogram;
    model->summary.log_likelihood = best.log;
    ok = true;
done:
    foci_likelihood_free(&likelihood);
    free(values);
    return ok;
}

static bool fit_seasons(foci_score_model *model, const foci_readings *sample, const foci_execution *how,
                        foci_error *err) {
    const foci_readings on_scale = {
        .count = model->earlier, .places = model->options.earlier->places, .values = model->earlier_values};
    foci_readings earlier = {0};
    if (!foci_score_sample(&earlier, &on_scale, err))
        return false;
    bool ok = fit_likelihood(model, sample, &earlier, how, err);
    foci_score_sample_free(&earlier);
    return ok;
}

bool foci_score_parameters_fit(foci_score_model *model, const foci_execution *how, foci_error *err) {
    if (model->options.variogram)
        return take_one(model, model->options.variogram, err);
    foci_readings on_scale = {
        .count = model->readings.count, .places = model->readings.places, .values = model->values};
    foci_readings sample = {0};
    if (!foci_score_sample(&sample, &on_scale, err))
        return false;
    model->summary.fitted_to = sample.count;
    bool ok = model->options.fit->by_squares ? fit_squares(model, &sample, err)
              : model->earlier > 0           ? fit_seasons(model, &sample, how, err)
                                             : fit_likelihood(model, &sample, NULL, how, err);
    foci_score_sample_free(&sample);
    return ok;
}

#include "estimate/fit/score_draws.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "estimate/fit/score_best.h"
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

const foci_fit_method foci_fit_methods[] = {
    {"restricted-likelihood", "restricted likelihood", true, false},
    {"likelihood", "likelihood", false, false},
    {"weighted-squares", "weighted squares of the semivariances", false, true},
    {0},
};

const foci_fit_method *foci_fit_method_find(const char *name) {
    for (const foci_fit_method *fit = foci_fit_methods; fit->name; fit++)
        if (foci_text_same(fit->name, name))
            return fit;
    return NULL;
}

static const foci_fit_method *fit_of(const foci_surface_options *options) {
    return options->fit ? options->fit : foci_fit_methods;
}

/* A Student distribution is replaced by the normal one of the same variance, which needs more than two degrees of
 * freedom; with fewer than five the variance of five is used. */
static double widening(double freedom) {
    double held = fmax(freedom, 5);
    return held / (held - 2);
}

static bool take_one(foci_score_draws *out, foci_fit_summary *facts, const foci_variogram *variogram) {
    double sill = 0;
    const foci_covariance_shape shape = foci_covariance_shape_of(variogram, &sill);
    const double share = sill > 0 ? shape.share : NAN;
    *out = (foci_score_draws){.count = 1, .widen = 1, .scale = 1};
    out->draw[0].shape = shape;
    out->draw[0].sill = sill;
    out->draw[0].weight = 1;
    facts->components = 1;
    facts->variogram = *variogram;
    facts->range = (foci_interval){shape.range, shape.range, shape.range};
    facts->nugget_share = (foci_interval){share, share, share};
    facts->ratio = (foci_interval){shape.ratio, shape.ratio, shape.ratio};
    return true;
}

/* Readings of one season, or of two, with a trend of each. */
static bool observe(foci_observations *out, const foci_readings *readings, const foci_surface_options *options,
                    double heading, foci_error *err) {
    const foci_columns drift = foci_columns_drift(options->trend, 1);
    const foci_season_readings season = {readings->places, readings->values, NULL, readings->count};
    return foci_observations_make(out, foci_response_normal, &season, 1, &drift, heading, err);
}

/* Semivariances of what ordinary least squares leaves of the trend, as is usual though a little too small. */
static bool fit_squares(foci_score_draws *out, foci_fit_summary *facts, const foci_readings *sample,
                        const foci_surface_options *options, foci_error *err) {
    foci_observations stops = {0};
    foci_semivariances semivariances = {0};
    foci_variogram variogram = {0};
    if (!observe(&stops, sample, options, NAN, err))
        return false;
    const foci_readings left = {.count = stops.count, .places = sample->places, .values = stops.readings};
    bool ok = foci_columns_remove(stops.readings, &stops.columns, stops.f, stops.count, err) &&
              foci_semivariances_make(&semivariances, &left, options->lag, options->farthest, err) &&
              foci_variogram_fit(&variogram, &semivariances, options->kind, options->smoothness, err) &&
              take_one(out, facts, &variogram);
    foci_semivariances_free(&semivariances);
    foci_observations_free(&stops);
    return ok;
}

static void summarise(foci_fit_summary *facts, const foci_score_grid *grid, const double *weights) {
    const foci_levels *levels = &grid->levels;
    double range[FOCI_LEVELS_MOST], share[FOCI_LEVELS_MOST], stretch[FOCI_LEVELS_MOST];
    foci_levels_marginal(range, levels, FOCI_AXIS_RANGE, weights);
    foci_levels_marginal(share, levels, FOCI_AXIS_REST, weights);
    foci_levels_marginal(stretch, levels, FOCI_AXIS_STRETCH, weights);
    facts->no_pattern = 0;
    for (size_t i = 0; i < foci_levels_points(levels); i++) {
        const foci_covariance_shape shape = foci_score_grid_shape(grid, i);
        if (shape.share >= HARDLY_ALIKE || shape.range < grid->spacing)
            facts->no_pattern += weights[i];
    }
    facts->range = foci_level_interval(levels->level[FOCI_AXIS_RANGE], range, levels->count[FOCI_AXIS_RANGE]);
    facts->nugget_share = foci_level_interval(levels->level[FOCI_AXIS_REST], share, levels->count[FOCI_AXIS_REST]);
    const foci_interval stretched =
        foci_level_interval(levels->level[FOCI_AXIS_STRETCH], stretch, levels->count[FOCI_AXIS_STRETCH]);
    facts->ratio = (foci_interval){1 / stretched.high, 1 / stretched.median, 1 / stretched.low};
}

static size_t draws_for(size_t stops) {
    double times = STOPS_OF_ALL_DRAWS / (double)stops, draws = DRAWS_MOST * times * times;
    return draws >= DRAWS_MOST ? DRAWS_MOST : draws <= DRAWS_LEAST ? DRAWS_LEAST : (size_t)draws;
}

/* Components in the order of the grid's points: those with the same distances stand together. */
static int by_point(const void *a, const void *b) {
    size_t first = ((const foci_drawn *)a)->point, second = ((const foci_drawn *)b)->point;
    return (first > second) - (first < second);
}

/* Is there a heading along which likeness reaches farther? The best of many headings gains more by luck than chi-square
 * 2 says, whose chance is exp(-gain): as the better of two such did, near enough, in 150 made-up isotropic fields
 * (docs/likelihood.md). */
static bool compare_headings(foci_fit_summary *facts, const foci_score_search *search, const foci_score_best *best,
                             const foci_execution *how, foci_error *err) {
    foci_score_best other = {0};
    if (!foci_score_best_heading(&other, search, best, how, err))
        return false;
    const double gain = fmax(other.log - best->log, 0);
    facts->suggested_heading = other.shape.heading;
    facts->suggested_ratio = other.shape.ratio;
    facts->suggested_gain = gain;
    facts->suggested_p = 1 - expm1(-gain) * expm1(-gain);
    return true;
}

/* The search over the grid of the sample, or of the samples of both seasons, and what it stands on. */
typedef struct {
    foci_score_grid grid;
    foci_observations own, both; /* owned, as the values */
    foci_likelihood likelihood;
    foci_likelihood_value *values;
    double scale, rho; /* of the earlier season: to this one's sill; mean share in common */
} searched;

static void searched_free(searched *s) {
    foci_observations_free(&s->own);
    foci_observations_free(&s->both);
    free(s->values);
}

static bool evaluate(searched *s, const foci_readings *sample, const foci_readings *earlier, size_t stops,
                     const foci_surface_options *o, const foci_execution *how, foci_error *err) {
    const foci_execution first = foci_execution_part(how, 0, earlier ? 0.5 : 1);
    const foci_execution second = foci_execution_part(how, 0.5, 1);
    s->scale = 1;
    s->grid = foci_score_grid_make(sample->places, sample->count, o->kind, o->smoothness, o->row_heading,
                                   sqrt(o->area / (double)stops));
    s->values = foci_new_array(foci_levels_points(&s->grid.levels), sizeof *s->values, err);
    if (!s->values || !observe(&s->own, sample, o, s->grid.heading, err) ||
        !foci_likelihood_make(&s->likelihood, &s->own, s->own.readings, 1, fit_of(o)->restricted, err) ||
        !foci_score_grid_run(s->values, &s->grid, &s->likelihood, &first, err))
        return false;
    if (!earlier)
        return true;
    const foci_season_readings seasons[] = {{sample->places, sample->values, NULL, sample->count},
                                            {earlier->places, earlier->values, NULL, earlier->count}};
    return foci_score_seasons_join(&s->both, &s->scale, s->values, &s->grid, &s->likelihood, seasons, &second, err) &&
           foci_likelihood_make(&s->likelihood, &s->both, s->both.readings, 1, fit_of(o)->restricted, err);
}

/* Draws over the grid; of two seasons over rho too. */
static bool take_draws(foci_score_draws *out, foci_fit_summary *facts, searched *s, size_t stops, foci_error *err) {
    const foci_likelihood *likelihood = &s->likelihood;
    const size_t wanted = draws_for(stops), used = likelihood->stops->count;
    const double freedom = (double)(used - foci_columns_flat(&likelihood->stops->columns));
    const double unbiased = likelihood->restricted ? 1 : (double)used / freedom;
    foci_drawn drawn[DRAWS_MOST];
    foci_score_draw draws[DRAWS_MOST];
    size_t count = 0;
    bool ok = false;
    double *weights = foci_new_array(foci_levels_points(&s->grid.levels), sizeof *weights, err);
    if (!weights || !foci_score_grid_weigh(weights, &s->grid, s->values, err) ||
        !foci_levels_draw(drawn, &count, &s->grid.levels, weights, wanted, err))
        goto done;
    qsort(drawn, count, sizeof *drawn, by_point);
    for (size_t k = 0; k < count; k++)
        draws[k] = (foci_score_draw){drawn[k].point, drawn[k].weight, s->values[drawn[k].point].sill, 0};
    if (likelihood->stops->seasons > 1) {
        if (!foci_score_seasons_spread(draws, &count, wanted, &s->rho, &s->grid, likelihood, err))
            goto done;
        facts->earlier.rho = s->rho;
    }
    *out = (foci_score_draws){.count = count, .widen = widening(freedom), .freedom = freedom, .scale = s->scale};
    for (size_t k = 0; k < count; k++) {
        out->draw[k].shape = foci_score_grid_shape(&s->grid, draws[k].point);
        out->draw[k].sill = draws[k].sill * unbiased;
        out->draw[k].weight = draws[k].weight;
        out->draw[k].rho = draws[k].rho;
    }
    facts->components = count;
    summarise(facts, &s->grid, weights);
    ok = true;
done:
    free(weights);
    return ok;
}

/* `earlier` of an earlier season, or NULL; `stops` from which the samples are. */
static bool fit_likelihood(foci_score_draws *out, foci_fit_summary *facts, const foci_readings *sample,
                           const foci_readings *earlier, size_t stops, const foci_surface_options *options,
                           bool headings, const foci_execution *how, foci_error *err) {
    const foci_execution on_grid = foci_execution_part(how, 0, 0.6), refining = foci_execution_part(how, 0.6, 0.8);
    const foci_execution comparing = foci_execution_part(how, 0.8, 1);
    searched s = {0};
    foci_score_best best = {0};
    bool ok = false;
    if (!evaluate(&s, sample, earlier, stops, options, &on_grid, err) || !take_draws(out, facts, &s, stops, err))
        goto done;
    const foci_score_search search = {&s.grid, &s.likelihood, s.values, s.rho};
    if (!foci_score_best_find(&best, &search, &refining, err) ||
        (headings && s.grid.levels.count[FOCI_AXIS_STRETCH] == 1 &&
         !compare_headings(facts, &search, &best, &comparing, err)))
        goto done;
    facts->variogram = foci_score_best_variogram(&best, fit_of(options)->restricted);
    facts->log_likelihood = best.log;
    ok = true;
done:
    searched_free(&s);
    return ok;
}

bool foci_score_draws_make(foci_score_draws *out, foci_fit_summary *facts, const foci_readings *readings,
                           const foci_readings *earlier, const foci_surface_options *options, bool headings,
                           const foci_execution *how, foci_error *err) {
    foci_readings sample = {0}, before = {0};
    bool ok = false;
    if (options->variogram)
        return take_one(out, facts, options->variogram);
    if (!foci_score_sample(&sample, readings, err) || (earlier && !foci_score_sample(&before, earlier, err)))
        goto done;
    facts->fitted_on = sample.count;
    ok = fit_of(options)->by_squares ? fit_squares(out, facts, &sample, options, err)
                                     : fit_likelihood(out, facts, &sample, earlier ? &before : NULL, readings->count,
                                                      options, headings, how, err);
    if (ok && sample.count + before.count < readings->count + (earlier ? earlier->count : 0))
        out->freedom = 0;
done:
    foci_score_sample_free(&sample);
    foci_score_sample_free(&before);
    return ok;
}

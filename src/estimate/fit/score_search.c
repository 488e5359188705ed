#include "estimate/fit/score_search.h"

#include <math.h>
#include <string.h>

enum { SHARES = 12, LEAST_RANGES = 8 };

/* Uniform, by the trapezoidal rule: finer near 0, where a small nugget says most about the bounds near a stop. */
static const double share[SHARES] = {0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1};
static const double share_prior[SHARES] = {0.025, 0.05, 0.075, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.05};

static void measure(foci_score_grid *grid, const foci_point *places, size_t count) {
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        box.west = fmin(box.west, places[i].x);
        box.east = fmax(box.east, places[i].x);
        box.south = fmin(box.south, places[i].y);
        box.north = fmax(box.north, places[i].y);
    }
    double width = box.east - box.west, height = box.north - box.south;
    grid->largest = hypot(width, height);
    if (!(grid->spacing > 0))
        grid->spacing = sqrt(width * height / (double)count);
    if (!(grid->spacing > 0))
        grid->spacing = grid->largest > 0 ? grid->largest / (double)count : 1; /* on one line, or at one place */
}

foci_score_grid foci_score_grid_make(const foci_point *places, size_t count, const foci_correlation *kind,
                                     double smoothness, double heading, double spacing) {
    static const unsigned char path[FOCI_AXES] = {FOCI_AXIS_REST, FOCI_AXIS_RANGE, FOCI_AXIS_STRETCH, FOCI_AXIS_FAMILY,
                                                  FOCI_AXIS_SIGMA};
    const bool along_rows = !isnan(heading);
    foci_score_grid grid = {.heading = along_rows ? heading : 0, .spacing = spacing};
    foci_correlation_family families[FOCI_CORRELATION_FAMILIES];
    const size_t family_count = foci_correlation_families(families, kind, smoothness, FOCI_TRIED_BY_SCORES);
    size_t ranges = LEAST_RANGES;
    measure(&grid, places, count);
    grid.levels = foci_levels_make(families, family_count, grid.spacing, along_rows, FOCI_LEVELS_MOST);
    while (ranges < FOCI_LEVELS_MOST && grid.levels.level[FOCI_AXIS_RANGE][ranges - 1] < grid.largest)
        ranges++; /* to beyond the largest distance */
    grid.levels = foci_levels_make(families, family_count, grid.spacing, along_rows, ranges);
    foci_levels_set(&grid.levels, FOCI_AXIS_REST, share, share_prior, SHARES);
    memcpy(grid.levels.path, path, sizeof path);
    return grid;
}

foci_covariance_shape foci_score_grid_shape(const foci_score_grid *grid, size_t point) {
    const foci_levels *levels = &grid->levels;
    const foci_level_index index = foci_levels_index(levels, point);
    return (foci_covariance_shape){.family = levels->family[index.at[FOCI_AXIS_FAMILY]],
                                   .range = levels->level[FOCI_AXIS_RANGE][index.at[FOCI_AXIS_RANGE]],
                                   .ratio = 1 / levels->level[FOCI_AXIS_STRETCH][index.at[FOCI_AXIS_STRETCH]],
                                   .share = levels->level[FOCI_AXIS_REST][index.at[FOCI_AXIS_REST]],
                                   .heading = grid->heading};
}

typedef struct {
    foci_likelihood_value *values;
    const foci_score_grid *grid;
    const foci_likelihood *likelihood;
    foci_exact *works; /* one per thread */
} run_job;

/* All shares of one family, ratio and range: the correlations are the same. */
static bool run_shares(void *context, size_t thread, size_t job, foci_error *err) {
    const run_job *run = context;
    (void)err;
    for (size_t k = job * SHARES; k < (job + 1) * SHARES; k++) {
        const foci_covariance_shape shape = foci_score_grid_shape(run->grid, k);
        const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, run->likelihood->stops->seasons);
        foci_exact_likelihood(run->values + k * run->likelihood->columns, &run->works[thread], run->likelihood, &at);
    }
    return true;
}

bool foci_score_grid_run(foci_likelihood_value *values, const foci_score_grid *grid, const foci_likelihood *likelihood,
                         const foci_execution *how, foci_error *err) {
    const size_t jobs = foci_levels_points(&grid->levels) / SHARES, workers = foci_parallel_threads(how, jobs);
    run_job run = {.values = values, .grid = grid, .likelihood = likelihood};
    run.works = foci_exacts_make(workers, likelihood, err);
    bool ok = run.works && foci_parallel(jobs, how, run_shares, &run, err);
    foci_exacts_free(run.works, workers);
    return ok;
}

bool foci_score_grid_weigh(double *weights, const foci_score_grid *grid, const foci_likelihood_value *values,
                           foci_error *err) {
    for (size_t i = 0; i < foci_levels_points(&grid->levels); i++)
        weights[i] = values[i].log;
    return isfinite(foci_levels_weigh(weights, &grid->levels)) ||
           foci_fail(err, FOCI_NO_FIT, NULL, 0,
                     "no covariance model fits the readings; give {variogram}, or use {surface} idw");
}

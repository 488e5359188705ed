#include "estimate/fit/likelihood_grid.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/parallel.h"
#include "estimate/fit/systematic.h"

/* Of the spacing. */
#define LEAST_RANGE (25.0 / 53.0)
#define RANGE_STEP 1.6
#define RANGE_RARELY_BELOW (40.0 / 53.0)
#define RARE 0.05
#define LEAST_RANGES 8

#define NO_RATIO_PRIOR (1.0 / 3.0)
#define RATIO_MEDIAN 2.0
#define RATIO_SPREAD 0.6

/* Uniform, by the trapezoidal rule: finer near 0, where a small nugget says most about the bounds near a stop. */
const double foci_likelihood_share[FOCI_LIKELIHOOD_SHARES] = {0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1};
const double foci_likelihood_share_prior[FOCI_LIKELIHOOD_SHARES] = {0.025, 0.05, 0.075, 0.1, 0.1, 0.1,
                                                                    0.1,   0.1,  0.1,   0.1, 0.1, 0.05};

static void scale_to_one(double *weights, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += weights[i];
    for (size_t i = 0; i < count; i++)
        weights[i] /= sum;
}

static void fill_ratios(foci_likelihood_grid *grid, bool fitted) {
    static const double levels[FOCI_LIKELIHOOD_RATIOS] = {1, 1.5, 2.25, 3.375, 5.0625};
    grid->ratios = fitted ? FOCI_LIKELIHOOD_RATIOS : 1;
    for (size_t i = 0; i < grid->ratios; i++) {
        double z = log(levels[i] / RATIO_MEDIAN) / RATIO_SPREAD;
        grid->ratio[i] = 1 / levels[i];
        grid->ratio_prior[i] = exp(-0.5 * z * z);
    }
    scale_to_one(grid->ratio_prior + 1, grid->ratios - 1);
    for (size_t i = 1; i < grid->ratios; i++)
        grid->ratio_prior[i] *= 1 - NO_RATIO_PRIOR;
    grid->ratio_prior[0] = fitted ? NO_RATIO_PRIOR : 1;
}

/* From half the spacing to beyond the largest distance. */
static void fill_ranges(foci_likelihood_grid *grid) {
    double rate = -log(RARE) * RANGE_RARELY_BELOW * grid->spacing, range = LEAST_RANGE * grid->spacing;
    bool reached = false;
    while (grid->ranges < FOCI_LIKELIHOOD_RANGES && (grid->ranges < LEAST_RANGES || !reached)) {
        grid->range[grid->ranges] = range;
        grid->range_prior[grid->ranges++] = exp(-rate / range) / range; /* density x step of a logarithmic grid */
        reached = range >= grid->largest;
        range *= RANGE_STEP;
    }
    scale_to_one(grid->range_prior, grid->ranges);
}

foci_likelihood_grid foci_likelihood_grid_make(const foci_point *places, size_t count, const foci_correlation *kind,
                                               double smoothness, double heading, double spacing) {
    foci_likelihood_grid grid = {.heading = isnan(heading) ? 0 : heading, .spacing = spacing};
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        box.west = fmin(box.west, places[i].x);
        box.east = fmax(box.east, places[i].x);
        box.south = fmin(box.south, places[i].y);
        box.north = fmax(box.north, places[i].y);
    }
    double width = box.east - box.west, height = box.north - box.south;
    grid.largest = hypot(width, height);
    if (!(grid.spacing > 0))
        grid.spacing = sqrt(width * height / (double)count);
    if (!(grid.spacing > 0))
        grid.spacing = grid.largest > 0 ? grid.largest / (double)count : 1; /* on one line, or at one place */
    grid.families = foci_correlation_families(grid.family, kind, smoothness, FOCI_TRIED_BY_SCORES);
    fill_ratios(&grid, !isnan(heading));
    fill_ranges(&grid);
    return grid;
}

size_t foci_likelihood_grid_count(const foci_likelihood_grid *grid) {
    return grid->families * grid->ratios * grid->ranges * FOCI_LIKELIHOOD_SHARES;
}

foci_likelihood_index foci_likelihood_grid_index(const foci_likelihood_grid *grid, size_t point) {
    foci_likelihood_index index = {.share = point % FOCI_LIKELIHOOD_SHARES};
    point /= FOCI_LIKELIHOOD_SHARES;
    index.range = point % grid->ranges;
    point /= grid->ranges;
    index.ratio = point % grid->ratios;
    index.family = point / grid->ratios;
    return index;
}

foci_covariance_shape foci_likelihood_grid_shape(const foci_likelihood_grid *grid, size_t point) {
    foci_likelihood_index index = foci_likelihood_grid_index(grid, point);
    return (foci_covariance_shape){.family = grid->family[index.family],
                                   .range = grid->range[index.range],
                                   .ratio = grid->ratio[index.ratio],
                                   .share = foci_likelihood_share[index.share],
                                   .heading = grid->heading};
}

double foci_likelihood_grid_log_prior(const foci_likelihood_grid *grid, size_t point) {
    foci_likelihood_index index = foci_likelihood_grid_index(grid, point);
    return log(grid->ratio_prior[index.ratio] * grid->range_prior[index.range] *
               foci_likelihood_share_prior[index.share] / (double)grid->families);
}

typedef struct {
    foci_likelihood_value *values;
    const foci_likelihood_grid *grid;
    const foci_likelihood *likelihood;
    foci_exact *works; /* one per thread */
} run_job;

/* All shares of one family, ratio and range: the correlations are the same. */
static bool run_shares(void *context, size_t thread, size_t job, foci_error *err) {
    const run_job *run = context;
    size_t first = job * FOCI_LIKELIHOOD_SHARES;
    (void)err;
    for (size_t k = first; k < first + FOCI_LIKELIHOOD_SHARES; k++) {
        const foci_covariance_shape shape = foci_likelihood_grid_shape(run->grid, k);
        const foci_parameters at = foci_covariance_shape_parameters(&shape, 1, run->likelihood->stops->seasons);
        foci_exact_likelihood(run->values + k * run->likelihood->columns, &run->works[thread], run->likelihood, &at);
    }
    return true;
}

bool foci_likelihood_grid_run(foci_likelihood_value *values, const foci_likelihood_grid *grid,
                              const foci_likelihood *likelihood, const foci_execution *how, foci_error *err) {
    size_t jobs = foci_likelihood_grid_count(grid) / FOCI_LIKELIHOOD_SHARES;
    size_t workers = foci_parallel_threads(how, jobs);
    run_job run = {.values = values, .grid = grid, .likelihood = likelihood};
    run.works = foci_exacts_make(workers, likelihood, err);
    bool ok = run.works && foci_parallel(jobs, how, run_shares, &run, err);
    foci_exacts_free(run.works, workers);
    return ok;
}

bool foci_likelihood_grid_weigh(double *weights, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                                foci_error *err) {
    size_t count = foci_likelihood_grid_count(grid);
    double best = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        weights[i] = foci_likelihood_grid_log_prior(grid, i) + values[i].log;
        best = fmax(best, weights[i]);
    }
    if (!isfinite(best))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "no covariance model fits the readings; give --variogram, or use --surface idw");
    for (size_t i = 0; i < count; i++)
        weights[i] = exp(weights[i] - best);
    scale_to_one(weights, count);
    return true;
}

/* Appends a digit, counted up or down by turns. */
static size_t append(size_t key, size_t digit, size_t digits) {
    return key * digits + (key % 2 == 0 ? digit : digits - 1 - digit);
}

static size_t snake(const foci_likelihood_grid *grid, foci_likelihood_index index) {
    size_t key = append(index.share, index.range, grid->ranges);
    key = append(key, index.ratio, grid->ratios);
    return append(key, index.family, grid->families);
}

bool foci_likelihood_grid_draw(foci_likelihood_draw *out, size_t *distinct, size_t draws,
                               const foci_likelihood_grid *grid, const double *weights, foci_error *err) {
    const size_t count = foci_likelihood_grid_count(grid);
    size_t kept = 0;
    bool ok = false;
    double *along = NULL;
    size_t *taken = NULL, *path = foci_new_array(count, sizeof *path, err); /* the point at each step */
    if (!path)
        goto done;
    along = foci_new_array(count, sizeof *along, err);
    taken = along ? foci_new_array(count, sizeof *taken, err) : NULL;
    if (!taken)
        goto done;
    for (size_t i = 0; i < count; i++)
        path[snake(grid, foci_likelihood_grid_index(grid, i))] = i;
    for (size_t k = 0; k < count; k++)
        along[k] = weights[path[k]];
    foci_systematic(taken, along, count, draws);
    for (size_t k = 0; k < count; k++)
        if (taken[k] > 0)
            out[kept++] = (foci_likelihood_draw){path[k], (double)taken[k] / (double)draws};
    *distinct = kept;
    ok = true;
done:
    free(path);
    free(along);
    free(taken);
    return ok;
}

#include "estimate/fit/counts_grid.h"

#include <math.h>

/* The mean spacing of the fields on which levels and priors were settled: both scale with the spacing of the stops. */
#define SPACING_OF_LEVELS 53.0

#define LEAST_RANGE 25.0
#define RANGE_STEP 1.6
#define LEAST_SIGMA 0.25
#define SIGMA_STEP 1.45
#define RARE 0.05
#define RANGE_RARELY_BELOW 40.0
#define SIGMA_RARELY_ABOVE 3.0

/* Prior of the ratio: a third at 1, the rest lognormal around 2. */
#define NO_RATIO_PRIOR (1.0 / 3.0)
#define RATIO_MEDIAN 2.0
#define RATIO_SPREAD 0.6

foci_columns foci_counts_columns(size_t seasons) {
    return foci_columns_intercepts(seasons, FOCI_COUNTS_CENTRE, FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD);
}

static void scale_to_one(double *weight, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += weight[i];
    for (size_t i = 0; i < count; i++)
        weight[i] /= sum;
}

static void fill_ratios(foci_counts_grid *grid, bool along_rows) {
    static const double levels[FOCI_COUNTS_RATIOS] = {1, 1.5, 2.25, 3.375, 5.0625};
    grid->ratios = along_rows ? FOCI_COUNTS_RATIOS : 1;
    for (size_t i = 0; i < FOCI_COUNTS_RATIOS; i++) {
        double z = log(levels[i] / RATIO_MEDIAN) / RATIO_SPREAD;
        grid->ratio[i] = levels[i];
        grid->ratio_prior[i] = exp(-0.5 * z * z);
    }
    scale_to_one(grid->ratio_prior + 1, FOCI_COUNTS_RATIOS - 1);
    for (size_t i = 1; i < FOCI_COUNTS_RATIOS; i++)
        grid->ratio_prior[i] *= 1 - NO_RATIO_PRIOR;
    grid->ratio_prior[0] = along_rows ? NO_RATIO_PRIOR : 1;
}

foci_counts_grid foci_counts_grid_make(double spacing, bool along_rows) {
    static const double taus[FOCI_COUNTS_TAUS] = {0, 0.6, 1.2, 2.0};
    double unit = spacing / SPACING_OF_LEVELS;
    foci_counts_grid grid = {.range_rate = -log(RARE) * RANGE_RARELY_BELOW * unit};
    grid.families = foci_correlation_families(grid.family, NULL, 0, FOCI_TRIED_BY_COUNTS);
    fill_ratios(&grid, along_rows);
    for (size_t i = 0; i < FOCI_COUNTS_MOST; i++) {
        grid.range[i] = LEAST_RANGE * unit * pow(RANGE_STEP, (double)i);
        grid.sigma[i] = LEAST_SIGMA * pow(SIGMA_STEP, (double)i);
    }
    for (size_t i = 0; i < FOCI_COUNTS_TAUS; i++)
        grid.tau[i] = taus[i];
    foci_counts_grid_use(&grid, FOCI_COUNTS_LEVELS, FOCI_COUNTS_LEVELS, 1);
    return grid;
}

void foci_counts_grid_use(foci_counts_grid *grid, size_t ranges, size_t sigmas, size_t taus) {
    static const double tau_weights[FOCI_COUNTS_TAUS] = {0.75, 0.125, 0.0625, 0.0625};
    grid->ranges = ranges;
    grid->sigmas = sigmas;
    grid->taus = taus;
    /* densities R^-2 exp(-rate / R) and exp(-rate sigma), times the step of a logarithmic grid */
    for (size_t i = 0; i < ranges; i++)
        grid->range_prior[i] = exp(-grid->range_rate / grid->range[i]) / grid->range[i];
    for (size_t i = 0; i < sigmas; i++)
        grid->sigma_prior[i] = grid->sigma[i] * exp(log(RARE) / SIGMA_RARELY_ABOVE * grid->sigma[i]);
    for (size_t i = 0; i < taus; i++)
        grid->tau_prior[i] = tau_weights[i];
    scale_to_one(grid->range_prior, ranges);
    scale_to_one(grid->sigma_prior, sigmas);
    scale_to_one(grid->tau_prior, taus);
}

size_t foci_counts_grid_count(const foci_counts_grid *grid) {
    return grid->families * FOCI_COUNTS_POINTS;
}

size_t foci_counts_grid_point(foci_counts_index index) {
    size_t point = index.family * FOCI_COUNTS_RATIOS + index.ratio;
    point = point * FOCI_COUNTS_MOST + index.range;
    point = point * FOCI_COUNTS_MOST + index.sigma;
    return point * FOCI_COUNTS_TAUS + index.tau;
}

foci_counts_index foci_counts_grid_index(size_t point) {
    foci_counts_index index = {.tau = point % FOCI_COUNTS_TAUS};
    point /= FOCI_COUNTS_TAUS;
    index.sigma = point % FOCI_COUNTS_MOST;
    point /= FOCI_COUNTS_MOST;
    index.range = point % FOCI_COUNTS_MOST;
    point /= FOCI_COUNTS_MOST;
    index.ratio = point % FOCI_COUNTS_RATIOS;
    index.family = point / FOCI_COUNTS_RATIOS;
    return index;
}

bool foci_counts_grid_has(const foci_counts_grid *grid, foci_counts_index index) {
    return index.family < grid->families && index.ratio < grid->ratios && index.range < grid->ranges &&
           index.sigma < grid->sigmas && index.tau < grid->taus;
}

double foci_counts_grid_prior(const foci_counts_grid *grid, foci_counts_index index) {
    return log(grid->ratio_prior[index.ratio] * grid->range_prior[index.range] * grid->sigma_prior[index.sigma] *
               grid->tau_prior[index.tau] / (double)grid->families);
}

/* Appends a digit, counted up or down by turns. */
static size_t append(size_t key, size_t digit, size_t digits) {
    return key * digits + (key % 2 == 0 ? digit : digits - 1 - digit);
}

size_t foci_counts_grid_snake(const foci_counts_grid *grid, foci_counts_index index) {
    size_t key = append(index.sigma, index.range, grid->ranges);
    key = append(key, index.ratio, grid->ratios);
    key = append(key, index.family, grid->families);
    return append(key, index.tau, grid->taus);
}

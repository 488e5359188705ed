/* The parameter grid of the counts surface, with its priors. Method, priors and levels: docs/counts.md. */
#ifndef FOCI_ESTIMATE_COUNTS_GRID_H
#define FOCI_ESTIMATE_COUNTS_GRID_H

#include <stdbool.h>

#include "estimate/gaussian/columns.h"
#include "fieldfoci/correlation.h"

/* The intercept's prior on the surface: 0.04 % to 87 % infected hold 95 % of it. Each season has its own. */
#define FOCI_COUNTS_CENTRE (-3.0)
#define FOCI_COUNTS_CENTRE_SPREAD 2.5

foci_columns foci_counts_columns(size_t seasons);

enum {
    FOCI_COUNTS_RATIOS = 5,
    FOCI_COUNTS_LEVELS = 8, /* of range and of sigma, before the grid is extended */
    FOCI_COUNTS_EXTRA = 4,  /* levels that may be added above each */
    FOCI_COUNTS_MOST = FOCI_COUNTS_LEVELS + FOCI_COUNTS_EXTRA,
    FOCI_COUNTS_TAUS = 4,
    FOCI_COUNTS_POINTS = FOCI_COUNTS_RATIOS * FOCI_COUNTS_MOST * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS /* of a family */
};

/* All families are in use, and of levels the first `ratios`, `ranges`, `sigmas`, `taus`; a point's index does not
 * depend on how many these are. */
typedef struct {
    size_t families, ratios, ranges, sigmas, taus;
    foci_correlation_family family[FOCI_CORRELATION_FAMILIES];
    double ratio[FOCI_COUNTS_RATIOS]; /* range along the rows over range across them, from 1 */
    double range[FOCI_COUNTS_MOST];   /* practical range along the rows, metres */
    double sigma[FOCI_COUNTS_MOST];   /* standard deviation of the field on the logit scale */
    double tau[FOCI_COUNTS_TAUS];     /* of the variation from stop to stop, from 0 */
    double ratio_prior[FOCI_COUNTS_RATIOS], range_prior[FOCI_COUNTS_MOST], sigma_prior[FOCI_COUNTS_MOST],
        tau_prior[FOCI_COUNTS_TAUS]; /* each sums to 1 over the levels in use */
    double range_rate;               /* of the range's prior, metres */
} foci_counts_grid;

typedef struct {
    size_t family, ratio, range, sigma, tau;
} foci_counts_index;

/* `spacing`: distance between stops, metres. Families: those that counts try. */
foci_counts_grid foci_counts_grid_make(double spacing, bool along_rows);

/* Points of all families, in use or not. */
size_t foci_counts_grid_count(const foci_counts_grid *grid);

/* Sets how many levels are in use and the priors that go with them. */
void foci_counts_grid_use(foci_counts_grid *grid, size_t ranges, size_t sigmas, size_t taus);

size_t foci_counts_grid_point(foci_counts_index index);
foci_counts_index foci_counts_grid_index(size_t point);

/* Whether all levels of the point are in use. */
bool foci_counts_grid_has(const foci_counts_grid *grid, foci_counts_index index);

/* log of the prior of a point in use. */
double foci_counts_grid_prior(const foci_counts_grid *grid, foci_counts_index index);

/* Place of a point in use in the order in which neighbours in the order are neighbours in the grid: sigma outermost,
 * then range, ratio, family, tau, each run back and forth. */
size_t foci_counts_grid_snake(const foci_counts_grid *grid, foci_counts_index index);

#endif

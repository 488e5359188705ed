/* A grid of parameters: its axes, their levels and priors, a path through it, weights. The axes are family, stretch,
 * practical range, sigma, and what is particular to the reading: tau (counts), or the nugget's share (scores). */
#ifndef FOCI_ESTIMATE_LEVELS_H
#define FOCI_ESTIMATE_LEVELS_H

#include "estimate/fit/systematic.h"
#include "fieldfoci/correlation.h"

enum { FOCI_AXIS_FAMILY, FOCI_AXIS_STRETCH, FOCI_AXIS_RANGE, FOCI_AXIS_SIGMA, FOCI_AXIS_REST, FOCI_AXES };
enum { FOCI_STRETCHES = 5, FOCI_LEVELS_MOST = 14 };

/* Level of each axis. */
typedef struct {
    size_t at[FOCI_AXES];
} foci_level_index;

typedef struct {
    size_t room[FOCI_AXES]; /* levels there may be: a point's number depends on these; families slowest, rest fastest */
    size_t count[FOCI_AXES]; /* the first so many are in use */
    foci_correlation_family family[FOCI_CORRELATION_FAMILIES];
    double level[FOCI_AXES][FOCI_LEVELS_MOST];   /* none of the families; ranges in metres */
    double density[FOCI_AXES][FOCI_LEVELS_MOST]; /* of the prior, up to a factor */
    double prior[FOCI_AXES][FOCI_LEVELS_MOST];   /* sums to 1 over the levels in use */
    unsigned char path[FOCI_AXES];               /* axes of the snake, outermost first */
} foci_levels;

/* Families, alike; stretches 1, 1.5, ... 5.0625 (1 alone where there are no rows), a third of the prior at 1 and the
 * rest lognormal around 2 (0.6); ranges 25/53 d x 1.6^k, density R^-2 exp(-rate / R) with P(R < 40/53 d) = 5 %, d the
 * stops' spacing: `range_room` of them, as many in use; one level of the other axes, snake in the order of the axes. */
foci_levels foci_levels_make(const foci_correlation_family *families, size_t family_count, double spacing,
                             bool along_rows, size_t range_room);

/* Sets an axis; all levels are in use. */
void foci_levels_set(foci_levels *levels, size_t axis, const double *level, const double *density, size_t count);

/* The first `count` levels of an axis are in use from now on. */
void foci_levels_use(foci_levels *levels, size_t axis, size_t count);

/* Points, in use or not. */
size_t foci_levels_points(const foci_levels *levels);
size_t foci_levels_point(const foci_levels *levels, foci_level_index index);
foci_level_index foci_levels_index(const foci_levels *levels, size_t point);

/* Whether all levels of the point are in use. */
bool foci_levels_has(const foci_levels *levels, foci_level_index index);

/* log of the prior of a point in use. */
double foci_levels_log_prior(const foci_levels *levels, foci_level_index index);

/* Place of a point in use in an order in which neighbors are neighbors in the grid: each axis runs back and forth. */
size_t foci_levels_snake(const foci_levels *levels, foci_level_index index);

/* `weight`, a number for each point, holds log likelihoods (-infinity where there is none) and becomes weights in
 * proportion to prior x likelihood, which sum to 1; 0 for points not in use. Returns the log evidence, -infinity where
 * no point has a likelihood. */
double foci_levels_weigh(double *weight, const foci_levels *levels);

/* Sums of the weights over the other axes, a number for each level. */
void foci_levels_marginal(double sums[FOCI_LEVELS_MOST], const foci_levels *levels, size_t axis, const double *weight);

/* `wanted` systematic draws along the snake: `*distinct` different points in its order, at most `wanted`, whose weights
 * sum to 1. */
bool foci_levels_draw(foci_drawn *out, size_t *distinct, const foci_levels *levels, const double *weight, size_t wanted,
                      foci_error *err) FOCI_MUST_CHECK;

#endif

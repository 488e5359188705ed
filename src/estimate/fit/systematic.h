/* Systematic draws along a path of weighted points, and quantiles over the levels of a grid. */
#ifndef FOCI_ESTIMATE_SYSTEMATIC_H
#define FOCI_ESTIMATE_SYSTEMATIC_H

#include <stddef.h>

#include "fieldfoci/surface.h"

/* `taken[i]`: how often the i-th of `count` weights in the order of the path is drawn: `wanted` draws at (j + 1/2) /
 * wanted of the weights' sum, so that neighbors on the path stand for each other. Returns how many were drawn at all.
 */
size_t foci_systematic(size_t *taken, const double *weight, size_t count, size_t wanted);

typedef struct {
    size_t point;
    double weight;
} foci_drawn;

/* `wanted` such draws along a path of `steps` points, each of which has its weight at weight[point]: `*distinct`
 * different points in the order of the path, at most `wanted`, whose weights sum to 1. */
bool foci_systematic_draw(foci_drawn *out, size_t *distinct, const double *weight, const size_t *path, size_t steps,
                          size_t wanted, foci_error *err) FOCI_MUST_CHECK;

/* The first level at which the weights (that sum to 1) reach `share`. */
double foci_level_quantile(const double *level, const double *weight, size_t count, double share);

/* The same with each level's weight spread evenly over its cell of a logarithmic grid of two levels or more. */
double foci_cell_quantile(const double *level, const double *weight, size_t count, double share);

/* At 5, 50 and 95 %. */
foci_interval foci_level_interval(const double *level, const double *weight, size_t count);
foci_interval foci_cell_interval(const double *level, const double *weight, size_t count);

#endif

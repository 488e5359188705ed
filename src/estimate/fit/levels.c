#include "estimate/fit/levels.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* Levels and priors were settled on fields whose stops were 53 m apart; both scale with the spacing. */
#define SPACING_OF_LEVELS 53.0

#define LEAST_RANGE 25.0
#define RANGE_STEP 1.6
#define RANGE_RARELY_BELOW 40.0
#define RARE 0.05

#define NO_STRETCH_PRIOR (1.0 / 3.0)
#define STRETCH_MEDIAN 2.0
#define STRETCH_SPREAD 0.6

static void scale_to(double total, double *weight, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += weight[i];
    for (size_t i = 0; i < count; i++)
        weight[i] *= total / sum;
}

void foci_levels_use(foci_levels *levels, size_t axis, size_t count) {
    double sum = 0;
    levels->count[axis] = count;
    for (size_t i = 0; i < count; i++)
        sum += levels->density[axis][i];
    for (size_t i = 0; i < count; i++)
        levels->prior[axis][i] = levels->density[axis][i] / sum;
}

void foci_levels_set(foci_levels *levels, size_t axis, const double *level, const double *density, size_t count) {
    levels->room[axis] = count;
    memcpy(levels->level[axis], level, count * sizeof *level);
    memcpy(levels->density[axis], density, count * sizeof *density);
    foci_levels_use(levels, axis, count);
}

static void set_stretches(foci_levels *levels, bool along_rows) {
    static const double level[FOCI_STRETCHES] = {1, 1.5, 2.25, 3.375, 5.0625};
    double density[FOCI_STRETCHES] = {NO_STRETCH_PRIOR};
    for (size_t i = 1; i < FOCI_STRETCHES; i++) {
        double z = log(level[i] / STRETCH_MEDIAN) / STRETCH_SPREAD;
        density[i] = exp(-0.5 * z * z);
    }
    scale_to(1 - NO_STRETCH_PRIOR, density + 1, FOCI_STRETCHES - 1);
    foci_levels_set(levels, FOCI_AXIS_STRETCH, level, density, along_rows ? FOCI_STRETCHES : 1);
}

/* Density times the step of a logarithmic grid. */
static void set_ranges(foci_levels *levels, double spacing, size_t count) {
    const double unit = spacing / SPACING_OF_LEVELS, rate = -log(RARE) * RANGE_RARELY_BELOW * unit;
    double level[FOCI_LEVELS_MOST], density[FOCI_LEVELS_MOST];
    for (size_t i = 0; i < count; i++) {
        level[i] = LEAST_RANGE * unit * pow(RANGE_STEP, (double)i);
        density[i] = exp(-rate / level[i]) / level[i];
    }
    foci_levels_set(levels, FOCI_AXIS_RANGE, level, density, count);
}

foci_levels foci_levels_make(const foci_correlation_family *families, size_t family_count, double spacing,
                             bool along_rows, size_t range_room) {
    static const double one[] = {1};
    foci_levels levels = {.room = {family_count}};
    memcpy(levels.family, families, family_count * sizeof *families);
    for (size_t i = 0; i < family_count; i++)
        levels.density[FOCI_AXIS_FAMILY][i] = 1;
    foci_levels_use(&levels, FOCI_AXIS_FAMILY, family_count);
    set_stretches(&levels, along_rows);
    set_ranges(&levels, spacing, range_room);
    foci_levels_set(&levels, FOCI_AXIS_SIGMA, one, one, 1);
    foci_levels_set(&levels, FOCI_AXIS_REST, one, one, 1);
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        levels.path[axis] = (unsigned char)axis;
    return levels;
}

size_t foci_levels_points(const foci_levels *levels) {
    size_t points = 1;
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        points *= levels->room[axis];
    return points;
}

size_t foci_levels_point(const foci_levels *levels, foci_level_index index) {
    size_t point = 0;
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        point = point * levels->room[axis] + index.at[axis];
    return point;
}

foci_level_index foci_levels_index(const foci_levels *levels, size_t point) {
    foci_level_index index = {{0}};
    for (size_t axis = FOCI_AXES; axis-- > 0;) {
        index.at[axis] = point % levels->room[axis];
        point /= levels->room[axis];
    }
    return index;
}

bool foci_levels_has(const foci_levels *levels, foci_level_index index) {
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        if (index.at[axis] >= levels->count[axis])
            return false;
    return true;
}

double foci_levels_log_prior(const foci_levels *levels, foci_level_index index) {
    double prior = 1;
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        prior *= levels->prior[axis][index.at[axis]];
    return log(prior);
}

/* Each digit is counted up or down by turns. */
size_t foci_levels_snake(const foci_levels *levels, foci_level_index index) {
    size_t key = 0;
    for (size_t step = 0; step < FOCI_AXES; step++) {
        const size_t axis = levels->path[step], digits = levels->count[axis], digit = index.at[axis];
        key = key * digits + (key % 2 == 0 ? digit : digits - 1 - digit);
    }
    return key;
}

double foci_levels_weigh(double *weight, const foci_levels *levels) {
    const size_t points = foci_levels_points(levels);
    double best = -INFINITY, sum = 0;
    for (size_t k = 0; k < points; k++) {
        const foci_level_index index = foci_levels_index(levels, k);
        weight[k] = foci_levels_has(levels, index) ? weight[k] + foci_levels_log_prior(levels, index) : -INFINITY;
        best = fmax(best, weight[k]);
    }
    if (!(best > -INFINITY))
        return -INFINITY;
    for (size_t k = 0; k < points; k++)
        sum += weight[k] = exp(weight[k] - best);
    for (size_t k = 0; k < points; k++)
        weight[k] /= sum;
    return best + log(sum);
}

void foci_levels_marginal(double sums[FOCI_LEVELS_MOST], const foci_levels *levels, size_t axis, const double *weight) {
    for (size_t i = 0; i < FOCI_LEVELS_MOST; i++)
        sums[i] = 0;
    for (size_t k = 0; k < foci_levels_points(levels); k++)
        sums[foci_levels_index(levels, k).at[axis]] += weight[k];
}

bool foci_levels_draw(foci_drawn *out, size_t *distinct, const foci_levels *levels, const double *weight, size_t wanted,
                      foci_error *err) {
    size_t steps = 1;
    for (size_t axis = 0; axis < FOCI_AXES; axis++)
        steps *= levels->count[axis];
    size_t *path = foci_new_array(steps, sizeof *path, err); /* the point at each step */
    for (size_t k = 0; path && k < foci_levels_points(levels); k++) {
        const foci_level_index index = foci_levels_index(levels, k);
        if (foci_levels_has(levels, index))
            path[foci_levels_snake(levels, index)] = k;
    }
    bool ok = path && foci_systematic_draw(out, distinct, weight, path, steps, wanted, err);
    free(path);
    return ok;
}

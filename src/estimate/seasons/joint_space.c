#include "estimate/seasons/joint_space.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define MEAN_MOST 12.0
#define VARIANCE_LEAST 0.02
#define VARIANCE_MOST 9.0
#define NOISE_LEAST 0.0001
#define NOISE_MOST 4.0
#define RATIO_MOST 4.0

/* The bounds of the range are those of an exponential one; others reach as far. */
#define PRACTICAL_OF_BOUNDS 2.995732273553991

size_t foci_joint_space_variance(const foci_joint_space *space, size_t season) {
    return space->seasons + season;
}

size_t foci_joint_space_noise(const foci_joint_space *space, size_t season) {
    return 2 * space->seasons + season;
}

size_t foci_joint_space_range(const foci_joint_space *space) {
    return (space->scores ? 3 : 2) * space->seasons;
}

size_t foci_joint_space_ratio(const foci_joint_space *space) {
    return foci_joint_space_range(space) + 1;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double distance(const foci_observations *data, size_t i, size_t j) {
    return hypot(data->along[i] - data->along[j], data->across[i] - data->across[j]);
}

/* Least and largest range. */
static bool bound_range(double bound[2], const foci_observations *data, foci_error *err) {
    double *nearest = foci_new_array(data->count, sizeof *nearest, err), largest = 0;
    if (!nearest)
        return false;
    size_t known = 0;
    for (size_t s = 0; s < data->seasons; s++)
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++) {
            double least = INFINITY;
            for (size_t j = data->first[s]; j < data->first[s + 1]; j++)
                if (j != i)
                    least = fmin(least, distance(data, i, j));
            if (isfinite(least))
                nearest[known++] = least;
        }
    for (size_t i = 0; i < data->count; i++)
        for (size_t j = 0; j < i; j++)
            largest = fmax(largest, distance(data, i, j));
    qsort(nearest, known, sizeof *nearest, compare);
    bound[0] = known ? nearest[known / 2] / 4 : 0;
    bound[1] = fmax(largest / 2, bound[0]);
    free(nearest);
    if (!(bound[0] > 0))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "most stops of the seasons share their places; pool stops that share a place");
    return true;
}

static void bound(foci_joint_space *space, size_t i, double least, double most) {
    space->lower[i] = least;
    space->upper[i] = most;
}

bool foci_joint_space_make(foci_joint_space *out, const foci_observations *data, bool rows,
                           const foci_correlation_family *family, foci_error *err) {
    foci_joint_space space = {
        .seasons = data->seasons, .scores = !data->response->counts, .rows = rows, .family = *family};
    const double unit = PRACTICAL_OF_BOUNDS / family->practical;
    double range[2] = {0, 0};
    if (!bound_range(range, data, err))
        return false;
    space.count = foci_joint_space_range(&space) + (rows ? 2 : 1);
    for (size_t s = 0; s < space.seasons; s++) {
        bound(&space, s, -MEAN_MOST, MEAN_MOST);
        bound(&space, foci_joint_space_variance(&space, s), log(VARIANCE_LEAST), log(VARIANCE_MOST));
        if (space.scores)
            bound(&space, foci_joint_space_noise(&space, s), log(NOISE_LEAST), log(NOISE_MOST));
    }
    bound(&space, foci_joint_space_range(&space), log(range[0] * unit), log(range[1] * unit));
    if (rows)
        bound(&space, foci_joint_space_ratio(&space), 0, log(RATIO_MOST));
    *out = space;
    return true;
}

foci_parameters foci_joint_space_parameters(const foci_joint_space *space, const double *point) {
    foci_parameters p = {.family = space->family,
                         .range = space->family.practical * exp(point[foci_joint_space_range(space)]),
                         .stretch = space->rows ? exp(point[foci_joint_space_ratio(space)]) : 1};
    for (size_t s = 0; s < space->seasons; s++) {
        p.mean[s] = point[s];
        p.sigma[s] = exp(point[foci_joint_space_variance(space, s)] / 2);
        p.noise[s] = space->scores ? exp(point[foci_joint_space_noise(space, s)] / 2) : 0;
    }
    return p;
}

foci_parameters foci_joint_space_season(const foci_joint_space *space, const double *point, size_t season) {
    const foci_parameters all = foci_joint_space_parameters(space, point);
    foci_parameters alone = all;
    alone.mean[0] = all.mean[season];
    alone.sigma[0] = all.sigma[season];
    alone.noise[0] = all.noise[season];
    return alone;
}

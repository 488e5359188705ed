#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/seasons/joint_draws.h"

#define MEAN_STEP 0.15
#define LOG_STEP 0.2
#define RATIO_STEP 0.15
#define EIGENVALUE_LEAST 0.3

static double step_of(const foci_joint_space *space, size_t i) {
    if (space->rows && i == foci_joint_space_ratio(space))
        return RATIO_STEP;
    return i < space->seasons ? MEAN_STEP : LOG_STEP;
}

static double precision_of(const foci_joint_space *space, size_t i) {
    if (space->rows && i == foci_joint_space_ratio(space))
        return 4;
    if (space->scores && i >= space->seasons && i < foci_joint_space_range(space))
        return 0; /* the cost has it */
    return i < space->seasons ? 0.01 : 1;
}

/* The season that a number belongs to; space->seasons: to all. */
static size_t season_of(const foci_joint_space *space, size_t i) {
    return i < foci_joint_space_range(space) ? i % space->seasons : space->seasons;
}

/* Cost with one or two numbers moved; j == i moves i once. */
static bool moved(double *cost, const foci_joint *joint, double *field, size_t i, size_t j, double sign,
                  foci_error *err) {
    double point[FOCI_JOINT_NUMBERS_MOST];
    memcpy(point, joint->point, sizeof point);
    point[i] += sign * step_of(&joint->space, i);
    if (j != i)
        point[j] += sign * step_of(&joint->space, j);
    return foci_joint_cost(cost, NULL, field, &joint->data, &joint->space, point, err);
}

/* `up`: cost with each number raised. Numbers of two seasons have nothing to do with each other at rho = 0. */
static bool fill_curvature(double *curvature, const foci_joint *joint, double *field, const foci_execution *how,
                           foci_error *err) {
    const foci_joint_space *space = &joint->space;
    size_t n = space->count;
    double up[FOCI_JOINT_NUMBERS_MOST], here = 0;
    if (!foci_joint_cost(&here, NULL, field, &joint->data, space, joint->point, err))
        return false;
    for (size_t i = 0; i < n; i++) {
        double down = 0, step = step_of(space, i);
        if (!moved(&up[i], joint, field, i, i, 1, err) || !moved(&down, joint, field, i, i, -1, err) ||
            !foci_execution_tell(how, (double)i / (double)n, err))
            return false;
        curvature[i * n + i] = (up[i] - 2 * here + down) / (step * step) + precision_of(space, i);
        for (size_t j = 0; j < i; j++) {
            double both = 0;
            size_t s = season_of(space, i), u = season_of(space, j);
            if (s != u && s < space->seasons && u < space->seasons)
                continue;
            if (!moved(&both, joint, field, i, j, 1, err))
                return false;
            curvature[j * n + i] = curvature[i * n + j] = (both - up[i] - up[j] + here) / (step * step_of(space, j));
        }
    }
    return true;
}

/* V f(d) V'. */
static void rebuild(double *root, const double *vectors, const double *values, size_t n) {
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double sum = 0;
            for (size_t k = 0; k < n; k++)
                sum += vectors[k * n + i] * vectors[k * n + j] / sqrt(fmax(values[k], EIGENVALUE_LEAST));
            root[j * n + i] = sum;
        }
}

bool foci_joint_spread(double *root, const foci_joint *joint, const foci_execution *how, foci_error *err) {
    size_t n = joint->space.count;
    double values[FOCI_JOINT_NUMBERS_MOST], *field = NULL;
    double *curvature = foci_new_array(n, n * sizeof *curvature, err);
    bool ok = false;
    if (!curvature)
        goto done;
    field = foci_new_array(joint->data.count, sizeof *field, err);
    if (!field)
        goto done;
    memcpy(field, joint->modes[0].field, joint->data.count * sizeof *field);
    if (!fill_curvature(curvature, joint, field, how, err) || !foci_linear_eigen(curvature, n, values, err))
        goto done;
    rebuild(root, curvature, values, n);
    ok = true;
done:
    free(curvature);
    free(field);
    return ok;
}

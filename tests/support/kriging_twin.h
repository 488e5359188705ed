/* Ordinary kriging written down plainly, as the twin of the tiled solver: semivariances, the bordered system
 * [gamma 1; 1' 0] [weights; multiplier] = [gamma_0; 1], Gauss elimination with row exchange. */
#ifndef FOCI_TESTS_KRIGING_TWIN_H
#define FOCI_TESTS_KRIGING_TWIN_H

#include "fieldfoci/variogram.h"
#include "support/readings.h"

enum { TWIN = 160 };

/* Solves a x = b in place, `order` unknowns; b becomes x. */
static inline void twin_solve(double (*a)[TWIN + 1], double *b, size_t order) {
    for (size_t k = 0; k < order; k++) {
        size_t pivot = k;
        for (size_t i = k + 1; i < order; i++)
            if (fabs(a[i][k]) > fabs(a[pivot][k]))
                pivot = i;
        for (size_t j = 0; j < order; j++) {
            double swap = a[k][j];
            a[k][j] = a[pivot][j];
            a[pivot][j] = swap;
        }
        double swap = b[k];
        b[k] = b[pivot];
        b[pivot] = swap;
        for (size_t i = k + 1; i < order; i++) {
            double factor = a[i][k] / a[k][k];
            for (size_t j = k; j < order; j++)
                a[i][j] -= factor * a[k][j];
            b[i] -= factor * b[k];
        }
    }
    for (size_t k = order; k-- > 0;) {
        for (size_t j = k + 1; j < order; j++)
            b[k] -= a[k][j] * b[j];
        b[k] /= a[k][k];
    }
}

/* The `nearest` stops (0: all) by plain distance, into `chosen`; returns how many. */
static inline size_t twin_choose(size_t *chosen, const foci_readings *readings, foci_point place, size_t nearest) {
    size_t count = 0;
    for (size_t i = 0; i < readings->count; i++) {
        double own = hypot(readings->places[i].x - place.x, readings->places[i].y - place.y);
        size_t nearer = 0;
        for (size_t k = 0; k < readings->count; k++)
            nearer += hypot(readings->places[k].x - place.x, readings->places[k].y - place.y) < own;
        if (nearest == 0 || nearer < nearest)
            chosen[count++] = i;
    }
    return count;
}

static inline void twin_krige(double *estimate, double *variance, const foci_readings *readings,
                              const foci_variogram *model, foci_point place, size_t nearest) {
    static double a[TWIN + 1][TWIN + 1];
    double b[TWIN + 1], right[TWIN + 1];
    size_t chosen[TWIN];
    assert_true(readings->count <= TWIN);
    size_t n = twin_choose(chosen, readings, place, nearest);
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < n; k++)
            a[i][k] = foci_variogram_at(model, readings->places[chosen[i]], readings->places[chosen[k]]);
        a[i][n] = a[n][i] = 1;
        b[i] = right[i] = foci_variogram_at(model, readings->places[chosen[i]], place);
    }
    a[n][n] = 0;
    b[n] = right[n] = 1;
    twin_solve(a, b, n + 1);
    *estimate = 0;
    *variance = b[n];
    for (size_t i = 0; i < n; i++) {
        *estimate += b[i] * readings->values[chosen[i]];
        *variance += b[i] * right[i];
    }
}

#endif

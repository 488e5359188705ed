#include "estimate/gaussian/drift.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"

/* Pivots of F'F below this share of its largest are rounding: places on a line leave about 1e-16. */
#define LEAST_PIVOT 1e-10

size_t foci_drift_count(int order) {
    return (size_t)(order + 1) * (size_t)(order + 2) / 2;
}

foci_drift foci_drift_make(int order, const foci_point *places, size_t count) {
    foci_drift drift = {.order = order, .scale = 0};
    for (size_t i = 0; i < count; i++) {
        drift.centre.x += places[i].x / (double)count;
        drift.centre.y += places[i].y / (double)count;
    }
    for (size_t i = 0; i < count; i++)
        drift.scale = fmax(drift.scale, fmax(fabs(places[i].x - drift.centre.x), fabs(places[i].y - drift.centre.y)));
    if (!(drift.scale > 0))
        drift.scale = 1; /* one place */
    return drift;
}

void foci_drift_at(const foci_drift *drift, foci_point place, double *functions) {
    double x = (place.x - drift->centre.x) / drift->scale, y = (place.y - drift->centre.y) / drift->scale;
    functions[0] = 1;
    if (drift->order < 1)
        return;
    functions[1] = x;
    functions[2] = y;
    if (drift->order < 2)
        return;
    functions[3] = x * x;
    functions[4] = x * y;
    functions[5] = y * y;
}

static bool fail_alike(int order, size_t count, foci_error *err) {
    return foci_fail(
        err, FOCI_BAD_INPUT, NULL, 0,
        "%zu stops as they lie cannot tell a trend of order %d; give a lower --trend, or stops spread over "
        "the field",
        count, order);
}

/* Cholesky factor of F'F and the logarithm of its determinant. */
static bool factor_normal(double *normal, double *log_determinant, const double *functions, int order, size_t count,
                          foci_error *err) {
    size_t p = foci_drift_count(order);
    foci_error singular = {0};
    foci_linear_transposed_product(functions, functions, count, p, p, normal);
    if (count < p || !foci_linear_factor(normal, p, &singular))
        return fail_alike(order, count, err);
    double most = 0, least = INFINITY;
    *log_determinant = 0;
    for (size_t k = 0; k < p; k++) {
        double pivot = normal[k + k * p] * normal[k + k * p];
        most = fmax(most, pivot);
        least = fmin(least, pivot);
        *log_determinant += log(pivot);
    }
    return least > LEAST_PIVOT * most || fail_alike(order, count, err);
}

bool foci_drift_fill(double *functions, double *log_determinant, const foci_drift *drift, const foci_point *places,
                     size_t count, foci_error *err) {
    size_t p = foci_drift_count(drift->order);
    double normal[FOCI_DRIFT_MOST * FOCI_DRIFT_MOST], determinant = 0;
    for (size_t i = 0; i < count; i++) {
        double row[FOCI_DRIFT_MOST] = {0};
        foci_drift_at(drift, places[i], row);
        for (size_t k = 0; k < p; k++)
            functions[i + k * count] = row[k];
    }
    if (!factor_normal(normal, &determinant, functions, drift->order, count, err))
        return false;
    if (log_determinant)
        *log_determinant = determinant;
    return true;
}

bool foci_drift_remove(double *values, int order, const foci_point *places, size_t count, foci_error *err) {
    size_t p = foci_drift_count(order);
    foci_drift drift = foci_drift_make(order, places, count);
    double normal[FOCI_DRIFT_MOST * FOCI_DRIFT_MOST], trend[FOCI_DRIFT_MOST], determinant = 0;
    bool ok = false;
    double *functions = foci_new_array(count, p * sizeof *functions, err);
    if (!functions || !foci_drift_fill(functions, NULL, &drift, places, count, err) ||
        !factor_normal(normal, &determinant, functions, order, count, err))
        goto done;
    foci_linear_transposed_product(functions, values, count, p, 1, trend);
    foci_linear_solve_lower(normal, p, trend, 1);
    foci_linear_solve_upper(normal, p, trend, 1);
    for (size_t k = 0; k < p; k++)
        for (size_t i = 0; i < count; i++)
            values[i] -= functions[i + k * count] * trend[k];
    ok = true;
done:
    free(functions);
    return ok;
}

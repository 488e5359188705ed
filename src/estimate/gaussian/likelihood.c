#include "estimate/gaussian/likelihood.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/gaussian/kriging_system.h"

#define LOG_TWO_PI 1.8378770664093453

/* Of the sum of squares about the mean: what is left where the trend fits exactly. */
#define LEAST_SQUARES 1e-16

static double squares_about_mean(const double *values, size_t count) {
    double mean = 0, squares = 0;
    for (size_t i = 0; i < count; i++)
        mean += values[i] / (double)count;
    for (size_t i = 0; i < count; i++)
        squares += (values[i] - mean) * (values[i] - mean);
    return squares;
}

bool foci_likelihood_make(foci_likelihood *out, const foci_point *places, const double *values, size_t count,
                          size_t columns, int order, bool restricted, foci_error *err) {
    size_t p = foci_drift_count(order);
    foci_likelihood made = {
        .count = count, .columns = columns, .order = order, .restricted = restricted, .functions = p};
    bool ok = false;
    if (count < p + 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "%zu stops are too few to fit a field with a trend of order %d; give %zu or more, or "
                         "--variogram",
                         count, order, p + 2);
    made.places = foci_new_array(count, sizeof *made.places, err);
    if (!made.places)
        goto done;
    made.right = foci_new_array(count, (p + columns) * sizeof *made.right, err);
    if (!made.right)
        goto done;
    made.spread = foci_new_array(columns, sizeof *made.spread, err);
    if (!made.spread)
        goto done;
    foci_drift drift = foci_drift_make(order, places, count);
    if (!foci_drift_fill(made.right, &made.log_determinant, &drift, places, count, err))
        goto done;
    memcpy(made.places, places, count * sizeof *places);
    memcpy(made.right + count * p, values, count * columns * sizeof *values);
    for (size_t c = 0; c < columns; c++)
        made.spread[c] = squares_about_mean(values + c * count, count);
    *out = made;
    made = (foci_likelihood){0};
    ok = true;
done:
    foci_likelihood_free(&made);
    return ok;
}

/* Column `from` of a season to rows `row` and later of column `to`. */
static void join_column(foci_likelihood *made, size_t to, size_t row, const foci_likelihood *season, size_t from,
                        double scale) {
    for (size_t i = 0; i < season->count; i++)
        made->right[row + i + to * made->count] = scale * season->right[i + from * season->count];
}

bool foci_likelihood_join(foci_likelihood *out, const foci_likelihood *own, const foci_likelihood *earlier,
                          double scale, foci_error *err) {
    size_t p = own->functions;
    foci_likelihood made = {.count = own->count + earlier->count,
                            .columns = 1,
                            .order = own->order,
                            .restricted = own->restricted,
                            .log_determinant = own->log_determinant + earlier->log_determinant,
                            .functions = 2 * p,
                            .earlier = earlier->count};
    bool ok = false;
    made.places = foci_new_array(made.count, sizeof *made.places, err);
    if (!made.places)
        goto done;
    made.right = foci_new_array(made.count, (2 * p + 1) * sizeof *made.right, err);
    if (!made.right)
        goto done;
    made.spread = foci_new_array(1, sizeof *made.spread, err);
    if (!made.spread)
        goto done;
    memcpy(made.places, own->places, own->count * sizeof *made.places);
    memcpy(made.places + own->count, earlier->places, earlier->count * sizeof *made.places);
    for (size_t k = 0; k < p; k++) {
        join_column(&made, k, 0, own, k, 1);
        join_column(&made, p + k, own->count, earlier, k, 1);
    }
    join_column(&made, 2 * p, 0, own, p, 1);
    join_column(&made, 2 * p, own->count, earlier, p, scale);
    made.spread[0] = own->spread[0] + scale * scale * earlier->spread[0];
    *out = made;
    made = (foci_likelihood){0};
    ok = true;
done:
    foci_likelihood_free(&made);
    return ok;
}

void foci_likelihood_free(foci_likelihood *likelihood) {
    free(likelihood->places);
    free(likelihood->right);
    free(likelihood->spread);
    *likelihood = (foci_likelihood){0};
}

bool foci_likelihood_work_make(foci_likelihood_work *out, const foci_likelihood *likelihood, foci_error *err) {
    size_t n = likelihood->count;
    foci_likelihood_work work = {0};
    bool ok = false;
    work.correlation = foci_new_array(n, n * sizeof *work.correlation, err);
    if (!work.correlation)
        goto done;
    work.factor = foci_new_array(n, n * sizeof *work.factor, err);
    if (!work.factor)
        goto done;
    work.right = foci_new_array(n, (likelihood->functions + likelihood->columns) * sizeof *work.right, err);
    if (!work.right)
        goto done;
    *out = work;
    work = (foci_likelihood_work){0};
    ok = true;
done:
    foci_likelihood_work_free(&work);
    return ok;
}

void foci_likelihood_work_free(foci_likelihood_work *work) {
    free(work->correlation);
    free(work->factor);
    free(work->right);
    *work = (foci_likelihood_work){0};
}

foci_likelihood_work *foci_likelihood_works_make(size_t threads, const foci_likelihood *likelihood, foci_error *err) {
    foci_likelihood_work *works = foci_new_array(threads, sizeof *works, err);
    for (size_t t = 0; works && t < threads; t++)
        if (!foci_likelihood_work_make(&works[t], likelihood, err)) {
            foci_likelihood_works_free(works, threads);
            return NULL;
        }
    return works;
}

void foci_likelihood_works_free(foci_likelihood_work *works, size_t threads) {
    for (size_t t = 0; works && t < threads; t++)
        foci_likelihood_work_free(&works[t]);
    free(works);
}

void foci_likelihood_correlate(foci_likelihood_work *work, const foci_likelihood *likelihood,
                               const foci_variogram *shape) {
    size_t n = likelihood->count;
    foci_readings readings = {.count = n, .places = likelihood->places};
    foci_kriging_plane plane = foci_kriging_plane_make(shape, &readings);
    double *u = work->factor, *v = work->factor + n; /* free until the matrix is factored */
    for (size_t i = 0; i < n; i++)
        foci_kriging_plane_place(&plane, likelihood->places[i], &u[i], &v[i]);
    for (size_t j = 0; j < n; j++) {
        double *column = work->correlation + j * n;
#pragma omp simd
        for (size_t i = j; i < n; i++) {
            double du = u[i] - u[j], dv = v[i] - v[j];
            column[i] = sqrt(du * du + dv * dv);
        }
        foci_correlation_fill(shape->kind, column + j, column + j, n - j, 1 / shape->range, shape->smoothness);
    }
}

static double log_determinant(const double *factor, size_t order) {
    double sum = 0;
    for (size_t i = 0; i < order; i++)
        sum += log(factor[i + i * order]);
    return 2 * sum;
}

/* R, factored; false where it is singular. */
static bool factor_matrix(foci_likelihood_work *work, const foci_likelihood *likelihood, double nugget_share) {
    size_t n = likelihood->count, own = n - likelihood->earlier;
    foci_error singular = {0};
    for (size_t j = 0; j < n; j++) {
        for (size_t i = j; i < n; i++)
            work->factor[i + j * n] = (1 - nugget_share) * work->correlation[i + j * n];
        work->factor[j + j * n] += nugget_share;
        for (size_t i = own; j < own && i < n; i++)
            work->factor[i + j * n] *= likelihood->shared;
    }
    return foci_linear_factor(work->factor, n, &singular);
}

/* S^2 of one column: `whitened` = L^-1 z is overwritten by what the trend leaves. */
static double squares_of(double *whitened, const double *drift, const double *normal, size_t n, size_t p) {
    double trend[FOCI_KRIGING_FUNCTIONS], squares = 0;
    foci_linear_transposed_product(drift, whitened, n, p, 1, trend);
    foci_linear_solve_lower(normal, p, trend, 1);
    foci_linear_solve_upper(normal, p, trend, 1);
    for (size_t k = 0; k < p; k++)
        for (size_t i = 0; i < n; i++)
            whitened[i] -= drift[i + k * n] * trend[k];
    for (size_t i = 0; i < n; i++)
        squares += whitened[i] * whitened[i];
    return squares;
}

void foci_likelihood_at(foci_likelihood_value *values, const foci_likelihood *likelihood, foci_likelihood_work *work,
                        double nugget_share) {
    size_t n = likelihood->count, p = likelihood->functions;
    double normal[FOCI_KRIGING_FUNCTIONS * FOCI_KRIGING_FUNCTIONS];
    foci_error singular = {0};
    for (size_t c = 0; c < likelihood->columns; c++)
        values[c] = (foci_likelihood_value){-INFINITY, NAN};
    if (!factor_matrix(work, likelihood, nugget_share))
        return;
    memcpy(work->right, likelihood->right, n * (p + likelihood->columns) * sizeof *work->right);
    foci_linear_solve_lower(work->factor, n, work->right, p + likelihood->columns);
    foci_linear_transposed_product(work->right, work->right, n, p, p, normal);
    if (!foci_linear_factor(normal, p, &singular))
        return;
    double terms = log_determinant(work->factor, n), freedom = (double)n;
    if (likelihood->restricted) {
        terms += log_determinant(normal, p) - likelihood->log_determinant;
        freedom -= (double)p;
    }
    for (size_t c = 0; c < likelihood->columns; c++) {
        double squares = squares_of(work->right + n * (p + c), work->right, normal, n, p);
        double sill = fmax(squares, LEAST_SQUARES * likelihood->spread[c]) / freedom;
        values[c] = (foci_likelihood_value){-0.5 * (freedom * (LOG_TWO_PI + log(sill) + 1) + terms), sill};
    }
}

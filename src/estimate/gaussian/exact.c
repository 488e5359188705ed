#include "estimate/gaussian/exact.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"

#define LOG_TWO_PI 1.8378770664093453

/* Of the sum of squares about the mean: what is left where the trend fits exactly. */
#define LEAST_SQUARES 1e-16

bool foci_likelihood_make(foci_likelihood *out, const foci_observations *stops, const double *values, size_t columns,
                          bool restricted, foci_error *err) {
    foci_likelihood made = {.stops = stops, .values = values, .columns = columns, .restricted = restricted};
    const size_t p = foci_columns_flat(&stops->columns);
    if (stops->count < p + 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "%zu stops are too few to fit a field with a trend of order %d; give %zu or more, or "
                         "{variogram}",
                         stops->count, foci_columns_order(&stops->columns), p + 2);
    if (!foci_columns_determinant(&made.log_determinant, &stops->columns, stops->f, stops->count, err))
        return false;
    *out = made;
    return true;
}

bool foci_exact_make(foci_exact *out, size_t stops, size_t columns, bool lean, foci_error *err) {
    const size_t matrix = stops * stops, apart = lean ? 0 : matrix;
    foci_exact work = {0};
    work.block = foci_new_array(stops, ((lean ? 1 : 3) * stops + columns + 1) * sizeof *work.block, err);
    if (!work.block)
        return false;
    work.factor = work.block;
    work.room.distance = work.factor + apart;
    work.room.correlation = work.room.distance + apart;
    work.right = work.room.correlation + matrix;
    work.alpha = work.right + stops * columns;
    *out = work;
    return true;
}

void foci_exact_free(foci_exact *work) {
    free(work->block);
    *work = (foci_exact){0};
}

foci_exact *foci_exacts_make(size_t threads, const foci_likelihood *likelihood, foci_error *err) {
    const foci_observations *stops = likelihood->stops;
    foci_exact *works = foci_new_array(threads, sizeof *works, err);
    for (size_t t = 0; works && t < threads; t++) {
        if (!foci_exact_make(&works[t], stops->count, stops->columns.count + likelihood->columns, false, err)) {
            foci_exacts_free(works, threads);
            return NULL;
        }
        foci_exact_take(&works[t], stops);
    }
    return works;
}

void foci_exacts_free(foci_exact *works, size_t threads) {
    for (size_t t = 0; works && t < threads; t++)
        foci_exact_free(&works[t]);
    free(works);
}

void foci_exact_take(foci_exact *work, const foci_observations *stops) {
    work->stops = stops;
    work->room.held = (foci_parameters){0};
}

static bool fail_singular(foci_error *err) {
    return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                     "the kriging equations have no stable solution under this variogram; give the model a nugget, or "
                     "pool stops that lie close together");
}

/* L of C, L^-1 (F, z) and N; false where C is singular. `values` count x columns. */
static bool whiten(foci_exact *work, const foci_parameters *at, const double *values, size_t columns) {
    const foci_observations *stops = work->stops;
    const size_t n = stops->count, p = foci_columns_flat(&stops->columns);
    double *z = work->right + n * p;
    foci_error singular = {0};
    if (work->room.correlation == work->factor)
        work->room.held = (foci_parameters){0};
    foci_covariance_at(work->factor, stops, at, &work->room);
    for (size_t s = 0; s < stops->seasons; s++)
        for (size_t i = stops->first[s]; i < stops->first[s + 1]; i++) {
            const double offset = at->mean[s] + foci_columns_offset(&stops->columns, stops->f, n, i);
            work->factor[i + i * n] += at->noise[s] * at->noise[s] + stops->error[i];
            for (size_t c = 0; c < columns; c++)
                z[i + c * n] = values[i + c * n] - offset;
        }
    if (!foci_linear_factor(work->factor, n, &singular))
        return false;
    memcpy(work->right, stops->f, n * p * sizeof *work->right);
    foci_linear_solve_lower(work->factor, n, work->right, p + columns);
    foci_linear_transposed_product(work->right, work->right, n, p, p, work->normal);
    return foci_linear_factor(work->normal, p, &singular);
}

/* b of one column, and L^-1 (z - F b) in its place; returns the squares of that. */
static double take_trend(foci_exact *work, double *column) {
    const size_t n = work->stops->count, p = foci_columns_flat(&work->stops->columns);
    double squares = 0;
    foci_linear_transposed_product(work->right, column, n, p, 1, work->trend);
    foci_linear_solve_lower(work->normal, p, work->trend, 1);
    foci_linear_solve_upper(work->normal, p, work->trend, 1);
    for (size_t k = 0; k < p; k++)
        for (size_t i = 0; i < n; i++)
            column[i] -= work->right[i + k * n] * work->trend[k];
    for (size_t i = 0; i < n; i++)
        squares += column[i] * column[i];
    return squares;
}

static double log_determinant(const double *factor, size_t order) {
    double sum = 0;
    for (size_t i = 0; i < order; i++)
        sum += log(factor[i + i * order]);
    return 2 * sum;
}

/* Sum of the seasons' squares about their means. */
static double squares_about_means(const double *values, const foci_observations *stops) {
    double squares = 0;
    for (size_t s = 0; s < stops->seasons; s++) {
        double mean = 0, count = (double)foci_observations_in(stops, s);
        for (size_t i = stops->first[s]; i < stops->first[s + 1]; i++)
            mean += values[i] / count;
        for (size_t i = stops->first[s]; i < stops->first[s + 1]; i++)
            squares += (values[i] - mean) * (values[i] - mean);
    }
    return squares;
}

void foci_exact_likelihood(foci_likelihood_value *values, foci_exact *work, const foci_likelihood *likelihood,
                           const foci_parameters *at) {
    const size_t n = work->stops->count, p = foci_columns_flat(&work->stops->columns);
    for (size_t c = 0; c < likelihood->columns; c++)
        values[c] = (foci_likelihood_value){-INFINITY, NAN};
    if (!whiten(work, at, likelihood->values, likelihood->columns))
        return;
    double terms = log_determinant(work->factor, n), freedom = (double)n;
    if (likelihood->restricted) {
        terms += log_determinant(work->normal, p) - likelihood->log_determinant;
        freedom -= (double)p;
    }
    for (size_t c = 0; c < likelihood->columns; c++) {
        const double least = LEAST_SQUARES * squares_about_means(likelihood->values + c * n, work->stops);
        const double sill = fmax(take_trend(work, work->right + n * (p + c)), least) / freedom;
        values[c] = (foci_likelihood_value){-0.5 * (freedom * (LOG_TWO_PI + log(sill) + 1) + terms), sill};
    }
}

bool foci_exact_solve(foci_exact *work, const foci_parameters *at, foci_error *err) {
    const size_t n = work->stops->count, p = foci_columns_flat(&work->stops->columns);
    if (!whiten(work, at, work->stops->readings, 1))
        return fail_singular(err);
    take_trend(work, work->right + n * p);
    memcpy(work->alpha, work->right + n * p, n * sizeof *work->alpha);
    foci_linear_solve_upper(work->factor, n, work->alpha, 1);
    return true;
}

bool foci_exact_condition(foci_conditional *given, const foci_exact *solved, bool few, foci_error *err) {
    const foci_conditional_parts parts = {.count = solved->stops->count,
                                          .flat = foci_columns_flat(&solved->stops->columns),
                                          .factor = solved->factor,
                                          .alpha = solved->alpha,
                                          .columns = solved->right,
                                          .trend = solved->trend};
    return foci_conditional_fill(given, &parts, few, err);
}

bool foci_exact_precision(double *precision, foci_exact *s, foci_error *err) {
    const size_t n = s->stops->count, p = foci_columns_flat(&s->stops->columns);
    foci_error singular = {0};
    foci_linear_solve_upper(s->factor, n, s->right, p); /* C^-1 F */
    if (!foci_linear_inverse(s->factor, n, &singular))
        return fail_singular(err);
    for (size_t k = 0; k < p; k++) /* C^-1 F N^-T, column after column */
        for (size_t i = 0; i < n; i++) {
            for (size_t j = 0; j < k; j++)
                s->right[i + k * n] -= s->right[i + j * n] * s->normal[k + j * p];
            s->right[i + k * n] /= s->normal[k + k * p];
        }
    for (size_t j = 0; j < n; j++)
        for (size_t i = j; i < n; i++) {
            double q = s->factor[i + j * n];
            for (size_t k = 0; k < p; k++)
                q -= s->right[i + k * n] * s->right[j + k * n];
            precision[i + j * n] = precision[j + i * n] = q;
        }
    return true;
}

/* With Q = C^-1 - C^-1 F (F' C^-1 F)^-1 F' C^-1: error_i = (Q z)_i / Q_ii and variance_i = 1 / Q_ii; Q z is alpha. */
bool foci_exact_leave_one_out(double *estimate, double *variance, foci_exact *s, foci_error *err) {
    const size_t n = s->stops->count, p = foci_columns_flat(&s->stops->columns);
    foci_error singular = {0};
    foci_linear_solve_upper(s->factor, n, s->right, p); /* C^-1 F */
    if (!foci_linear_inverse(s->factor, n, &singular))
        return fail_singular(err);
    for (size_t i = 0; i < n; i++) {
        double row[FOCI_COLUMNS_MOST], q = s->factor[i + i * n];
        for (size_t k = 0; k < p; k++)
            row[k] = s->right[i + k * n];
        foci_linear_solve_lower(s->normal, p, row, 1);
        for (size_t k = 0; k < p; k++)
            q -= row[k] * row[k];
        if (!(q > 0))
            return fail_singular(err);
        estimate[i] = s->stops->readings[i] - s->alpha[i] / q;
        variance[i] = 1 / q;
    }
    return true;
}

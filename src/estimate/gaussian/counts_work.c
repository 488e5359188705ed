#include "estimate/gaussian/counts_work.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"

enum { MATRICES = 5, NAMED_VECTORS = 7, SCRATCH = 8 };

bool foci_counts_work_make(foci_counts_work *out, size_t room, foci_error *err) {
    foci_counts_work work = {0};
    work.block = foci_new_array(room, (MATRICES * room + NAMED_VECTORS + SCRATCH) * sizeof *work.block, err);
    if (!work.block)
        return false;
    double **matrices[MATRICES] = {&work.distance, &work.correlation, &work.covariance, &work.factor, &work.inverse};
    double **vectors[NAMED_VECTORS] = {&work.field,    &work.pull,  &work.weight, &work.root,
                                       &work.gradient, &work.alpha, &work.spread};
    double *next = work.block;
    for (size_t i = 0; i < MATRICES; i++, next += room * room)
        *matrices[i] = next;
    for (size_t i = 0; i < NAMED_VECTORS; i++, next += room)
        *vectors[i] = next;
    for (size_t i = 0; i < SCRATCH; i++, next += room)
        work.scratch[i] = next;
    *out = work;
    return true;
}

void foci_counts_work_free(foci_counts_work *work) {
    free(work->block);
    *work = (foci_counts_work){0};
}

void foci_counts_work_take(foci_counts_work *work, const foci_counts_stops *stops) {
    work->stops = stops;
    work->point = (foci_counts_point){0};
}

bool foci_counts_same_distances(const foci_counts_point *one, const foci_counts_point *other) {
    return one->ratio == other->ratio;
}

bool foci_counts_same_correlations(const foci_counts_point *one, const foci_counts_point *other) {
    return foci_counts_same_distances(one, other) && one->family.row == other->family.row &&
           one->family.smoothness == other->family.smoothness && one->range == other->range;
}

void foci_counts_correlate(double *out, const double *distance, size_t count, const foci_counts_point *point) {
    const foci_correlation_family *family = &point->family;
    foci_correlation_fill(family->row, out, distance, count, family->practical / point->range, family->smoothness);
}

void foci_counts_distances(double *out, const foci_counts_stops *stops, double ratio, double u, double v) {
    const double *su = stops->u, *sv = stops->v;
#pragma omp simd
    for (size_t i = 0; i < stops->count; i++) {
        double du = su[i] - u, dv = ratio * (sv[i] - v);
        out[i] = sqrt(du * du + dv * dv);
    }
}

static void scale_correlation(double *restrict covariance, const double *restrict correlation, size_t count,
                              double sill, double constant) {
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        covariance[i] = sill * correlation[i] + constant;
}

void foci_counts_covariances(double *restrict covariance, const double *restrict correlation,
                             const foci_counts_stops *stops, size_t count, const foci_counts_point *point) {
    size_t n = stops->count, own = n - stops->earlier;
    double sill = point->sigma * point->sigma, constant = point->centre_spread * point->centre_spread;
    double between = point->shared * point->sigma * point->earlier_sigma;
    if (own == n) {
        scale_correlation(covariance, correlation, n * count, sill, constant);
        return;
    }
    for (size_t j = 0; j < count; j++) {
        scale_correlation(covariance + j * n, correlation + j * n, own, sill, constant);
        scale_correlation(covariance + j * n + own, correlation + j * n + own, stops->earlier, between, 0);
    }
}

/* Those of an earlier season with all stops. */
static void fill_earlier(foci_counts_work *work, const foci_counts_point *point) {
    size_t n = work->stops->count, own = n - work->stops->earlier;
    double sill = point->earlier_sigma * point->earlier_sigma,
           between = point->shared * point->sigma * point->earlier_sigma;
    double constant = point->centre_spread * point->centre_spread;
    for (size_t j = own; j < n; j++) {
        scale_correlation(work->covariance + j * n, work->correlation + j * n, own, between, 0);
        scale_correlation(work->covariance + j * n + own, work->correlation + j * n + own, n - own, sill, constant);
    }
}

void foci_counts_work_at(foci_counts_work *work, const foci_counts_point *point) {
    const foci_counts_stops *stops = work->stops;
    size_t n = stops->count;
    if (!foci_counts_same_distances(&work->point, point))
        for (size_t j = 0; j < n; j++)
            foci_counts_distances(work->distance + j * n, stops, point->ratio, stops->u[j], stops->v[j]);
    if (!foci_counts_same_correlations(&work->point, point))
        foci_counts_correlate(work->correlation, work->distance, n * n, point);
    foci_counts_covariances(work->covariance, work->correlation, stops, n - stops->earlier, point);
    fill_earlier(work, point);
    for (size_t i = 0; i < n; i++)
        work->covariance[i + i * n] += point->tau * point->tau;
    work->point = *point;
}

void foci_counts_multiply(double *restrict out, const double *restrict matrix, const double *restrict x, size_t order) {
    size_t j = 0;
    for (size_t i = 0; i < order; i++)
        out[i] = 0;
    for (; j + 4 <= order; j += 4) {
        const double *a = matrix + j * order, *b = a + order, *c = b + order, *d = c + order;
        double xa = x[j], xb = x[j + 1], xc = x[j + 2], xd = x[j + 3];
#pragma omp simd
        for (size_t i = 0; i < order; i++)
            out[i] += (a[i] * xa + b[i] * xb) + (c[i] * xc + d[i] * xd);
    }
    for (; j < order; j++) {
#pragma omp simd
        for (size_t i = 0; i < order; i++)
            out[i] += matrix[i + j * order] * x[j];
    }
}

double foci_counts_dot(const double *a, const double *b, size_t count) {
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

bool foci_counts_work_factor(foci_counts_work *work, foci_error *err) {
    size_t n = work->stops->count;
    const double *root = work->root;
    for (size_t j = 0; j < n; j++) {
        double *column = work->factor + j * n;
        const double *covariance = work->covariance + j * n;
#pragma omp simd
        for (size_t i = j; i < n; i++)
            column[i] = root[i] * covariance[i] * root[j];
        column[j] += 1;
    }
    return foci_linear_factor(work->factor, n, err);
}

void foci_counts_work_reduce(const foci_counts_work *work, double *out, const double *x) {
    size_t n = work->stops->count;
    for (size_t i = 0; i < n; i++)
        out[i] = x[i] / work->root[i];
    foci_linear_solve_lower(work->factor, n, out, 1);
    foci_linear_solve_upper(work->factor, n, out, 1);
    for (size_t i = 0; i < n; i++)
        out[i] *= work->root[i];
}

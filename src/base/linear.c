#include "base/linear.h"

#include <cblas.h>
#include <lapacke.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

void foci_linear_single_thread(void) {
    openblas_set_num_threads(1);
}

static bool is_too_large(size_t order, foci_error *err) {
    if (order <= INT_MAX)
        return false;
    foci_fail(err, FOCI_NO_FIT, NULL, 0, "a system of %zu equations is too large; use fewer neighbors", order);
    return true;
}

/* OpenBLAS lets a NaN pivot pass, which the reference LAPACK does not. */
static bool pivots_are_sound(const double *factor, size_t order) {
    for (size_t i = 0; i < order; i++)
        if (!(factor[i * order + i] > 0) || !isfinite(factor[i * order + i]))
            return false;
    return true;
}

bool foci_linear_factor(double *matrix, size_t order, foci_error *err) {
    if (is_too_large(order, err))
        return false;
    if (order == 0)
        return true;
    int failed = LAPACKE_dpotrf_work(LAPACK_COL_MAJOR, 'L', (int)order, matrix, (int)order);
    if (failed != 0 || !pivots_are_sound(matrix, order))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "the covariance matrix of order %zu is not positive definite; pool stops that share a place, "
                         "or give a model with a nugget",
                         order);
    return true;
}

static void solve(CBLAS_TRANSPOSE transpose, const double *factor, size_t order, double *right, size_t columns) {
    if (order == 0 || columns == 0)
        return;
    cblas_dtrsm(CblasColMajor, CblasLeft, CblasLower, transpose, CblasNonUnit, (int)order, (int)columns, 1, factor,
                (int)order, right, (int)order);
}

void foci_linear_solve_lower(const double *factor, size_t order, double *right, size_t columns) {
    solve(CblasNoTrans, factor, order, right, columns);
}

void foci_linear_solve_upper(const double *factor, size_t order, double *right, size_t columns) {
    solve(CblasTrans, factor, order, right, columns);
}

void foci_linear_transposed_product(const double *a, const double *b, size_t order, size_t m, size_t n, double *c) {
    if (m == 0 || n == 0)
        return;
    int leading = order > 0 ? (int)order : 1; /* BLAS refuses 0 even where nothing is read */
    cblas_dgemm(CblasColMajor, CblasTrans, CblasNoTrans, (int)m, (int)n, (int)order, 1, a, leading, b, leading, 0, c,
                (int)m);
}

void foci_linear_symmetric_product(const double *restrict matrix, const double *restrict x, size_t order,
                                   double *restrict out) {
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

double foci_linear_dot(const double *a, const double *b, size_t count) {
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

void foci_linear_lower_product(const double *factor, size_t order, double *right, size_t columns) {
    if (order == 0 || columns == 0)
        return;
    cblas_dtrmm(CblasColMajor, CblasLeft, CblasLower, CblasNoTrans, CblasNonUnit, (int)order, (int)columns, 1, factor,
                (int)order, right, (int)order);
}

bool foci_linear_lower_inverse(double *factor, size_t order, double most, double *condition, foci_error *err) {
    *condition = 1;
    if (is_too_large(order, err))
        return false;
    if (order == 0)
        return true;
    double *room = foci_new_array(order, 3 * sizeof *room, err);
    lapack_int *whole = room ? foci_new_array(order, sizeof *whole, err) : NULL;
    double share = 0; /* 1 / condition */
    if (whole)
        LAPACKE_dtrcon_work(LAPACK_COL_MAJOR, '1', 'L', 'N', (int)order, factor, (int)order, &share, room, whole);
    const bool ok = whole != NULL;
    free(room);
    free(whole);
    *condition = share > 0 ? 1 / share : INFINITY;
    if (ok && *condition <= most)
        LAPACKE_dtrtri_work(LAPACK_COL_MAJOR, 'L', 'N', (int)order, factor, (int)order);
    return ok;
}

static bool lower_is_finite(const double *matrix, size_t order) {
    for (size_t column = 0; column < order; column++)
        for (size_t row = column; row < order; row++)
            if (!isfinite(matrix[column * order + row]))
                return false;
    return true;
}

bool foci_linear_eigen(double *matrix, size_t order, double *values, foci_error *err) {
    if (is_too_large(order, err))
        return false;
    if (order == 0)
        return true;
    size_t size = 34 * order + 2; /* LAPACK's blocks of 32 and its least, 3 order - 1 */
    double *room = foci_new_array(size, sizeof *room, err);
    if (!room)
        return false;
    bool ok =
        lower_is_finite(matrix, order) && LAPACKE_dsyev_work(LAPACK_COL_MAJOR, 'V', 'L', (int)order, matrix, (int)order,
                                                             values, room, size <= INT_MAX ? (int)size : INT_MAX) == 0;
    free(room);
    return ok || foci_fail(err, FOCI_NO_FIT, NULL, 0, "the eigenvalues of a matrix of order %zu were not found", order);
}

bool foci_linear_inverse(double *factor, size_t order, foci_error *err) {
    if (is_too_large(order, err))
        return false;
    if (order == 0)
        return true;
    if (LAPACKE_dpotri_work(LAPACK_COL_MAJOR, 'L', (int)order, factor, (int)order) != 0)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the matrix of order %zu is singular", order);
    for (size_t column = 1; column < order; column++)
        for (size_t row = 0; row < column; row++)
            factor[column * order + row] = factor[row * order + column];
    return true;
}

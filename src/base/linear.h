/* Dense linear algebra: the only door to LAPACK and BLAS. Matrices are column-major. */
#ifndef FOCI_BASE_LINEAR_H
#define FOCI_BASE_LINEAR_H

#include "fieldfoci/error.h"

/* Keeps BLAS to one thread inside our own parallel loops; call before the first parallel region. */
void foci_linear_single_thread(void);

/* Cholesky factor L (lower) of a symmetric positive definite matrix, in place; only the lower triangle is read. The
 * upper triangle is left as it was. FOCI_NO_FIT where it is not positive definite. */
bool foci_linear_factor(double *matrix, size_t order, foci_error *err) FOCI_MUST_CHECK;

/* B <- L^-1 B, B of order x columns. */
void foci_linear_solve_lower(const double *factor, size_t order, double *right, size_t columns);

/* B <- L^-T B. */
void foci_linear_solve_upper(const double *factor, size_t order, double *right, size_t columns);

/* C <- A' B, A of order x m, B of order x n, C of m x n. */
void foci_linear_transposed_product(const double *a, const double *b, size_t order, size_t m, size_t n, double *c);

/* out = A x, A symmetric with both triangles. */
void foci_linear_symmetric_product(const double *restrict matrix, const double *restrict x, size_t order,
                                   double *restrict out);

double foci_linear_dot(const double *a, const double *b, size_t count);

/* B <- L B, B of order x columns. */
void foci_linear_lower_product(const double *factor, size_t order, double *right, size_t columns);

/* L <- L^-1, in place; the upper triangle is left as it was. `condition`: of L, as LAPACK estimates it in the 1-norm,
 * infinite where it is singular; where it is above `most` L stays as it is. */
bool foci_linear_lower_inverse(double *factor, size_t order, double most, double *condition,
                               foci_error *err) FOCI_MUST_CHECK;

/* Eigenvalues of a symmetric matrix, smallest first, and its eigenvectors in its place, one a column; only the lower
 * triangle is read. FOCI_NO_FIT where a number is not finite or no solution is found. */
bool foci_linear_eigen(double *matrix, size_t order, double *values, foci_error *err) FOCI_MUST_CHECK;

/* Inverse of L L' from its factor, in place, both triangles filled. */
bool foci_linear_inverse(double *factor, size_t order, foci_error *err) FOCI_MUST_CHECK;

#endif

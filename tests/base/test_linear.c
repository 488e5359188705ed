#include "support/support.h"

#include "base/linear.h"

enum { ORDER = 37, COLUMNS = 5 };

/* Numbers without pattern from a fixed sequence. */
static double draw(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0 - 0.5;
}

static void fill(double *matrix, size_t count, unsigned seed) {
    for (size_t i = 0; i < count; i++)
        matrix[i] = draw(&seed);
}

/* G G' + I, column-major, positive definite. */
static void make_definite(double *matrix, size_t order, unsigned seed) {
    double *g = malloc(order * order * sizeof *g);
    fill(g, order * order, seed);
    for (size_t i = 0; i < order; i++)
        for (size_t j = 0; j < order; j++) {
            double sum = i == j;
            for (size_t k = 0; k < order; k++)
                sum += g[k * order + i] * g[k * order + j];
            matrix[j * order + i] = sum;
        }
    free(g);
}

/* The plain twin: Cholesky row by row, as in any textbook. */
static void plain_factor(double *lower, const double *matrix, size_t order) {
    memset(lower, 0, order * order * sizeof *lower);
    for (size_t i = 0; i < order; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = matrix[j * order + i];
            for (size_t k = 0; k < j; k++)
                sum -= lower[k * order + i] * lower[k * order + j];
            lower[j * order + i] = i == j ? sqrt(sum) : sum / lower[j * order + j];
        }
}

/* 4 12 -16 / 12 37 -43 / -16 -43 98 = L L' with L = 2 0 0 / 6 1 0 / -8 5 3 (a textbook example, from memory; the
 * product is checked by eye). Only the lower triangle is read, the upper is left. */
static void test_factor_of_a_known_matrix(void **state) {
    (void)state;
    foci_error err = {0};
    double matrix[9] = {4, 12, -16, 777, 37, -43, 888, 999, 98};
    assert_done(foci_linear_factor(matrix, 3, &err), err);
    const double expected[9] = {2, 6, -8, 777, 1, 5, 888, 999, 3};
    for (size_t i = 0; i < 9; i++)
        assert_near(matrix[i], expected[i], 1e-13);
}

static void test_factor_is_the_plain_one(void **state) {
    (void)state;
    static double matrix[ORDER * ORDER], lower[ORDER * ORDER];
    foci_error err = {0};
    make_definite(matrix, ORDER, 12u);
    plain_factor(lower, matrix, ORDER);
    assert_done(foci_linear_factor(matrix, ORDER, &err), err);
    for (size_t j = 0; j < ORDER; j++)
        for (size_t i = j; i < ORDER; i++)
            assert_near(matrix[j * ORDER + i], lower[j * ORDER + i], 1e-12);
}

static void test_solves_undo_the_products(void **state) {
    (void)state;
    static double lower[ORDER * ORDER], given[ORDER * COLUMNS], right[ORDER * COLUMNS], turned[ORDER * COLUMNS];
    static double matrix[ORDER * ORDER];
    make_definite(matrix, ORDER, 5u);
    plain_factor(lower, matrix, ORDER);
    fill(given, ORDER * COLUMNS, 6u);
    for (size_t c = 0; c < COLUMNS; c++)
        for (size_t i = 0; i < ORDER; i++) {
            right[c * ORDER + i] = turned[c * ORDER + i] = 0;
            for (size_t k = 0; k < ORDER; k++) {
                right[c * ORDER + i] += lower[k * ORDER + i] * given[c * ORDER + k];  /* L X */
                turned[c * ORDER + i] += lower[i * ORDER + k] * given[c * ORDER + k]; /* L' X */
            }
        }
    foci_linear_solve_lower(lower, ORDER, right, COLUMNS);
    foci_linear_solve_upper(lower, ORDER, turned, COLUMNS);
    for (size_t i = 0; i < ORDER * COLUMNS; i++) {
        assert_near(right[i], given[i], 1e-11);
        assert_near(turned[i], given[i], 1e-11);
    }
}

static void test_transposed_product_is_the_plain_one(void **state) {
    (void)state;
    enum { M = 3, N = 4 };
    static double a[ORDER * M], b[ORDER * N], c[M * N];
    fill(a, ORDER * M, 1u);
    fill(b, ORDER * N, 2u);
    fill(c, M * N, 3u); /* what was there must not count */
    foci_linear_transposed_product(a, b, ORDER, M, N, c);
    for (size_t i = 0; i < M; i++)
        for (size_t j = 0; j < N; j++) {
            double sum = 0;
            for (size_t k = 0; k < ORDER; k++)
                sum += a[i * ORDER + k] * b[j * ORDER + k];
            assert_near(c[j * M + i], sum, 1e-13);
        }
}

static void test_lower_product_is_the_plain_one(void **state) {
    (void)state;
    static double lower[ORDER * ORDER], right[ORDER * COLUMNS], given[ORDER * COLUMNS];
    fill(lower, ORDER * ORDER, 3u); /* what is above the diagonal must not count */
    fill(given, ORDER * COLUMNS, 4u);
    memcpy(right, given, sizeof right);
    foci_linear_lower_product(lower, ORDER, right, COLUMNS);
    for (size_t c = 0; c < COLUMNS; c++)
        for (size_t i = 0; i < ORDER; i++) {
            double sum = 0;
            for (size_t k = 0; k <= i; k++)
                sum += lower[k * ORDER + i] * given[c * ORDER + k];
            assert_near(right[c * ORDER + i], sum, 1e-13);
        }
    foci_linear_lower_product(NULL, 0, NULL, COLUMNS);
}

/* The condition number of a diagonal matrix is that of its numbers. */
static void test_lower_inverse_undoes_the_product(void **state) {
    (void)state;
    static double lower[ORDER * ORDER], inverse[ORDER * ORDER], matrix[ORDER * ORDER];
    double condition = 0, known[4] = {1, 3, 777, 1e-8};
    foci_error err = {0};
    make_definite(matrix, ORDER, 5u);
    plain_factor(lower, matrix, ORDER);
    memcpy(inverse, lower, sizeof inverse);
    assert_done(foci_linear_lower_inverse(inverse, ORDER, 1e7, &condition, &err), err);
    assert_true(condition > 1 && condition < 1e4);
    foci_linear_lower_product(inverse, ORDER, lower, ORDER);
    for (size_t j = 0; j < ORDER; j++)
        for (size_t i = 0; i < ORDER; i++)
            assert_near(lower[j * ORDER + i], i == j, 1e-13);
    known[1] = 0;
    assert_done(foci_linear_lower_inverse(known, 2, 1e7, &condition, &err), err);
    assert_near(condition, 1e8, 1);
    assert_near(known[3], 1e-8, 0); /* as it was */
    assert_done(foci_linear_lower_inverse(known, 2, 1e9, &condition, &err), err);
    assert_near(known[3], 1e8, 1e-6);
    assert_near(known[2], 777, 0);
    known[3] = 0;
    assert_done(foci_linear_lower_inverse(known, 2, 1e9, &condition, &err), err);
    assert_true(isinf(condition));
    for (long after = 0; after < 2; after++) {
        foci_memory_fail_after(after);
        assert_false(foci_linear_lower_inverse(inverse, ORDER, 1e7, &condition, &err));
        foci_memory_fail_after(-1);
        assert_int_equal(err.status, FOCI_NO_MEMORY);
    }
}

/* 2 1 / 1 2 has 1 and 3 (by hand); the second difference matrix of order n has 2 - 2 cos(k pi / (n + 1)). */
/* Four columns at a time, and those that are left. */
static void test_symmetric_product_and_dot_are_the_plain_ones(void **state) {
    (void)state;
    enum { MOST = 9 };
    double matrix[MOST * MOST], x[MOST], out[MOST + 1];
    for (size_t n = 0; n <= MOST; n++) {
        for (size_t i = 0; i < n; i++) {
            x[i] = 0.7 - 0.21 * (double)i;
            for (size_t j = 0; j < n; j++)
                matrix[i + j * n] = 1 / (1.0 + (double)(i * j)) + 0.3 * (double)(i + j);
        }
        out[n] = 42;
        foci_linear_symmetric_product(matrix, x, n, out);
        double squares = 0;
        for (size_t i = 0; i < n; i++) {
            double sum = 0;
            for (size_t j = 0; j < n; j++)
                sum += matrix[i + j * n] * x[j];
            assert_near(out[i], sum, 1e-13);
            squares += x[i] * out[i];
        }
        assert_near(out[n], 42, 0);
        assert_near(foci_linear_dot(x, out, n), squares, 1e-13);
    }
}

static void test_eigenvalues_that_are_known(void **state) {
    (void)state;
    enum { N = 9 };
    foci_error err = {0};
    double two[4] = {2, 1, 777, 2}, values[N], chain[N * N] = {0};
    assert_done(foci_linear_eigen(two, 2, values, &err), err);
    assert_near(values[0], 1, 1e-14);
    assert_near(values[1], 3, 1e-14);
    assert_near(fabs(two[0]), sqrt(0.5), 1e-14);
    assert_near(two[0], -two[1], 1e-14);
    for (int i = 0; i < N; i++) {
        chain[i * N + i] = 2;
        if (i + 1 < N)
            chain[i * N + i + 1] = -1;
    }
    assert_done(foci_linear_eigen(chain, N, values, &err), err);
    for (int k = 0; k < N; k++)
        assert_near(values[k], 2 - 2 * cos((k + 1) * acos(-1) / (N + 1)), 1e-13);
}

static void test_eigenvectors_build_the_matrix(void **state) {
    (void)state;
    static double matrix[ORDER * ORDER], vectors[ORDER * ORDER], values[ORDER];
    foci_error err = {0};
    make_definite(matrix, ORDER, 21u);
    memcpy(vectors, matrix, sizeof vectors);
    assert_done(foci_linear_eigen(vectors, ORDER, values, &err), err);
    for (size_t i = 0; i < ORDER; i++)
        for (size_t j = 0; j < ORDER; j++) {
            double built = 0, dot = 0;
            for (size_t k = 0; k < ORDER; k++) {
                built += vectors[k * ORDER + i] * values[k] * vectors[k * ORDER + j];
                dot += vectors[i * ORDER + k] * vectors[j * ORDER + k];
            }
            assert_near(built, matrix[j * ORDER + i], 1e-11);
            assert_near(dot, i == j, 1e-12);
        }
    vectors[3] = NAN;
    assert_fails(foci_linear_eigen(vectors, ORDER, values, &err), err, FOCI_NO_FIT, "eigenvalues");
    assert_fails(foci_linear_eigen(vectors, (size_t)1 << 32, values, &err), err, FOCI_NO_FIT, "too large");
    err = (foci_error){0};
    assert_done(foci_linear_eigen(NULL, 0, NULL, &err), err);
}

static bool find_eigenvalues(foci_error *err) {
    double two[4] = {2, 1, 1, 2}, values[2];
    return foci_linear_eigen(two, 2, values, err);
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(find_eigenvalues);
}

static void test_inverse_times_matrix_is_one(void **state) {
    (void)state;
    static double matrix[ORDER * ORDER], inverse[ORDER * ORDER];
    foci_error err = {0};
    make_definite(matrix, ORDER, 9u);
    memcpy(inverse, matrix, sizeof inverse);
    assert_done(foci_linear_factor(inverse, ORDER, &err), err);
    assert_done(foci_linear_inverse(inverse, ORDER, &err), err);
    for (size_t i = 0; i < ORDER; i++)
        for (size_t j = 0; j < ORDER; j++) {
            double sum = 0;
            for (size_t k = 0; k < ORDER; k++)
                sum += inverse[k * ORDER + i] * matrix[j * ORDER + k];
            assert_near(sum, i == j, 1e-11);
            assert_true(inverse[j * ORDER + i] == inverse[i * ORDER + j]);
        }
}

static void test_what_is_not_positive_definite_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    double twins[4] = {2.5, 2.5, 2.5, 2.5}, negative[4] = {1, 2, 2, 1}, broken[4] = {1, NAN, NAN, 1};
    double nothing[1] = {0}, infinite[1] = {INFINITY};
    assert_fails(foci_linear_factor(twins, 2, &err), err, FOCI_NO_FIT, "not positive definite");
    assert_fails(foci_linear_factor(negative, 2, &err), err, FOCI_NO_FIT, "not positive definite");
    assert_fails(foci_linear_factor(broken, 2, &err), err, FOCI_NO_FIT, "not positive definite");
    assert_fails(foci_linear_factor(nothing, 1, &err), err, FOCI_NO_FIT, "not positive definite");
    assert_fails(foci_linear_factor(infinite, 1, &err), err, FOCI_NO_FIT, "not positive definite");
    assert_fails(foci_linear_factor(twins, (size_t)1 << 32, &err), err, FOCI_NO_FIT, "too large");
    double without_diagonal[4] = {0, 1.5, 0, 2.5};
    assert_fails(foci_linear_inverse(without_diagonal, 2, &err), err, FOCI_NO_FIT, "singular");
}

static void test_nothing_to_do(void **state) {
    (void)state;
    foci_error err = {0};
    double right[2] = {3.25, 4.5}, factor[1] = {2}, product[2] = {7, 8};
    assert_done(foci_linear_factor(factor, 0, &err), err);
    assert_done(foci_linear_inverse(factor, 0, &err), err);
    foci_linear_solve_lower(factor, 0, right, 2);
    foci_linear_solve_upper(factor, 1, right, 0);
    foci_linear_transposed_product(factor, factor, 1, 0, 1, product);
    assert_true(right[0] == 3.25 && right[1] == 4.5 && factor[0] == 2 && product[0] == 7);
    foci_linear_transposed_product(factor, factor, 0, 1, 1, product); /* an empty sum */
    assert_true(product[0] == 0 && product[1] == 8);
}

/* The same bits with one thread, run after run, on a system large enough to be split among threads. */
static void test_one_thread_gives_the_same_bits(void **state) {
    (void)state;
    enum { LARGE = 400 };
    static double first[LARGE * LARGE], second[LARGE * LARGE];
    foci_error err = {0};
    foci_linear_single_thread();
    make_definite(first, LARGE, 21u);
    memcpy(second, first, sizeof second);
    assert_done(foci_linear_factor(first, LARGE, &err), err);
    assert_done(foci_linear_factor(second, LARGE, &err), err);
    assert_memory_equal(first, second, sizeof first);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_factor_of_a_known_matrix),
        cmocka_unit_test(test_factor_is_the_plain_one),
        cmocka_unit_test(test_solves_undo_the_products),
        cmocka_unit_test(test_transposed_product_is_the_plain_one),
        cmocka_unit_test(test_lower_product_is_the_plain_one),
        cmocka_unit_test(test_lower_inverse_undoes_the_product),
        cmocka_unit_test(test_symmetric_product_and_dot_are_the_plain_ones),
        cmocka_unit_test(test_eigenvalues_that_are_known),
        cmocka_unit_test(test_eigenvectors_build_the_matrix),
        cmocka_unit_test(test_each_allocation_may_fail),
        cmocka_unit_test(test_inverse_times_matrix_is_one),
        cmocka_unit_test(test_what_is_not_positive_definite_is_refused),
        cmocka_unit_test(test_nothing_to_do),
        cmocka_unit_test(test_one_thread_gives_the_same_bits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

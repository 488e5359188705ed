/* A field given its stops, against the formulas of a textbook solved plainly in long double: Rasmussen & Williams 2006,
 * Gaussian Processes for Machine Learning, equations 2.25, 2.26 and 2.42 (with a flat prior of the coefficients). */
#include "support/support.h"

#include "base/linear.h"
#include "estimate/gaussian/conditional.h"

enum { STOPS = 41, PLACES = 9, FLAT = 3, ALL = STOPS + PLACES };

/* The tested case: K of stops and places, noise of the stops, columns F of all, readings z. */
typedef struct {
    size_t flat;
    bool latent; /* by I + W^1/2 K W^1/2 with W = 1 / noise, else by K + noise */
    double k[ALL][ALL], noise[STOPS], columns[ALL][FLAT], readings[STOPS];
} scene;

static double draw(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0;
}

/* Squared exponential of `range` in the unit square, places at random; columns 1, x, y. */
static void make(scene *s, size_t flat, bool latent, double range, double noise, unsigned seed) {
    double x[ALL], y[ALL];
    s->flat = flat;
    s->latent = latent;
    for (size_t i = 0; i < ALL; i++) {
        x[i] = draw(&seed);
        y[i] = draw(&seed);
        s->columns[i][0] = 1;
        s->columns[i][1] = x[i];
        s->columns[i][2] = y[i];
    }
    for (size_t i = 0; i < ALL; i++)
        for (size_t j = 0; j < ALL; j++)
            s->k[i][j] = 2.3 * exp(-(pow(x[i] - x[j], 2) + pow(y[i] - y[j], 2)) / (range * range));
    for (size_t i = 0; i < STOPS; i++) {
        s->noise[i] = noise * (0.5 + draw(&seed));
        s->readings[i] = 3 + 2 * x[i];
    }
    for (size_t j = 0; j < STOPS; j++) { /* smooth as the field is, so that hardly any noise can tell them */
        const double pull = draw(&seed) - 0.5;
        for (size_t i = 0; i < STOPS; i++)
            s->readings[i] += pull * s->k[i][j];
    }
}

/* A x = b, A symmetric and positive definite, by Cholesky; `right` n x columns, row by row. */
static void plain_solve(size_t n, long double *a, long double *right, size_t columns) {
    for (size_t j = 0; j < n; j++) {
        for (size_t k = 0; k < j; k++)
            a[j * n + j] -= a[j * n + k] * a[j * n + k];
        assert_true(a[j * n + j] > 0);
        a[j * n + j] = sqrtl(a[j * n + j]);
        for (size_t i = j + 1; i < n; i++) {
            for (size_t k = 0; k < j; k++)
                a[i * n + j] -= a[i * n + k] * a[j * n + k];
            a[i * n + j] /= a[j * n + j];
        }
    }
    for (size_t c = 0; c < columns; c++) {
        for (size_t i = 0; i < n; i++) {
            for (size_t k = 0; k < i; k++)
                right[i * columns + c] -= a[i * n + k] * right[k * columns + c];
            right[i * columns + c] /= a[i * n + i];
        }
        for (size_t i = n; i-- > 0;) {
            for (size_t k = i + 1; k < n; k++)
                right[i * columns + c] -= a[k * n + i] * right[k * columns + c];
            right[i * columns + c] /= a[i * n + i];
        }
    }
}

typedef struct {
    double alpha[STOPS], trend[FLAT], mean[PLACES], covariance[PLACES][PLACES];
} answer;

static void twin(answer *out, const scene *s) {
    enum { RIGHT = FLAT + 1 + PLACES };
    static long double c[STOPS * STOPS], solved[STOPS * RIGHT]; /* C^-1 of F, z, k */
    long double normal[FLAT * FLAT] = {0}, right[FLAT * (1 + PLACES)] = {0}, missing[PLACES][FLAT];
    const size_t p = s->flat;
    for (size_t i = 0; i < STOPS; i++) {
        for (size_t j = 0; j < STOPS; j++)
            c[i * STOPS + j] = (long double)s->k[i][j] + (i == j ? (long double)s->noise[i] : 0);
        for (size_t k = 0; k < FLAT; k++)
            solved[i * RIGHT + k] = s->columns[i][k];
        solved[i * RIGHT + FLAT] = s->readings[i];
        for (size_t j = 0; j < PLACES; j++)
            solved[i * RIGHT + FLAT + 1 + j] = s->k[i][STOPS + j];
    }
    plain_solve(STOPS, c, solved, RIGHT);
    for (size_t j = 0; j < PLACES; j++)
        for (size_t a = 0; a < p; a++) { /* f - F'C^-1 k */
            missing[j][a] = s->columns[STOPS + j][a];
            for (size_t i = 0; i < STOPS; i++)
                missing[j][a] -= s->columns[i][a] * solved[i * RIGHT + FLAT + 1 + j];
            right[a * (1 + PLACES) + 1 + j] = missing[j][a];
        }
    for (size_t a = 0; a < p; a++)
        for (size_t i = 0; i < STOPS; i++) {
            for (size_t b = 0; b < p; b++)
                normal[a * p + b] += s->columns[i][a] * solved[i * RIGHT + b];
            right[a * (1 + PLACES)] += s->columns[i][a] * solved[i * RIGHT + FLAT];
        }
    plain_solve(p, normal, right, 1 + PLACES);
    for (size_t i = 0; i < STOPS; i++) {
        long double alpha = solved[i * RIGHT + FLAT];
        for (size_t a = 0; a < p; a++)
            alpha -= solved[i * RIGHT + a] * right[a * (1 + PLACES)];
        out->alpha[i] = (double)alpha;
    }
    for (size_t a = 0; a < p; a++)
        out->trend[a] = (double)right[a * (1 + PLACES)];
    for (size_t j = 0; j < PLACES; j++) {
        long double mean = 0;
        for (size_t i = 0; i < STOPS; i++)
            mean += s->k[i][STOPS + j] * solved[i * RIGHT + FLAT];
        for (size_t a = 0; a < p; a++)
            mean += missing[j][a] * right[a * (1 + PLACES)];
        out->mean[j] = (double)mean;
        for (size_t l = 0; l < PLACES; l++) {
            long double covariance = s->k[STOPS + j][STOPS + l];
            for (size_t i = 0; i < STOPS; i++)
                covariance -= s->k[i][STOPS + l] * solved[i * RIGHT + FLAT + 1 + j];
            for (size_t a = 0; a < p; a++)
                covariance += missing[j][a] * right[a * (1 + PLACES) + 1 + l];
            out->covariance[j][l] = (double)covariance;
        }
    }
}

/* Borrowed by the parts. */
static double factor[STOPS * STOPS], root[STOPS], columns[STOPS * FLAT], between[STOPS * PLACES],
    of_places[FLAT * PLACES];

static foci_conditional_parts parts_of(const scene *s, const answer *known) {
    foci_error err = {0};
    for (size_t i = 0; i < STOPS; i++) {
        root[i] = s->latent ? 1 / sqrt(s->noise[i]) : 1;
        for (size_t k = 0; k < s->flat; k++)
            columns[i + k * STOPS] = s->columns[i][k];
        for (size_t j = 0; j < PLACES; j++)
            between[i + j * STOPS] = s->k[i][STOPS + j];
    }
    for (size_t j = 0; j < PLACES; j++)
        for (size_t k = 0; k < s->flat; k++)
            of_places[j + k * PLACES] = s->columns[STOPS + j][k];
    for (size_t i = 0; i < STOPS; i++)
        for (size_t j = 0; j < STOPS; j++) {
            double diagonal = s->latent ? 1 : s->noise[i];
            factor[i + j * STOPS] = root[i] * s->k[i][j] * root[j] + (i == j ? diagonal : 0);
        }
    assert_done(foci_linear_factor(factor, STOPS, &err), err);
    for (size_t i = 0; i < STOPS; i++)
        for (size_t k = 0; k < s->flat; k++)
            columns[i + k * STOPS] *= root[i];
    foci_linear_solve_lower(factor, STOPS, columns, s->flat);
    return (foci_conditional_parts){.count = STOPS,
                                    .flat = s->flat,
                                    .factor = factor,
                                    .root = s->latent ? root : NULL,
                                    .alpha = known->alpha,
                                    .columns = columns,
                                    .trend = known->trend};
}

static void check(const scene *s, bool few, bool inverse, double tolerance) {
    static double k[STOPS * PLACES], room[(1 + 2 * FLAT) * PLACES];
    static answer expected;
    double mean[PLACES], variance[PLACES], covariance[PLACES * PLACES];
    foci_error err = {0};
    foci_conditional given = {0};
    twin(&expected, s);
    const foci_conditional_parts parts = parts_of(s, &expected);
    assert_done(foci_conditional_make(&given, STOPS, s->flat, &err), err);
    assert_done(foci_conditional_fill(&given, &parts, few, &err), err);
    assert_int_equal(given.inverse, inverse);
    memcpy(k, between, sizeof k);
    for (size_t j = 0; j < PLACES; j++)
        variance[j] = s->k[0][0];
    assert_done(foci_conditional_moments(mean, variance, &given, k, of_places, PLACES, room, &err), err);
    for (size_t j = 0; j < PLACES; j++) {
        assert_near(mean[j], expected.mean[j], tolerance);
        assert_near(variance[j], expected.covariance[j][j], tolerance);
        for (size_t l = 0; l < PLACES; l++)
            covariance[j + l * PLACES] = s->k[STOPS + j][STOPS + l];
    }
    memcpy(k, between, sizeof k);
    assert_done(foci_conditional_joint(mean, covariance, &given, k, of_places, PLACES, &err), err);
    for (size_t j = 0; j < PLACES; j++) {
        assert_near(mean[j], expected.mean[j], tolerance);
        for (size_t l = 0; l < PLACES; l++)
            assert_near(covariance[j + l * PLACES], expected.covariance[j][l], tolerance);
    }
    foci_conditional_free(&given);
    foci_conditional_free(&given);
}

static void test_the_textbook(void **state) {
    (void)state;
    static scene s;
    for (size_t flat = 0; flat <= FLAT; flat += flat == 0 ? 1 : 2)
        for (int latent = 0; latent < 2; latent++)
            for (unsigned seed = 1; seed <= 5; seed++) {
                make(&s, flat, latent, 0.2 + 0.05 * seed, 0.02, 17 * seed);
                check(&s, false, true, 1e-11);
                check(&s, true, false, 1e-11);
            }
}

/* The condition of L passes 1e7, and triangles are solved. */
static void test_near_singular(void **state) {
    (void)state;
    static scene s;
    for (size_t flat = 0; flat <= FLAT; flat += flat == 0 ? 1 : 2)
        for (unsigned seed = 1; seed <= 3; seed++) {
            make(&s, flat, false, 0.9, 1e-13, seed);
            check(&s, false, false, 1e-8);
            make(&s, flat, true, 0.9, 1e-13, seed);
            check(&s, false, false, 1e-8);
        }
}

/* What the readings know more of than there is to know. */
static void test_a_variance_far_below_zero(void **state) {
    (void)state;
    static scene s;
    static answer expected;
    double k[STOPS * PLACES], mean[PLACES], variance[PLACES], room[(1 + 2 * FLAT) * PLACES];
    foci_conditional given = {0};
    foci_error err = {0};
    make(&s, 0, false, 0.3, 0.02, 5);
    twin(&expected, &s);
    const foci_conditional_parts parts = parts_of(&s, &expected);
    assert_done(foci_conditional_make(&given, STOPS, 0, &err), err);
    assert_done(foci_conditional_fill(&given, &parts, false, &err), err);
    for (size_t i = 0; i < STOPS * PLACES; i++)
        k[i] = 10 * between[i];
    for (size_t j = 0; j < PLACES; j++)
        variance[j] = s.k[0][0];
    assert_false(foci_conditional_moments(mean, variance, &given, k, NULL, PLACES, room, &err));
    assert_int_equal(err.status, FOCI_NO_FIT);
    assert_non_null(strstr(err.text, "nugget"));
    memcpy(k, between, sizeof k);
    assert_done(foci_conditional_moments(mean, NULL, &given, k, NULL, PLACES, room, &err), err);
    assert_near(mean[3], expected.mean[3], 1e-11);
    foci_conditional_free(&given);
}

/* Twice the same column cannot be told apart. */
static void test_columns_alike(void **state) {
    (void)state;
    static scene s;
    static answer expected;
    foci_conditional given = {0};
    foci_error err = {0};
    make(&s, 1, false, 0.3, 0.02, 5);
    twin(&expected, &s);
    foci_conditional_parts parts = parts_of(&s, &expected);
    memset(columns, 0, sizeof columns);
    parts.flat = 2;
    assert_done(foci_conditional_make(&given, STOPS, 2, &err), err);
    assert_false(foci_conditional_fill(&given, &parts, false, &err));
    assert_int_equal(err.status, FOCI_NO_FIT);
    foci_conditional_free(&given);
}

static void test_memory_that_fails(void **state) {
    (void)state;
    static scene s;
    static answer expected;
    make(&s, 1, false, 0.3, 0.02, 5);
    twin(&expected, &s);
    const foci_conditional_parts parts = parts_of(&s, &expected);
    double mean[PLACES], covariance[PLACES * PLACES] = {0};
    for (long after = 0; after < 4; after++) {
        foci_conditional given = {0};
        foci_error err = {0};
        foci_memory_fail_after(after);
        bool ok = foci_conditional_make(&given, STOPS, 1, &err) && foci_conditional_fill(&given, &parts, false, &err) &&
                  foci_conditional_joint(mean, covariance, &given, between, of_places, PLACES, &err);
        foci_memory_fail_after(-1);
        assert_false(ok);
        assert_int_equal(err.status, FOCI_NO_MEMORY);
        foci_conditional_free(&given);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_textbook),
        cmocka_unit_test(test_near_singular),
        cmocka_unit_test(test_a_variance_far_below_zero),
        cmocka_unit_test(test_columns_alike),
        cmocka_unit_test(test_memory_that_fails),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

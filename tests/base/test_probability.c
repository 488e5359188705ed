#include "support/support.h"

#include "base/probability.h"

#define TWO_SIDED_95 1.959963984540054

/* Abramowitz & Stegun, table 26.1 (from memory), and the quantile that the header states. */
static void test_normal_distribution(void **state) {
    (void)state;
    assert_near(foci_normal_cdf(0), 0.5, 1e-16);
    assert_near(foci_normal_cdf(1), 0.841344746068543, 1e-15);
    assert_near(foci_normal_cdf(2), 0.977249868051821, 1e-15);
    assert_near(foci_normal_cdf(FOCI_NORMAL_95), 0.95, 1e-15);
    assert_near(foci_normal_cdf(-FOCI_NORMAL_95), 0.05, 1e-16);
    assert_near(foci_normal_cdf(TWO_SIDED_95), 0.975, 1e-15);
}

/* The density integrated by Simpson's rule from z to far out: also the small chances must be right in every digit. */
static double tail_below(double z) {
    const int steps = 200000;
    double from = z - 12, width = 12.0 / steps, sum = 0;
    for (int i = 0; i <= steps; i++) {
        double x = from + i * width;
        sum += exp(-x * x / 2) * (i == 0 || i == steps ? 1 : i % 2 ? 4 : 2);
    }
    return sum * width / 3 / sqrt(2 * acos(-1));
}

static void test_tails_keep_their_digits(void **state) {
    (void)state;
    const double places[] = {-1.37, -4.21, -7.93, -12.6, -20.02};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        assert_near(foci_normal_cdf(places[i]) / tail_below(places[i]), 1, 1e-10);
}

/* Newcombe 1998, Statistics in Medicine 17:857-872, method 3, to the four digits printed there. */
static void test_wilson_interval_is_the_published_one(void **state) {
    (void)state;
    const struct {
        double y, n, low, high;
    } rows[] = {{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = NAN, high = NAN;
        foci_wilson_interval(rows[i].y, rows[i].n, TWO_SIDED_95, &low, &high);
        assert_near(low, rows[i].low, 5e-5);
        assert_near(high, rows[i].high, 5e-5);
    }
}

/* Its ends are the shares whose score test just reaches z (Wilson 1927): (y/n - p)^2 = z^2 p (1 - p) / n. */
static void test_wilson_ends_solve_their_equation(void **state) {
    (void)state;
    for (int checked = 1; checked < 40; checked += 6)
        for (int halves = 0; halves <= 2 * checked; halves++) {
            double n = checked, y = halves / 2.0, ends[2] = {NAN, NAN};
            foci_wilson_interval(y, n, 1.234, &ends[0], &ends[1]);
            assert_true(ends[0] >= 0 && ends[0] <= y / n && y / n <= ends[1] && ends[1] <= 1);
            for (int i = 0; i < 2; i++)
                assert_near((y / n - ends[i]) * (y / n - ends[i]), 1.234 * 1.234 * ends[i] * (1 - ends[i]) / n, 1e-14);
        }
}

static void test_wilson_at_its_limits(void **state) {
    (void)state;
    double low = NAN, high = NAN;
    foci_wilson_interval(0, 0, TWO_SIDED_95, &low, &high);
    assert_true(low == 0 && high == 1);
    foci_wilson_interval(0, 17, TWO_SIDED_95, &low, &high);
    assert_true(low == 0);
    foci_wilson_interval(17, 17, TWO_SIDED_95, &low, &high);
    assert_near(high, 1, 1e-15);
}

/* Relative, so that small chances count in every digit. */
static void assert_digits(double actual, double expected, double relative) {
    assert_near(actual, expected, relative * fabs(expected));
}

/* Values of an independent program (SciPy 1.10.1, functions gammaincc and betainc). */
static void test_incomplete_functions(void **state) {
    (void)state;
    assert_digits(foci_gamma_above(0.5, 0.3), 0.4385780260809997, 1e-13);
    assert_digits(foci_gamma_above(2.385, 4.1), 0.12989334604836184, 1e-13);
    assert_digits(foci_gamma_above(22, 633.77), 8.017103672501721e-237, 1e-11);
    assert_digits(foci_gamma_above(1500.5, 1450.2), 0.904001583547913, 1e-11);
    assert_digits(foci_beta_below(2.385, 0.5, 0.7), 0.2148692700799374, 1e-13);
    assert_digits(foci_beta_below(0.5, 0.5, 0.1), 0.2048327646991335, 1e-13);
    assert_digits(foci_beta_below(40, 3.5, 0.95), 0.7529396136555326, 1e-12);
    assert_digits(foci_beta_below(2500, 0.5, 0.999), 0.025318024564949734, 1e-10);
}

/* Q(1, x) = exp(-x); Q(a + 1, x) = Q(a, x) + x^a exp(-x) / Gamma(a + 1); I_x(a, 1) = x^a; I_x(a, b) = 1 - I_1-x(b, a).
 */
static void test_incomplete_functions_obey_their_laws(void **state) {
    (void)state;
    for (double x = 0.05; x < 60; x *= 1.7) {
        assert_digits(foci_gamma_above(1, x), exp(-x), 1e-13);
        for (double a = 0.3; a < 40; a *= 2.1)
            assert_near(foci_gamma_above(a + 1, x), foci_gamma_above(a, x) + exp(a * log(x) - x - lgamma(a + 1)),
                        1e-13);
    }
    for (double x = 0.02; x < 1; x += 0.07)
        for (double a = 0.4; a < 50; a *= 1.9) {
            assert_digits(foci_beta_below(a, 1, x), pow(x, a), 1e-12);
            assert_near(foci_beta_below(a, 2.385, x), 1 - foci_beta_below(2.385, a, 1 - x), 1e-13);
        }
}

/* SciPy 1.10.1 (chi2.sf, t.sf); quantiles: closed forms for 1 and 2 degrees of freedom, else printed tables (from
 * memory). */
static void test_chi_squared_and_student(void **state) {
    (void)state;
    assert_digits(foci_chi_squared_above(225.5518, 159), 0.0004091263335322168, 1e-11);
    assert_digits(foci_chi_squared_above(34, 9), 8.932222228765762e-05, 1e-12);
    assert_digits(foci_chi_squared_above(1267.54964452157, 44), 7.979809054217817e-237, 1e-11);
    assert_digits(foci_student_above(2.385, 7), 0.02426205885362906, 1e-12);
    assert_digits(foci_student_above(-1.1, 3), 0.8241584025326745, 1e-12);
    assert_digits(foci_student_above(12.5, 40), 1.0691960840519706e-15, 1e-10);
    assert_near(foci_student_95(1), tan(0.45 * acos(-1)), 1e-13);
    assert_near(foci_student_95(2), 0.9 / sqrt(2 * 0.95 * 0.05), 1e-13);
    assert_near(foci_student_95(7), 1.894579, 1e-6);
    assert_near(foci_student_95(99), 1.660391, 1e-6);
    for (double degrees = 1; degrees < 3000; degrees *= 1.3)
        assert_digits(foci_student_above(foci_student_95(degrees), degrees), 0.05, 1e-12);
    assert_near(foci_student_95(1e7), FOCI_NORMAL_95, 1e-6);
}

static void test_what_is_outside_is_not_a_number(void **state) {
    (void)state;
    assert_near(foci_gamma_above(0, 1), NAN, 0);
    assert_near(foci_gamma_above(1, -1), NAN, 0);
    assert_near(foci_gamma_above(3, NAN), NAN, 0);
    assert_near(foci_gamma_above(3, INFINITY), 0, 0);
    assert_near(foci_gamma_above(3, 0), 1, 0);
    assert_near(foci_beta_below(1, 0, 0.5), NAN, 0);
    assert_near(foci_beta_below(1, 1, 1.5), NAN, 0);
    assert_near(foci_beta_below(2, 3, 1), 1, 0);
    assert_near(foci_chi_squared_above(3, 0), NAN, 0);
    assert_near(foci_student_above(2, 0), NAN, 0);
    assert_near(foci_student_above(0, 5), 0.5, 1e-15);
    assert_near(foci_student_95(0), NAN, 0);
}

/* P(X < h, Y < k) = integral of phi(x) Phi((k - r x) / sqrt(1 - r^2)) below h, by Simpson's rule. */
static double pair_below(double h, double k, double r) {
    const int steps = 20000;
    double from = h - 14, width = 14.0 / steps, sum = 0;
    for (int i = 0; i <= steps; i++) {
        double x = from + i * width;
        sum += exp(-x * x / 2) * foci_normal_cdf((k - r * x) / sqrt(1 - r * r)) *
               (i == 0 || i == steps ? 1
                : i % 2              ? 4
                                     : 2);
    }
    return sum * width / 3 / sqrt(2 * acos(-1));
}

static void test_normal_pairs(void **state) {
    (void)state;
    const double places[] = {-2.7, -0.83, 0, 0.31, 1.9}, correlations[] = {-0.97, -0.6, 0, 0.25836, 0.8661, 0.97};
    for (size_t i = 0; i < 5; i++)
        for (size_t j = 0; j < 5; j++)
            for (size_t c = 0; c < 6; c++)
                assert_near(foci_normal_pair_below(places[i], places[j], correlations[c]),
                            pair_below(places[i], places[j], correlations[c]), 1e-11);
    assert_near(foci_normal_pair_below(0, 0, 0.5), 1.0 / 3, 1e-15); /* 1/4 + asin(r)/(2 pi), Sheppard 1899 */
    assert_near(foci_normal_pair_below(0.4, 1.3, 1), foci_normal_cdf(0.4), 1e-16);
    assert_near(foci_normal_pair_below(0.4, 1.3, -1), foci_normal_cdf(0.4) - foci_normal_cdf(-1.3), 1e-16);
    assert_near(foci_normal_pair_below(-2.4, 1.3, -1), 0, 0);
    assert_near(foci_normal_pair_below(INFINITY, 1.3, 0.7), foci_normal_cdf(1.3), 1e-16);
    assert_near(foci_normal_pair_below(0, 0, 1.01), NAN, 0);
}

/* Standard normal: 0.8413447460685429 at 1, 0.05 at -1.6448536269514722 (Abramowitz & Stegun 1964, table 26.1, from
 * memory). */
static void test_exceedance(void **state) {
    (void)state;
    assert_near(foci_exceedance(12.385, 4, 10.385), 0.8413447460685429, 1e-14);
    assert_near(foci_exceedance(10 - 2 * 1.6448536269514722, 4, 10), 0.05, 1e-14);
    assert_near(foci_exceedance(10, 4, 10), 0.5, 0);
    assert_near(foci_exceedance(10, 0, 10), 1, 0);
    assert_near(foci_exceedance(9.999, 0, 10), 0, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_normal_distribution),
        cmocka_unit_test(test_exceedance),
        cmocka_unit_test(test_tails_keep_their_digits),
        cmocka_unit_test(test_normal_pairs),
        cmocka_unit_test(test_wilson_interval_is_the_published_one),
        cmocka_unit_test(test_wilson_ends_solve_their_equation),
        cmocka_unit_test(test_wilson_at_its_limits),
        cmocka_unit_test(test_incomplete_functions),
        cmocka_unit_test(test_incomplete_functions_obey_their_laws),
        cmocka_unit_test(test_chi_squared_and_student),
        cmocka_unit_test(test_what_is_outside_is_not_a_number),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

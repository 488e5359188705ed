/* Mixtures of normal distributions on the logit scale, against sums over a fine line. */
#include "estimate/predict/mixture.h"

#include "base/quadrature.h"
#include "support/support.h"

enum { PARTS = 3 };
static const double weights[PARTS] = {0.25, 0.45, 0.3};
static const double means[PARTS] = {-4.385, -2.915, -1.27};
static const double deviations[PARTS] = {0.835, 0.46, 1.72};
static const foci_mixture mixture = {PARTS, weights, means, deviations};

#define STEP 2e-4
#define ROOT_HALF 0.70710678118654752440

static double share_at(double x) {
    return 1 / (1 + exp(-x));
}

static double density_at(double x) {
    double sum = 0;
    for (size_t k = 0; k < PARTS; k++) {
        double z = (x - means[k]) / deviations[k];
        sum += weights[k] * exp(-0.5 * z * z) / deviations[k] / sqrt(2 * acos(-1));
    }
    return sum;
}

static double below(double x) {
    double sum = 0;
    for (size_t k = 0; k < PARTS; k++)
        sum += weights[k] * 0.5 * erfc(-(x - means[k]) / deviations[k] * ROOT_HALF);
    return sum;
}

/* Moments of the standard normal distribution up to degree 40 are 1, 0, 1, 0, 3, ... (2 m - 1)!!. */
static void test_quadrature_is_exact_for_polynomials(void **state) {
    (void)state;
    double moment = 1;
    for (int degree = 0; degree < 2 * FOCI_HERMITE; degree++) {
        double sum = 0;
        for (size_t j = 0; j < FOCI_HERMITE; j++)
            sum += foci_hermite_weight[j] * pow(foci_hermite_node[j], degree);
        if (degree % 2 == 0 && degree > 0)
            moment *= degree - 1;
        assert_near(sum / moment, degree % 2 == 0 ? 1 : 0, 1e-11);
    }
}

static void test_moments(void **state) {
    (void)state;
    double mean = 0, variance = 0, first = 0, second = 0;
    for (double x = -20; x < 20; x += STEP) {
        double p = share_at(x), d = density_at(x) * STEP;
        first += p * d;
        second += p * p * d;
    }
    foci_mixture_share_moments(&mixture, &mean, &variance);
    assert_near(mean, first, 1e-6); /* the widest part is at the limit of 21 points */
    assert_near(variance, second - first * first, 1e-6);
}

static void test_quantiles(void **state) {
    (void)state;
    static const double asked[] = {0.001, 0.05, 0.25, 0.5, 0.75, 0.95, 0.999};
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        double x = foci_mixture_quantile(&mixture, asked[i]);
        assert_near(below(x), asked[i], 1e-11);
        assert_near(foci_mixture_below(&mixture, x), asked[i], 1e-11);
        assert_near(foci_mixture_share(&mixture, asked[i]), share_at(x), 1e-14);
    }
}

/* Two narrow parts far apart: the quantile lies on the steep flank of one, behind a plain without density. */
static void test_quantile_across_a_gap(void **state) {
    (void)state;
    static const double weight[2] = {0.94, 0.06}, mean[2] = {-9.5, 4.25}, deviation[2] = {1e-3, 1e-3};
    foci_mixture apart = {2, weight, mean, deviation};
    double x = foci_mixture_quantile(&apart, 0.95);
    assert_near(x, 4.25 - 1e-3 * 0.967421566101701, 1e-9); /* 1/6 of the second part lies below: z = -0.9674 */
    assert_near(foci_mixture_quantile(&apart, 0.05), -9.5 - 1e-3 * 1.614666302414813, 1e-9);
}

static void test_chance(void **state) {
    (void)state;
    assert_near(foci_mixture_share_chance(&mixture, 0.0385), 1 - below(log(0.0385 / 0.9615)), 1e-13);
    assert_near(foci_mixture_share_chance(&mixture, 0), 1, 0);
    assert_near(foci_mixture_share_chance(&mixture, 1), 0, 0);
    assert_near(foci_mixture_share_chance(&mixture, NAN), NAN, 0);
}

/* P(fewer than y of n) = integral of the binomial distribution function over the mixture. */
static void test_fewer(void **state) {
    (void)state;
    static const struct { double hits, checked; } counts[] = {{1, 5}, {3, 30}, {9, 40}, {40, 40}, {27, 400}};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        double n = counts[i].checked, sum = 0;
        for (double x = -15; x < 15; x += 2e-3) {
            double p = share_at(x), term = pow(1 - p, n), fewer = 0;
            for (double y = 0; y < counts[i].hits; y++) {
                fewer += term;
                term *= (n - y) / (y + 1) * p / (1 - p);
            }
            sum += fewer * density_at(x) * 2e-3;
        }
        assert_near(foci_mixture_share_fewer(&mixture, counts[i].hits, n), sum, 1e-4);
    }
    assert_near(foci_mixture_share_fewer(&mixture, 0, 30), 0, 0);
    assert_near(foci_mixture_share_fewer(&mixture, 31, 30), 1, 0);
}

static void test_tell_fills_what_is_asked(void **state) {
    (void)state;
    double mean[2] = {-1, -1}, high[2] = {-1, -1}, expected = 0, variance = 0;
    foci_prediction out = {.estimate = mean, .high = high};
    foci_mixture_tell_share(&out, 1, &mixture, NAN);
    foci_mixture_share_moments(&mixture, &expected, &variance);
    assert_near(mean[0], -1, 0);
    assert_near(mean[1], expected, 0);
    assert_near(high[1], foci_mixture_share(&mixture, 0.95), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_quadrature_is_exact_for_polynomials),
        cmocka_unit_test(test_moments),
        cmocka_unit_test(test_quantiles),
        cmocka_unit_test(test_quantile_across_a_gap),
        cmocka_unit_test(test_chance),
        cmocka_unit_test(test_fewer),
        cmocka_unit_test(test_tell_fills_what_is_asked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Sample sizes, stop lines and detection: the worked numbers of docs/plan.md. Those of one sampling unit's published
 * variation name it; the others are the textbook formulas evaluated by hand. */
#include "support/support.h"

#include <math.h>

#include "fieldfoci/sample_size.h"

static void stops_for_a_mean(void **state) {
    (void)state;
    static const struct {
        double p, units, theta, cv, stops;
        size_t whole;
    } shares[] = {{.10, 10, 0, .2, 22.500, 23},
                  {.10, 10, .1, .2, 40.909, 41},
                  {.05, 15, .15, .25, 57.275, 58},
                  {.02, 20, .05, .2, 116.667, 117},
                  {.18125, 9, .05521, .1, 71.200, 72}};
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        const double stops = foci_stops_for_cv(
            foci_variance_beta_binomial(shares[i].p, shares[i].units, shares[i].theta), shares[i].p, shares[i].cv);
        assert_near(stops, shares[i].stops, 5e-4);
        assert_int_equal(foci_stops_whole(stops), shares[i].whole);
    }
    /* k 0.87 and 6.49: southern stem rot of peanut, Shew et al. 1984, Phytopathology 74, from an abstract */
    static const struct {
        double mean, k, cv, stops;
        size_t whole;
    } counts[] = {
        {2, .87, .25, 26.391, 27}, {2, 6.49, .25, 10.465, 11}, {1, 1, .25, 32, 32}, {1.1467, 1.0246, .2, 46.201, 47}};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        const double stops = foci_stops_for_cv(foci_variance_negative_binomial(counts[i].mean, counts[i].k),
                                               counts[i].mean, counts[i].cv);
        assert_near(stops, counts[i].stops, 5e-4);
        assert_int_equal(foci_stops_whole(stops), counts[i].whole);
    }
    assert_near(foci_stops_for_cv(foci_variance_taylor(2, 1.5, 1.4), 2, .25), 15.834, 5e-4);
    /* Sclerotinia crown rot of pyrethrum: A = e^0.669, b = 1.063 (Plant Disease 98:267, from an abstract) */
    assert_near(foci_stops_for_cv(foci_variance_binary_power(.02, 20, exp(.669), 1.063), .02, .25), 49.463, 5e-4);
    /* pod rot of peanut: 304 units for 1 % with CV 20 % (Wheeler et al. 2015, from an abstract) */
    assert_near(foci_cv_of_mean(12.16 * .01 * .01, .01, 304), .2, 1e-12);
}

static void stops_for_a_half_width(void **state) {
    (void)state;
    assert_near(foci_stops_for_half_width(foci_variance_beta_binomial(.1, 10, .1), .05, 1.96), 25.145, 5e-4);
    /* Bennett et al. 1991 (World Health Statistics Quarterly 44:98-106), with their z of 2: 16 clusters of 25 at a
     * design effect of 4 and 10 points; 24 at rho .02 and 5 points */
    const double four = .25 / 25 * 4, rho = .25 / 25 * (1 + .02 * 24);
    assert_near(foci_stops_for_half_width(four, .1, 2), 16, 1e-9);
    assert_int_equal(foci_stops_whole(foci_stops_for_half_width(four, .1, 2)), 16);
    assert_int_equal(foci_stops_whole(foci_stops_for_half_width(rho, .05, 2)), 24);
    assert_near(foci_variance_beta_binomial(.5, 25, .02 / .98), rho, 1e-15);
    assert_near(foci_stops_of_finite(40.909, 100), 29.032, 5e-4);
}

static void rounding_makes_no_stop(void **state) {
    (void)state;
    assert_int_equal(foci_stops_whole(32.0000000001), 32);
    assert_int_equal(foci_stops_whole(31.9999999999), 32);
    assert_int_equal(foci_stops_whole(32.00001), 33);
    assert_int_equal(foci_stops_whole(0), 1);
}

static void what_is_rare_is_seen(void **state) {
    (void)state;
    assert_near(foci_stops_to_detect(foci_chance_of_none(.05, 1, 0), .05), 58.404, 5e-4);
    assert_near(foci_stops_to_detect(foci_chance_of_none(.01, 1, 0), .05), 298.073, 5e-4);
    const double none = foci_chance_of_none(.05, 10, .1);
    assert_near(none, .693292, 5e-7);
    /* the two were rounded up from ...45498 and ...79471 */
    assert_near(1 - pow(none, 10), .974346, 1e-6);
    assert_near(1 - pow(foci_chance_of_none(.05, 10, 0), 10), .994080, 1e-6);
}

/* Against the sum of the probabilities by the gamma function (Griffiths 1973, Biometrics 29:637-648, from memory). */
static void hits_by_their_probabilities(void **state) {
    (void)state;
    const double p = .3, theta = .1, alpha = p / theta, beta = (1 - p) / theta;
    const int n = 20;
    double sum = 0;
    for (int y = 2; y <= n; y++)
        sum += exp(lgamma(n + 1) - lgamma(y + 1) - lgamma(n - y + 1) + lgamma(y + alpha) + lgamma(n - y + beta) -
                   lgamma(n + alpha + beta) + lgamma(alpha + beta) - lgamma(alpha) - lgamma(beta));
    assert_near(foci_chance_of_hits(p, (size_t)n, theta, 2), sum, 1e-12);
    assert_near(foci_chance_of_hits(p, (size_t)n, theta, 0), 1, 0);
    assert_near(foci_chance_of_hits(p, (size_t)n, 0, 20), pow(p, 20), 1e-14);
    assert_near(foci_chance_of_hits(p, (size_t)n, 0, 21), 0, 1e-14);
}

static void lines_to_stop_at(void **state) {
    (void)state;
    static const double kuno[][2] = {{20, 72.990}, {30, 33.370}, {50, 23.267}, {100, 18.961}};
    static const double green[][2] = {{10, 43.021}, {20, 27.102}, {40, 17.073}};
    for (size_t i = 0; i < 4; i++)
        assert_near(foci_stop_line_negative_binomial(kuno[i][0], 1.0246, .25), kuno[i][1], 5e-4);
    assert_true(isnan(foci_stop_line_negative_binomial(15, 1.0246, .25)));
    for (size_t i = 0; i < 3; i++)
        assert_near(foci_stop_line_taylor(green[i][0], 1.5, 1.4, .25), green[i][1], 5e-4);
    const foci_decision_lines shares = foci_decision_lines_binomial(.05, .15, .1);
    assert_near(shares.slope, .0919343, 5e-8);
    assert_near(shares.height, 1.816131, 5e-7);
    const foci_decision_lines counts = foci_decision_lines_negative_binomial(1, 2, 1, .1);
    assert_near(counts.slope, 1.409421, 5e-7);
    assert_near(counts.height, 7.637683, 5e-7);
}

static void power_laws_are_fitted(void **state) {
    (void)state;
    static const double mean[] = {.5, 1, 2, 4, 8}, variance[] = {.7, 1.9, 4.8, 13, 36};
    static const double share[] = {.02, .05, .1, .2, .4}, observed[] = {.0035, .0105, .0230, .0460, .0750};
    double binomial[5];
    foci_power_law law;
    foci_error err = {0};
    assert_done(foci_power_law_fit(&law, mean, variance, 5, &err), err);
    assert_near(law.b, 1.414344, 5e-7);
    assert_near(log(law.a), .620104, 5e-7);
    for (size_t i = 0; i < 5; i++)
        binomial[i] = share[i] * (1 - share[i]) / 10;
    assert_done(foci_power_law_fit(&law, binomial, observed, 5, &err), err);
    assert_near(law.b, 1.223157, 5e-7);
    assert_near(log(law.a), 1.979650, 5e-7);
    assert_false(foci_power_law_fit(&law, (const double[]){1, 0}, variance, 2, &err));
    assert_int_equal(err.row, 2);
    err = (foci_error){0};
    assert_false(foci_power_law_fit(&law, (const double[]){2, 2}, variance, 2, &err));
    assert_int_equal(err.status, FOCI_BAD_INPUT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stops_for_a_mean),
        cmocka_unit_test(stops_for_a_half_width),
        cmocka_unit_test(rounding_makes_no_stop),
        cmocka_unit_test(what_is_rare_is_seen),
        cmocka_unit_test(hits_by_their_probabilities),
        cmocka_unit_test(lines_to_stop_at),
        cmocka_unit_test(power_laws_are_fitted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

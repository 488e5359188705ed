#include "decide/pattern/beta_binomial.h"

#include "decide/pattern/reference_lines.h"
#include "support/reference_table.h"

static foci_incidence_dispersion judged(const double *hits, const double *checked, size_t count) {
    foci_error err = {0};
    foci_incidence_dispersion d;
    assert_done(foci_beta_binomial_make(&d, hits, checked, count, &err), err);
    return d;
}

/* frequency[y] stops have y infected of n. */
static size_t spread_out(double *hits, double *checked, const int *frequency, int n) {
    size_t filled = 0;
    for (int y = 0; y <= n; y++)
        for (int i = 0; i < frequency[y]; i++, filled++) {
            hits[filled] = y;
            checked[filled] = n;
        }
    return filled;
}

/* Boys in 6115 families of 12 children in Saxony, an encyclopedia's example: moments 34.1350 and 31.6085,
 * log-likelihood -12492.9, AIC 24989.74, binomial 25070.34 (its ML parameters are good to 4 figures only: the
 * likelihood is flat). The further digits were recomputed. Its moments take the variance over N where D takes N - 1. */
static void test_saxony(void **state) {
    (void)state;
    static const int frequency[] = {3, 24, 104, 286, 670, 1033, 1343, 1112, 829, 478, 181, 45, 7};
    static double hits[6115], checked[6115];
    assert_int_equal(spread_out(hits, checked, frequency, 12), 6115);
    foci_incidence_dispersion d = judged(hits, checked, 6115);
    assert_near(d.beta_binomial_log_likelihood, -12492.871359, 5e-7);
    assert_near(4 - 2 * d.beta_binomial_log_likelihood, 24989.742717, 1e-6);
    assert_near(2 - 2 * d.binomial_log_likelihood, 25070.344295, 1e-6);
    assert_near(d.beta_share / d.theta, 34.102854, 1e-4);
    assert_near((1 - d.beta_share) / d.theta, 31.578232, 1e-4);
    assert_near(d.beta_share, 0.519219, 1e-6);
    assert_near(d.theta, 0.0152251, 1e-7);
    assert_near(d.rho, 0.0149968, 1e-7);
    double rho = (d.dispersion * 6114 / 6115 - 1) / 11; /* variance over N */
    assert_near(d.share * (1 - rho) / rho, 34.135021, 5e-7);
    assert_near((1 - d.share) * (1 - rho) / rho, 31.608492, 5e-7);
    assert_near(d.rho_moments, rho + d.dispersion / 6115 / 11, 1e-15);
}

/* Cochran 1936, Annals of Applied Biology 23: tomato spotted wilt in 160 groups of 9 plants (data from memory, numbers
 * recomputed). */
static void test_spotted_wilt(void **state) {
    (void)state;
    static const int frequency[] = {36, 48, 38, 23, 10, 3, 1, 1, 0, 0};
    double hits[160], checked[160];
    assert_int_equal(spread_out(hits, checked, frequency, 9), 160);
    foci_incidence_dispersion d = judged(hits, checked, 160);
    assert_near(d.share, 0.18125, 1e-15);
    assert_near(d.dispersion, 1.418564, 5e-7);
    assert_near(d.chi_squared, 225.5518, 5e-5);
    assert_near(d.p, 0.000409, 5e-7);
    assert_near(d.c_alpha_z, 3.886741, 5e-7);
    assert_near(d.rho_moments, 0.0523206, 5e-8);
    assert_near(d.theta_moments, 0.0552091, 5e-8);
    assert_near(d.beta_share / d.theta, 3.444426, 2e-5);
    assert_near((1 - d.beta_share) / d.theta, 15.553435, 1e-4);
    assert_near(d.beta_share, 0.181306, 5e-7);
    assert_near(d.theta, 0.0526375, 1e-7);
    assert_near(d.rho, 0.0500053, 1e-7);
    assert_near(d.beta_binomial_log_likelihood, -261.318855, 5e-7);
    assert_near(d.binomial_log_likelihood, -267.093152, 5e-7);
}

static void assert_cane(const double *hits, const double *checked, size_t count, const char *dataset) {
    foci_incidence_dispersion d = judged(hits, checked, count);
    const struct {
        const char *words;
        double value, relative;
    } rows[] = {
        {"pooled_p", d.share, 1e-13},
        {"binomial_pearson_chisq", d.chi_squared, 1e-12},
        {"p_upper_aggregated", d.p, 1e-10},
        {"binomial_index_of_dispersion_D_chisq_over_df", d.dispersion, 1e-12},
        {"tarone_calpha_z", d.c_alpha_z, 1e-12},
        {"tarone_p_upper", d.c_alpha_p, 0},
        {"bb_alpha_ML", d.beta_share / d.theta, 1e-8},
        {"bb_beta_ML", (1 - d.beta_share) / d.theta, 1e-8},
        {"bb_p_ML", d.beta_share, 1e-8},
        {"bb_theta_ML_1_over_alpha_plus_beta", d.theta, 1e-8},
        {"bb_rho_ML_theta_over_1_plus_theta", d.rho, 1e-8},
        {"bb_loglik", d.beta_binomial_log_likelihood, 1e-12},
        {"binomial_loglik", d.binomial_log_likelihood, 1e-12},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char words[200];
        snprintf(words, sizeof words, "boot::cane %s,%s", dataset, rows[i].words);
        double expected = reference_number_after("dispersion.csv", words, 0);
        if (expected == 0) /* below the smallest number */
            assert_near(rows[i].value, 0, 1e-300);
        else
            assert_digits(rows[i].value, expected, rows[i].relative);
    }
}

/* Diseased shoots out of all shoots of sugar cane, unequal n: 4 blocks of 45 plots. */
static void test_cane(void **state) {
    (void)state;
    reference_table cane = reference_read("dispersion_cane_counts.csv");
    const double *hits = reference_column(&cane, "infected"), *checked = reference_column(&cane, "checked");
    assert_int_equal(cane.rows, 180);
    assert_cane(hits, checked, 180, "all 180 plots");
    for (size_t block = 0; block < 4; block++) {
        const char name[] = {'b', 'l', 'o', 'c', 'k', ' ', (char)('A' + (int)block), '\0'};
        assert_cane(hits + 45 * block, checked + 45 * block, 45, name);
    }
    reference_free(&cane);
}

/* The likelihood by gamma functions, over a mesh of shares and rho: nowhere higher. */
static double plain_log_likelihood(const double *hits, const double *checked, size_t count, double p, double rho) {
    double a = p * (1 - rho) / rho, b = (1 - p) * (1 - rho) / rho, sum = 0;
    for (size_t i = 0; i < count; i++) {
        double y = hits[i], n = checked[i];
        sum += lgamma(n + 1) - lgamma(y + 1) - lgamma(n - y + 1) + lgamma(a + y) + lgamma(b + n - y) -
               lgamma(a + b + n) + lgamma(a + b) - lgamma(a) - lgamma(b);
    }
    return sum;
}

static void test_most_likely_of_all(void **state) {
    (void)state;
    static const double cases[][2][8] = {
        {{0, 0, 3, 1, 0, 7, 2, 0}, {10, 12, 10, 10, 20, 8, 10, 15}},
        {{0, 0, 10, 1, 0, 8, 0, 0}, {10, 12, 10, 10, 20, 8, 10, 15}}, /* nearly all or none */
        {{9, 12, 10, 10, 18, 8, 10, 2}, {10, 12, 10, 10, 20, 8, 10, 15}},
        {{0, 1, 0, 0, 0, 2, 0, 0}, {2, 2, 1, 1, 1, 2, 2, 2}}, /* pairs */
        {{0, 0, 0, 0, 0, 3, 0, 0}, {100, 100, 100, 100, 100, 100, 100, 100}},
    };
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        const double *hits = cases[c][0], *checked = cases[c][1];
        foci_incidence_dispersion d = judged(hits, checked, 8);
        assert_true(d.theta > 0);
        assert_near(d.beta_binomial_log_likelihood, plain_log_likelihood(hits, checked, 8, d.beta_share, d.rho), 1e-9);
        for (int i = 0; i < 250; i++)
            for (int j = 0; j < 100; j++)
                assert_true(plain_log_likelihood(hits, checked, 8, 0.002 + 0.004 * i, 0.0005 + 0.01 * j) <=
                            d.beta_binomial_log_likelihood + 1e-9);
    }
}

/* With small theta the likelihood is the binomial's; less spread than that has its most likely theta at 0. */
static void test_evenly_spread(void **state) {
    (void)state;
    static const double hits[5] = {2, 2, 3, 2, 2}, checked[5] = {10, 11, 12, 10, 9};
    foci_incidence_dispersion d = judged(hits, checked, 5);
    assert_true(d.c_alpha_z < 0 && d.dispersion < 1 && d.rho_moments < 0);
    assert_near(d.rho, 0, 0);
    assert_near(d.theta, 0, 0);
    assert_near(d.beta_share, 11 / 52.0, 1e-15);
    assert_near(d.beta_binomial_log_likelihood, plain_log_likelihood(hits, checked, 5, 11 / 52.0, 1e-7), 1e-5);
}

static void test_all_or_none(void **state) {
    (void)state;
    static const double hits[5] = {0, 11, 0, 0, 9}, checked[5] = {10, 11, 12, 10, 9};
    foci_incidence_dispersion d = judged(hits, checked, 5);
    assert_near(d.rho, 1, 0);
    assert_near(d.theta, NAN, 0);
    assert_near(d.beta_share, 0.4, 1e-15);
    assert_near(d.beta_binomial_log_likelihood, plain_log_likelihood(hits, checked, 5, 0.4, 1 - 1e-9), 1e-6);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    static const double zeros[3] = {0, 0, 0}, ten[3] = {10, 10, 10}, ones[3] = {1, 1, 1}, some[3] = {0, 1, 1};
    static const double part[3] = {0, 1.5, 2}, many[3] = {0, 11, 2}, none[3] = {0, 10, 10};
    foci_incidence_dispersion d = judged(zeros, ten, 3);
    assert_near(d.share, 0, 0);
    assert_true(isnan(d.dispersion) && isnan(d.rho) && isnan(d.c_alpha_z) && isnan(d.beta_share));
    d = judged(ten, ten, 3);
    assert_near(d.share, 1, 0);
    assert_true(isnan(d.dispersion) && isnan(d.rho));
    d = judged(some, ones, 3); /* one unit a stop says nothing of aggregation */
    assert_near(d.dispersion, 1.5, 1e-14);
    assert_true(isnan(d.rho) && isnan(d.rho_moments) && isnan(d.c_alpha_z));
    d = judged(some + 1, ten, 1);
    assert_near(d.share, 0.1, 1e-16);
    assert_true(isnan(d.dispersion) && isnan(d.rho_moments));
    assert_true(isnan(judged(part, ten, 3).share) && isnan(judged(many, ten, 3).share));
    assert_true(isnan(judged(zeros, none, 3).share) && isnan(judged(zeros, ten, 0).share));
}

static bool attempt(foci_error *err) {
    static const double hits[5] = {0, 11, 1, 0, 9}, checked[5] = {10, 11, 12, 10, 9};
    foci_incidence_dispersion d;
    return foci_beta_binomial_make(&d, hits, checked, 5, err);
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_saxony),
        cmocka_unit_test(test_spotted_wilt),
        cmocka_unit_test(test_cane),
        cmocka_unit_test(test_most_likely_of_all),
        cmocka_unit_test(test_evenly_spread),
        cmocka_unit_test(test_all_or_none),
        cmocka_unit_test(test_what_has_no_answer),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

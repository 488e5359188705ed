#include "decide/pattern/dispersion.h"

#include "decide/pattern/reference_lines.h"
#include "support/reference_table.h"

static foci_count_dispersion judged(const double *counts, size_t count) {
    foci_error err = {0};
    foci_count_dispersion d;
    assert_done(foci_dispersion_make(&d, counts, count, &err), err);
    return d;
}

/* frequency[x] units hold x. */
static size_t spread_out(double *counts, const int *frequency, size_t kinds) {
    size_t filled = 0;
    for (size_t x = 0; x < kinds; x++)
        for (int i = 0; i < frequency[x]; i++)
            counts[filled++] = (double)x;
    return filled;
}

/* Bliss & Fisher 1953, Biometrics 9:176-200: mites on 150 leaves; published k 1.0246, the rest recomputed. */
static void test_mites(void **state) {
    (void)state;
    static const int frequency[] = {70, 38, 17, 10, 9, 3, 2, 1};
    double counts[150];
    size_t count = spread_out(counts, frequency, 8);
    assert_int_equal(count, 150);
    foci_count_dispersion d = judged(counts, count);
    assert_near(d.mean, 1.146667, 5e-7);
    assert_near(d.variance, 2.273647, 5e-7);
    assert_near(d.k_moments, 1.166697, 5e-7);
    assert_near(d.k, 1.024592, 5e-7);
    assert_near(d.negative_binomial_log_likelihood, -222.437154, 5e-7);
    assert_near(d.ratio, 1.982831, 5e-7);
    assert_near(d.chi_squared, 295.441860, 5e-7);
    assert_near(d.z, 7.074412, 5e-7);
    assert_near(d.morisita, 1.856385, 5e-7);
    assert_near(d.crowding, 2.129498, 5e-7);
    assert_near(d.patchiness, 1.857120, 5e-7);
    assert_near(d.green, 0.0057476, 5e-8);
}

/* By hand. */
static void test_ten_counts(void **state) {
    (void)state;
    static const double counts[10] = {0, 0, 1, 0, 5, 7, 2, 0, 0, 1};
    foci_count_dispersion d = judged(counts, 10);
    assert_near(d.mean, 1.6, 1e-15);
    assert_near(d.variance, 6.044444, 5e-7);
    assert_near(d.ratio, 3.777778, 5e-7);
    assert_near(d.chi_squared, 34, 1e-12);
    assert_near(d.morisita, 2.666667, 5e-7);
    assert_near(d.crowding, 4.377778, 5e-7);
    assert_near(d.patchiness, 2.736111, 5e-7);
    assert_near(d.k_moments, 0.576, 1e-12);
    assert_near(d.green, 0.185185, 5e-7);
}

static void assert_dataset(const double *counts, size_t count, const char *dataset) {
    foci_count_dispersion d = judged(counts, count);
    const struct {
        const char *words;
        double value, relative;
    } rows[] = {
        {"mean", d.mean, 1e-13},
        {"variance_n_minus_1", d.variance, 1e-13},
        {"variance_to_mean_ratio", d.ratio, 1e-13},
        {"index_of_dispersion_chisq", d.chi_squared, 1e-13},
        {"p_upper_aggregated", d.p, 1e-11},
        {"d_normal_approx", d.z, 1e-12},
        {"morisita_index", d.morisita, 1e-13},
        {"lloyd_mean_crowding_m_plus_vmr_minus_1", d.crowding, 1e-13},
        {"lloyd_patchiness_from_that", d.patchiness, 1e-13},
        {"nb_k_moments", d.k_moments, 1e-13},
        {"nb_k_ML", d.k, 1e-8},
        {"nb_loglik_ML", d.negative_binomial_log_likelihood, 1e-12},
        {"poisson_loglik", d.poisson_log_likelihood, 1e-12},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char words[200];
        snprintf(words, sizeof words, "%s,%s", dataset, rows[i].words);
        assert_digits(rows[i].value, reference_number_after("dispersion.csv", words, 0), rows[i].relative);
    }
}

/* Fir seedlings in 50 quadrats; redwoods and Japanese pines in 5 x 5 quadrats (testdata/reference/README.md). */
static void test_reference(void **state) {
    (void)state;
    reference_table fir = reference_read("dispersion_fir_counts.csv");
    reference_table points = reference_read("dispersion_pointpattern_counts.csv");
    assert_dataset(reference_column(&fir, "count"), fir.rows, "boot::fir 50 quadrats");
    assert_dataset(reference_column(&points, "redwood"), points.rows, "spatstat.data::redwood 5x5");
    assert_dataset(reference_column(&points, "japanesepines"), points.rows, "spatstat.data::japanesepines 5x5");
    reference_free(&fir);
    reference_free(&points);
}

/* Around its k the likelihood is lower, as a sum of plain logarithms of probabilities says. */
static double plain_log_likelihood(const double *counts, size_t count, double mean, double k) {
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        double chance = pow(1 + mean / k, -k);
        for (int x = 1; x <= (int)counts[i]; x++)
            chance *= (k + x - 1) / x * mean / (mean + k);
        sum += log(chance);
    }
    return sum;
}

static void test_k_is_the_most_likely(void **state) {
    (void)state;
    static const double counts[10] = {0, 0, 1, 0, 5, 7, 2, 0, 0, 1};
    foci_count_dispersion d = judged(counts, 10);
    double best = plain_log_likelihood(counts, 10, d.mean, d.k);
    assert_near(d.negative_binomial_log_likelihood, best, 1e-12);
    for (int i = 0; i < 1000; i++)
        assert_true(plain_log_likelihood(counts, 10, d.mean, 0.01 * pow(1.01, i)) <= best + 1e-12);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    static const double zeros[4] = {0, 0, 0, 0}, equal[4] = {3, 3, 3, 3}, one[4] = {0, 1, 0, 0};
    static const double parts[4] = {0, 1.5, 0, 2}, below[4] = {0, -1, 2, 2}, huge[4] = {0, 1e12, NAN, 2};
    foci_count_dispersion d = judged(zeros, 4);
    assert_near(d.mean, 0, 0);
    assert_near(d.variance, 0, 0);
    assert_true(isnan(d.ratio) && isnan(d.k) && isnan(d.poisson_log_likelihood) && isnan(d.morisita));
    d = judged(equal, 4);
    assert_near(d.ratio, 0, 0);
    assert_true(isnan(d.k) && isnan(d.k_moments) && isnan(d.negative_binomial_log_likelihood));
    assert_near(d.p, 1, 0);
    d = judged(one, 4);
    assert_true(isnan(d.morisita) && isnan(d.green) && isnan(d.k));
    assert_near(d.ratio, 1, 1e-15);
    assert_true(isnan(judged(parts, 4).mean) && isnan(judged(below, 4).mean) && isnan(judged(huge, 4).mean));
    assert_true(isnan(judged(equal, 0).mean));
    d = judged(equal, 1);
    assert_true(d.mean == 3 && isnan(d.variance) && isnan(d.ratio));
}

static bool attempt(foci_error *err) {
    static const double counts[10] = {0, 0, 1, 0, 5, 7, 2, 0, 0, 1};
    foci_count_dispersion d;
    return foci_dispersion_make(&d, counts, 10, err);
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mites),
        cmocka_unit_test(test_ten_counts),
        cmocka_unit_test(test_reference),
        cmocka_unit_test(test_k_is_the_most_likely),
        cmocka_unit_test(test_what_has_no_answer),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

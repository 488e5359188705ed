#include "decide/pattern/autocorrelation.h"

#include "decide/pattern/reference_lines.h"
#include "decide/pattern/sample_links.h"
#include "support/readings.h"

static foci_pattern judged(const foci_links *links, const double *values) {
    foci_error err = {0};
    foci_pattern pattern = {0};
    assert_done(foci_autocorrelation_test(&pattern, links, values, &err), err);
    return pattern;
}

/* General G: documentation of a general spatial-statistics library (from memory); the others recomputed by hand-written
 * formulas. */
static void test_six_points(void **state) {
    (void)state;
    foci_links links = sample_links_within(six_places, SIX, 15);
    foci_pattern p = judged(&links, six_values);
    assert_near(p.moran.value, 0.03852663, 5e-9);
    assert_near(p.moran.expectation, -0.2, 1e-15);
    assert_near(p.moran.variance, 0.05752983, 5e-9);
    assert_near(p.moran.z, 0.994467, 5e-7);
    assert_near(p.moran_normal_variance, 0.05271137, 5e-9);
    assert_near(p.moran_normal_z, 1.038926, 5e-7);
    assert_near(p.geary.value, 0.89646590, 5e-9);
    assert_near(p.general_g.value, 0.55709779, 5e-9);
    foci_links_free(&links);
}

/* Columbus crime. Published with the data: I 0.510951264, E -0.020833333, normal variance 0.008779831 and z 5.6754; the
 * others by a general spatial-statistics library, recomputed independently. */
static void test_columbus(void **state) {
    (void)state;
    foci_links links = sample_links_columbus();
    foci_pattern binary = judged(&links, columbus_crime);
    assert_near(binary.moran.value, 0.5206381497, 1e-9);
    assert_near(binary.moran.variance, 0.0075987199, 1e-9);
    assert_near(binary.general_g.value, 0.1262814964, 1e-9);
    assert_near(binary.general_g.expectation, 0.0986394558, 1e-9);
    sample_links_standardise(&links);
    foci_pattern rows = judged(&links, columbus_crime);
    assert_near(rows.moran.value, 0.510951264, 1e-9);
    assert_near(rows.moran.expectation, -0.020833333, 1e-9);
    assert_near(rows.moran_normal_variance, 0.0087798315, 1e-9);
    assert_near(rows.moran_normal_z, 5.675350, 1e-6);
    assert_near(rows.moran.variance, 0.0089087616, 1e-9);
    assert_near(rows.moran.z, 5.634133, 1e-6);
    assert_near(rows.geary.value, 0.5298699306, 1e-9);
    foci_links_free(&links);
}

/* An encyclopedia's pictures: a chess board, and one half black. */
static void test_boards(void **state) {
    (void)state;
    foci_links links = sample_links_grid(8, 8);
    double chess[64], half[64];
    for (size_t i = 0; i < 64; i++) {
        chess[i] = (double)((i + i / 8) % 2);
        half[i] = i % 8 < 4;
    }
    assert_near(judged(&links, chess).moran.value, -1, 1e-14);
    assert_near(judged(&links, half).moran.value, 1 - 2 * 8 / 112.0, 1e-14);
    foci_links_free(&links);
}

static void assert_line(const foci_pattern_test *test, const char *words) {
    const char *name = "autocorr.csv";
    assert_digits(test->value, reference_number_after(name, words, 1), 1e-11);
    assert_digits(test->expectation, reference_number_after(name, words, 2), 1e-11);
    assert_digits(test->variance, reference_number_after(name, words, 3), 1e-9);
    assert_digits(test->z, reference_number_after(name, words, 4), 1e-9);
    assert_digits(test->p, reference_number_after(name, words, 5), 1e-7);
}

static void assert_lines(const foci_pattern *p, const char *isolated, const char *weights) {
    char words[80];
    foci_pattern_test normal = p->moran;
    normal.variance = p->moran_normal_variance;
    normal.z = p->moran_normal_z;
    normal.p = p->moran_normal_p;
    snprintf(words, sizeof words, "Moran_I_randomisation,%s,%s", isolated, weights);
    assert_line(&p->moran, words);
    snprintf(words, sizeof words, "Moran_I_normality,%s,%s", isolated, weights);
    assert_line(&normal, words);
    snprintf(words, sizeof words, "Geary_C_randomisation,%s,%s", isolated, weights);
    assert_line(&p->geary, words);
    if (weights[0] == 'B') {
        snprintf(words, sizeof words, "global_Getis_Ord_G,%s,%s", isolated, weights);
        assert_line(&p->general_g, words);
    }
}

/* Zinc of the meuse samples within 250 m; two of them are islands, kept or dropped. */
static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    for (int dropped = 0; dropped < 2; dropped++) {
        foci_links links = sample_links_within(meuse.places, meuse.count, 250);
        assert_int_equal(foci_links_isolated(&links), dropped ? 0 : 2);
        foci_pattern p = judged(&links, meuse.values);
        assert_lines(&p, dropped ? "dropped" : "kept", "B");
        sample_links_standardise(&links);
        p = judged(&links, meuse.values);
        assert_lines(&p, dropped ? "dropped" : "kept", "W");
        foci_links_free(&links);
        size_t left = 0; /* rows 148 and 155 out */
        for (size_t i = 0; i < meuse.count; i++)
            if (i != 147 && i != 154) {
                meuse.places[left] = meuse.places[i];
                meuse.values[left++] = meuse.values[i];
            }
        meuse.count = left;
    }
    support_readings_free(&meuse);
}

/* A pass over all pairs, with a full matrix of weights. */
static foci_autocorrelation twin(const foci_links *links, const double *values) {
    size_t n = links->count;
    double *w = calloc(n * n, sizeof *w), mean = 0, s0 = 0, zz = 0, cross = 0, apart = 0, g = 0, all = 0;
    for (size_t i = 0; i < n; i++) {
        mean += values[i] / (double)n;
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++)
            w[i * n + links->to[k]] = foci_links_weight(links, k);
    }
    for (size_t i = 0; i < n; i++) {
        zz += (values[i] - mean) * (values[i] - mean);
        for (size_t j = 0; j < n; j++) {
            s0 += w[i * n + j];
            cross += w[i * n + j] * (values[i] - mean) * (values[j] - mean);
            apart += w[i * n + j] * (values[i] - values[j]) * (values[i] - values[j]);
            g += w[i * n + j] * values[i] * values[j];
            all += i == j ? 0 : values[i] * values[j];
        }
    }
    free(w);
    double c = (double)n;
    return (foci_autocorrelation){c / s0 * cross / zz, (c - 1) / (2 * s0) * apart / zz, g / all};
}

static void test_against_the_twin(void **state) {
    (void)state;
    foci_readings r = support_random_readings(60, 77);
    foci_links links = sample_links_within(r.places, r.count, 200);
    assert_int_equal(foci_links_isolated(&links), 0);
    for (int standardised = 0; standardised < 2; standardised++) {
        foci_links_sums sums = {0};
        foci_error err = {0};
        assert_done(foci_links_sum(&sums, &links, &err), err);
        foci_autocorrelation found = foci_autocorrelation_at(&links, sums.s0, r.values, NULL);
        foci_autocorrelation expected = twin(&links, r.values);
        assert_near(found.moran, expected.moran, 1e-13);
        assert_near(found.geary, expected.geary, 1e-13);
        assert_near(found.general_g, expected.general_g, 1e-13);
        if (!standardised)
            sample_links_standardise(&links);
    }
    foci_links_free(&links);
    support_readings_free(&r);
}

/* The moments under randomisation are those over all 720 orders of the six points. */
static void test_moments_are_those_of_all_orders(void **state) {
    (void)state;
    foci_links links = sample_links_within(six_places, SIX, 15);
    foci_pattern p = judged(&links, six_values);
    double sums[3][2] = {{0}};
    size_t order[SIX], orders = 0;
    for (size_t code = 0; code < 46656; code++) { /* 6^6 */
        bool seen[SIX] = {false}, distinct = true;
        size_t rest = code;
        for (size_t i = 0; i < SIX; i++, rest /= SIX) {
            order[i] = rest % SIX;
            distinct = distinct && !seen[order[i]];
            seen[order[i]] = true;
        }
        if (!distinct)
            continue;
        foci_autocorrelation at = foci_autocorrelation_at(&links, 14, six_values, order);
        const double values[3] = {at.moran, at.geary, at.general_g};
        orders++;
        for (int k = 0; k < 3; k++) {
            sums[k][0] += values[k];
            sums[k][1] += values[k] * values[k];
        }
    }
    assert_int_equal(orders, 720);
    const foci_pattern_test *tests[3] = {&p.moran, &p.geary, &p.general_g};
    for (int k = 0; k < 3; k++) {
        double mean = sums[k][0] / 720;
        assert_near(tests[k]->expectation, mean, 1e-13);
        assert_near(tests[k]->variance, sums[k][1] / 720 - mean * mean, 1e-13);
    }
    foci_links_free(&links);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    static const double equal[SIX] = {0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, below[SIX] = {2, -3, 3.2, 5, 8, 7};
    foci_links links = sample_links_within(six_places, SIX, 15);
    foci_pattern p = judged(&links, equal);
    assert_true(isnan(p.moran.value) && isnan(p.geary.z) && isnan(p.general_g.p) && isnan(p.moran_normal_z));
    p = judged(&links, below);
    assert_true(isnan(p.general_g.value) && !isnan(p.moran.z));
    foci_links_free(&links);
    links = sample_links_within(six_places, SIX, 5);
    p = judged(&links, six_values);
    assert_true(isnan(p.moran.value) && isnan(p.moran.p));
    foci_links_free(&links);
    for (size_t count = 0; count < 4; count++) {
        links = sample_links_within(six_places, count, 100);
        p = judged(&links, six_values);
        assert_true(isnan(p.moran.value) && isnan(p.moran.variance));
        foci_links_free(&links);
    }
}

static bool attempt(foci_error *err) {
    foci_links links = sample_links_columbus();
    foci_pattern pattern = {0};
    bool ok = foci_autocorrelation_test(&pattern, &links, columbus_crime, err);
    foci_links_free(&links);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_six_points),
        cmocka_unit_test(test_columbus),
        cmocka_unit_test(test_boards),
        cmocka_unit_test(test_meuse),
        cmocka_unit_test(test_against_the_twin),
        cmocka_unit_test(test_moments_are_those_of_all_orders),
        cmocka_unit_test(test_what_has_no_answer),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

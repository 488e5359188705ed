#include "decide/pattern/links.h"

#include "decide/pattern/sample_links.h"
#include "support/readings.h"

/* Links 1-2 1-4 2-4 2-5 3-5 4-5 5-6 of the six points; the third reaches the fifth only. */
static void test_six_points(void **state) {
    (void)state;
    static const size_t first[SIX + 1] = {0, 2, 5, 6, 9, 13, 14};
    static const size_t to[14] = {1, 3, 0, 3, 4, 4, 0, 1, 4, 1, 2, 3, 5, 4};
    foci_links links = sample_links_within(six_places, SIX, 15);
    assert_memory_equal(links.first, first, sizeof first);
    assert_memory_equal(links.to, to, sizeof to);
    assert_int_equal(foci_links_isolated(&links), 0);
    foci_links_free(&links);
    foci_links_free(&links);
    links = sample_links_within(six_places, SIX, 10);
    assert_int_equal(links.first[SIX], 4); /* 1-2 and 5-6 lie just 10 apart */
    assert_int_equal(foci_links_isolated(&links), 2);
    foci_links_free(&links);
}

/* Sums over the full matrix of weights. */
static void assert_sums(const foci_links *links) {
    size_t n = links->count;
    foci_error err = {0};
    foci_links_sums found = {0}, plain = {0};
    double *w = calloc(n * n, sizeof *w);
    for (size_t i = 0; i < n; i++)
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++)
            w[i * n + links->to[k]] = foci_links_weight(links, k);
    for (size_t i = 0; i < n; i++) {
        double both = 0;
        for (size_t j = 0; j < n; j++) {
            plain.s0 += w[i * n + j];
            plain.s1 += (w[i * n + j] + w[j * n + i]) * (w[i * n + j] + w[j * n + i]) / 2;
            both += w[i * n + j] + w[j * n + i];
        }
        plain.s2 += both * both;
    }
    free(w);
    assert_done(foci_links_sum(&found, links, &err), err);
    assert_near(found.s0, plain.s0, 1e-10);
    assert_near(found.s1, plain.s1, 1e-10);
    assert_near(found.s2, plain.s2, 1e-10);
}

static void test_sums_of_weights(void **state) {
    (void)state;
    foci_readings r = support_random_readings(50, 5);
    foci_links links = sample_links_within(r.places, r.count, 90);
    assert_true(foci_links_isolated(&links) > 0);
    assert_sums(&links);
    sample_links_standardise(&links);
    assert_sums(&links);
    foci_links_free(&links);
    support_readings_free(&r);
}

static void test_no_band_no_links(void **state) {
    (void)state;
    foci_links links = sample_links_within(six_places, SIX, NAN);
    assert_int_equal(foci_links_isolated(&links), SIX);
    foci_links_free(&links);
    links = sample_links_within(NULL, 0, 10);
    assert_int_equal(foci_links_isolated(&links), 0);
    foci_links_free(&links);
}

static void test_too_many_pairs(void **state) {
    (void)state;
    enum { MANY = 2830 };
    static foci_point places[MANY];
    foci_error err = {0};
    foci_links links = {0};
    assert_fails(foci_links_make(&links, places, MANY, 1, &err), err, FOCI_BAD_SETTING, "4003035 pairs");
    assert_null(links.first);
    assert_done(foci_links_make(&links, places, 2828, 1, &(foci_error){0}), err);
    foci_links_free(&links);
}

static bool attempt(foci_error *err) {
    foci_links links = {0};
    foci_links_sums sums;
    bool ok = foci_links_make(&links, six_places, SIX, 15, err) && foci_links_sum(&sums, &links, err);
    foci_links_free(&links);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_six_points),       cmocka_unit_test(test_sums_of_weights),
        cmocka_unit_test(test_no_band_no_links), cmocka_unit_test(test_too_many_pairs),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

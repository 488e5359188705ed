#include "decide/pattern/local_tests.h"

#include "decide/pattern/reference_lines.h"
#include "decide/pattern/sample_links.h"
#include "support/readings.h"

static foci_local_test *judged(const foci_links *links, const double *values) {
    foci_error err = {0};
    foci_local_test *tests = calloc(links->count + 1, sizeof *tests);
    assert_done(foci_local_tests_make(tests, links, values, &err), err);
    return tests;
}

/* Documentation of a general spatial-statistics library. Local Moran's z has the size of Gi's (the stop itself left
 * out), and its sign where the stop's own reading is above the mean. */
static void test_six_points(void **state) {
    (void)state;
    static const double star[SIX] = {-1.39727626, -0.28917762, 0.65064964, -0.28917762, 1.23452088, 2.02424331};
    static const double without[SIX] = {-1.0136729, -0.04361589, 1.31558703, -0.31412676, 1.15373986, 1.77833941};
    foci_links links = sample_links_within(six_places, SIX, 15);
    foci_local_test *tests = judged(&links, six_values);
    double mean = 28.2 / SIX;
    for (size_t i = 0; i < SIX; i++) {
        assert_near(tests[i].gi_z, star[i], 1e-7);
        assert_near(tests[i].moran_z, six_values[i] > mean ? without[i] : -without[i], 1e-7);
    }
    free(tests);
    foci_links_free(&links);
}

/* Six first values, the extremes and how many stay significant: a general spatial-statistics library, recomputed. */
static void test_columbus(void **state) {
    (void)state;
    static const double first[6] = {-1.34001, -0.13173, 1.01302, 0.66136, -1.43278, -0.77200};
    foci_links links = sample_links_columbus();
    foci_local_test *tests = judged(&links, columbus_crime);
    int single = 0, false_discovery = 0, all_at_once = 0;
    double least = INFINITY, most = -INFINITY;
    for (size_t i = 0; i < COLUMBUS; i++) {
        single += tests[i].gi_p < 0.05;
        false_discovery += tests[i].gi_q < 0.05;
        all_at_once += tests[i].gi_p < 0.05 / COLUMBUS;
        if (i < 6)
            assert_near(tests[i].gi_z, first[i], 5.1e-6);
        least = fmin(least, tests[i].gi_z);
        most = fmax(most, tests[i].gi_z);
    }
    assert_near(most, 3.475051, 5e-7);
    assert_near(least, -2.851023, 5e-7);
    assert_true(tests[35].gi_z == most && tests[12].gi_z == least);
    assert_int_equal(single, 16);
    assert_int_equal(false_discovery, 9);
    assert_int_equal(all_at_once, 3);
    free(tests);
    foci_links_free(&links);
}

static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    reference_table table = reference_read("autocorr_local.csv");
    foci_links links = sample_links_within(meuse.places, meuse.count, 250);
    foci_local_test *tests = judged(&links, meuse.values);
    assert_int_equal(table.rows, meuse.count);
    for (size_t i = 0; i < meuse.count; i++) {
        const foci_local_test *t = &tests[i];
        assert_near((double)t->neighbours, reference_column(&table, "neighbours")[i], 0);
        assert_digits(t->gi_z, reference_column(&table, "Gi_star_z")[i], 1e-9);
        assert_digits(t->gi_p, reference_column(&table, "p_Gi_star_two_sided")[i], 1e-8);
        assert_digits(t->gi_q, reference_column(&table, "p_Gi_star_fdr_BH")[i], 1e-8);
        if (t->neighbours == 0) {
            assert_true(isnan(t->moran) && isnan(t->moran_p) && isnan(t->moran_q));
            continue;
        }
        assert_digits(t->moran, reference_column(&table, "Ii")[i], 1e-9);
        assert_digits(t->moran_expectation, reference_column(&table, "E_Ii_cond")[i], 1e-9);
        assert_digits(t->moran_variance, reference_column(&table, "Var_Ii_cond")[i], 1e-9);
        assert_digits(t->moran_z, reference_column(&table, "Z_Ii_cond")[i], 1e-9);
        assert_digits(t->moran_p, reference_column(&table, "p_Ii_cond_two_sided")[i], 1e-8);
    }
    free(tests);
    foci_links_free(&links);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* Benjamini & Hochberg 1995, section 4.1: fifteen p-values, the first four are discoveries at 5 % (published, from
 * memory). The twin tries every rate: q is the least rate r with at least k of m p-values at most r k / m. */
static void test_false_discovery(void **state) {
    (void)state;
    enum { N = 15 };
    static const double p[N] = {0.0459, 0.0001, 0.0004, 0.0278, 0.0095, 0.0201, 0.0298, 0.0344,
                                0.0019, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000};
    double q[N];
    foci_error err = {0};
    assert_done(foci_false_discovery(q, p, N, &err), err);
    int found = 0;
    for (int i = 0; i < N; i++) {
        double least = 1;
        found += q[i] <= 0.05;
        for (int j = 0; j < N; j++) {
            int rank = 0;
            for (int k = 0; k < N; k++)
                rank += p[k] <= p[j];
            if (p[j] >= p[i])
                least = fmin(least, p[j] * N / rank);
        }
        assert_near(q[i], least, 1e-15);
    }
    assert_int_equal(found, 4);
}

static void test_false_discovery_leaves_out_what_is_not_known(void **state) {
    (void)state;
    double p[4] = {0.02, NAN, 0.01, 0.02};
    foci_error err = {0};
    assert_done(foci_false_discovery(p, p, 4, &err), err);
    assert_near(p[0], 0.02, 1e-16);
    assert_near(p[1], NAN, 0);
    assert_near(p[2], 0.02, 1e-16);
    assert_near(p[3], 0.02, 1e-16);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    static const double equal[SIX] = {0.3, 0.3, 0.3, 0.3, 0.3, 0.3};
    for (size_t count = 0; count <= SIX; count++) {
        foci_links links = sample_links_within(six_places, count, 1000); /* all are neighbours of all */
        foci_local_test *tests = judged(&links, equal);
        for (size_t i = 0; i < count; i++)
            assert_true(isnan(tests[i].gi_z) && isnan(tests[i].moran_z) && isnan(tests[i].gi_q));
        free(tests);
        tests = judged(&links, six_values);
        for (size_t i = 0; i < count; i++)
            assert_true(isnan(tests[i].gi_z) && isnan(tests[i].moran_z) && isnan(tests[i].moran_q));
        free(tests);
        foci_links_free(&links);
    }
}

static bool attempt(foci_error *err) {
    static foci_local_test tests[COLUMBUS];
    foci_links links = sample_links_columbus();
    bool ok = foci_local_tests_make(tests, &links, columbus_crime, err);
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
        cmocka_unit_test(test_meuse),
        cmocka_unit_test(test_false_discovery),
        cmocka_unit_test(test_false_discovery_leaves_out_what_is_not_known),
        cmocka_unit_test(test_what_has_no_answer),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/support.h"

#include "fieldfoci/variogram.h"

/* The formulas of the catalogue worked out with 40 digits in an arbitrary-precision library (mpmath 1.3.0, with its own
 * Bessel function). The Matern values at smoothness 1 are 1 - q K_1(q), K_1(1) = 0.6019072302 being in Abramowitz &
 * Stegun 1964, Handbook of Mathematical Functions, table 9.8 (from memory). */
static const struct {
    const char *kind;
    double smoothness, q, rise;
} known[] = {
    {"spherical", 0, 0.385, 0.5489666875},          {"spherical", 0, 2.385, 1},
    {"exponential", 0, 0.385, 0.31954936379541236}, {"exponential", 0, 2.385, 0.90791102042071883},
    {"gaussian", 0, 0.385, 0.1377629102301661},     {"gaussian", 0, 2.385, 0.99661440292603621},
    {"matern", 0.5, 2.385, 0.90791102042071883},    {"matern", 1.5, 0.385, 0.057575868856646121},
    {"matern", 1.5, 2.385, 0.68827880412413324},    {"matern", 2.5, 0.385, 0.02395593700617112},
    {"matern", 2.5, 2.385, 0.51367119216834769},    {"matern", 3.5, 2.385, 0.39546183887428088},
    {"matern", 6.5, 0.385, 0.0067098568201262387},  {"matern", 6.5, 2.385, 0.22256387466075792},
    {"matern", 0.3, 0.0385, 0.13469499621091972},   {"matern", 0.3, 2.385, 0.94880318755587145},
    {"matern", 0.8, 0.385, 0.17222224349475313},    {"matern", 0.8, 2.385, 0.84163305647954653},
    {"matern", 1, 1, 0.39809276980276543},          {"matern", 1, 0.0385, 0.0028710331477481813},
    {"matern", 1.3, 2.385, 0.73032920236769183},    {"matern", 2, 0.385, 0.03451406906331162},
    {"matern", 2, 2.385, 0.59320608949945826},      {"matern", 20, 2.385, 0.071969208524847563},
};

enum { KNOWN = sizeof known / sizeof *known };

/* Every row of the catalogue has a known value, so a new model cannot come in without one. */
static void test_known_values(void **state) {
    (void)state;
    for (const foci_correlation *row = foci_correlations; row->name; row++) {
        size_t tried = 0;
        for (size_t i = 0; i < KNOWN; i++) {
            if (strcmp(known[i].kind, row->name) != 0)
                continue;
            assert_near(1 - row->at(known[i].q, known[i].smoothness), known[i].rise, 2e-14);
            tried++;
        }
        if (tried == 0)
            fail_msg("%s has no known value", row->name);
        assert_non_null(row->title);
        assert_non_null(row->reference);
        assert_ptr_equal(foci_correlation_find(row->name), row);
    }
    for (size_t i = 0; i < KNOWN; i++)
        assert_non_null(foci_correlation_find(known[i].kind));
}

static void test_from_one_to_zero(void **state) {
    (void)state;
    const double smooth[] = {0.3, 0.5, 1.5, 1.7, 4.5};
    for (const foci_correlation *row = foci_correlations; row->name; row++)
        for (size_t k = 0; k < sizeof smooth / sizeof *smooth; k++) {
            double last = 1;
            assert_near(row->at(0, smooth[k]), 1, 0);
            for (int step = 0; step < 273; step++) { /* 0.0001 to 60 */
                double now = row->at(1e-4 * pow(1.05, step), smooth[k]);
                assert_true(now <= last + 1e-15);
                last = now;
            }
            assert_near(last, 0, 1e-12);
            assert_near(row->at(1e6, smooth[k]), 0, 0);
        }
}

/* The loop that all engines run says the same, in place too, and where a row has none of its own. */
static void test_fill_says_the_same(void **state) {
    (void)state;
    const double smooth[] = {0.3, 0.5, 1.5, 2.2, 3.5};
    for (const foci_correlation *row = foci_correlations; row->name; row++)
        for (size_t k = 0; k < sizeof smooth / sizeof *smooth; k++) {
            double distance[311], values[311];
            for (size_t i = 0; i < 311; i++)
                distance[i] = 13.7 * (double)i;
            foci_correlation_fill(row, values, distance, 311, 1 / 897.0, smooth[k]);
            for (size_t i = 0; i < 311; i++)
                assert_near(values[i], row->at(13.7 * (double)i / 897, smooth[k]), 1e-14);
            assert_near(values[0], 1, 0);
            foci_correlation without = *row;
            without.fill = NULL;
            foci_correlation_fill(&without, values, distance, 311, 1 / 897.0, smooth[k]);
            for (size_t i = 0; i < 311; i++)
                assert_near(values[i], row->at(13.7 * (double)i / 897, smooth[k]), 1e-14);
            foci_correlation_fill(row, values, distance, 311, 1 / 897.0, smooth[k]);
            foci_correlation_fill(row, distance, distance, 311, 1 / 897.0, smooth[k]);
            assert_memory_equal(distance, values, sizeof values);
        }
}

/* A row's own slope and the central difference that stands for it agree, to 1e-9. At q = 1 the spherical one ends. */
static void test_slopes(void **state) {
    (void)state;
    const double smooth[] = {0.5, 1.5, 1.7};
    for (const foci_correlation *row = foci_correlations; row->name; row++)
        for (size_t k = 0; k < sizeof smooth / sizeof *smooth; k++) {
            foci_correlation without = *row;
            without.slope = NULL;
            assert_near(foci_correlation_slope(row, 0, smooth[k]), 0, 0);
            for (double q = 0.03; q < 9; q *= 1.37)
                assert_near(foci_correlation_slope(row, q, smooth[k]), foci_correlation_slope(&without, q, smooth[k]),
                            1e-9);
        }
    const foci_correlation *matern = foci_correlation_find("matern"); /* (1 + q) exp(-q): -q^2 exp(-q) */
    assert_near(foci_correlation_slope(matern, 0.7, 1.5), -0.49 * exp(-0.7), 1e-9);
}

/* What is tried where no row is named, in the order of the catalogue; and a named row alone. */
static void test_families(void **state) {
    (void)state;
    foci_correlation_family families[FOCI_CORRELATION_FAMILIES];
    assert_int_equal(foci_correlation_families(families, NULL, 0, FOCI_TRIED_BY_COUNTS), 2);
    assert_string_equal(families[0].row->name, "exponential");
    assert_string_equal(families[1].row->name, "matern");
    assert_near(families[1].smoothness, 1.5, 0);
    assert_near(families[1].practical, 4.7438645183905784, 1e-14);
    assert_int_equal(foci_correlation_families(families, NULL, 0, FOCI_TRIED_BY_SCORES), 3);
    assert_int_equal(foci_correlation_families(families, NULL, 0, FOCI_TRIED_BY_SEASONS), 1);
    assert_string_equal(families[0].row->name, "exponential");
    assert_int_equal(foci_correlation_families(families, foci_correlation_find("gaussian"), 2.5, FOCI_TRIED_BY_COUNTS),
                     1);
    assert_string_equal(families[0].row->name, "gaussian");
    assert_near(families[0].smoothness, 0, 0);
    assert_int_equal(foci_correlation_families(families, foci_correlation_find("matern"), 2.5, FOCI_TRIED_BY_COUNTS),
                     1);
    assert_near(families[0].practical, 5.9186493463101877, 1e-14);
}

/* The Bessel function's branch joins the closed forms, and a tiny distance does not overflow. */
static void test_matern_branches_join(void **state) {
    (void)state;
    const foci_correlation *matern = foci_correlation_find("matern");
    for (int order = 0; order < 8; order++)
        for (int step = 0; step < 12; step++) {
            double q = 0.05 * pow(1.7, step), smoothness = order + 0.5;
            assert_near(matern->at(q, smoothness), matern->at(q, smoothness + 1e-10), 1e-9);
        }
    assert_near(matern->at(1e-300, 19.3), 1, 0);
    assert_near(matern->at(1e-12, 1.7), 1, 1e-12);
    assert_true(matern->has_smoothness);
    assert_near(matern->smoothness, 1.5, 0);
}

/* Where the correlation is 0.05: -log(0.05) and so on, the Matern ones solved with 40 digits. */
static void test_practical_range(void **state) {
    (void)state;
    const struct {
        const char *kind;
        double smoothness, ranges;
    } practical[] = {{"spherical", 0, 1},
                     {"exponential", 0, 2.995732273553991},
                     {"gaussian", 0, 1.7308183826022853},
                     {"matern", 1.5, 4.7438645183905784},
                     {"matern", 2.5, 5.9186493463101877},
                     {"matern", 1, 3.9985223114893599},
                     {"matern", 0.8, 3.6435512694688908}};
    for (size_t i = 0; i < sizeof practical / sizeof *practical; i++) {
        foci_variogram model = {.kind = foci_correlation_find(practical[i].kind),
                                .range = 23.85,
                                .ratio = 1,
                                .smoothness = practical[i].smoothness};
        assert_near(foci_variogram_practical_range(&model), 23.85 * practical[i].ranges, 1e-10);
    }
}

static void test_find(void **state) {
    (void)state;
    assert_string_equal(foci_correlation_find("Gaussian")->name, "gaussian");
    assert_null(foci_correlation_find("linear"));
    assert_null(foci_correlation_find(""));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_values),       cmocka_unit_test(test_from_one_to_zero),
        cmocka_unit_test(test_fill_says_the_same), cmocka_unit_test(test_slopes),
        cmocka_unit_test(test_families),           cmocka_unit_test(test_matern_branches_join),
        cmocka_unit_test(test_practical_range),    cmocka_unit_test(test_find),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

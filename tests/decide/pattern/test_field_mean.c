#include "decide/pattern/field_mean.h"

#include "base/probability.h"
#include "base/random.h"
#include "support/support.h"

/* By hand: mean 3.4, s 2.073644, half-width t 0.95 on 4 degrees of freedom (2.131847, a printed table) x s / sqrt(5).
 */
static void test_scores(void **state) {
    (void)state;
    double values[5] = {1, 3, 4, 2, 7};
    foci_estimate mean = {0};
    foci_field_mean_find(&mean, &(foci_readings){.count = 5, .values = values}, FOCI_READING_VALUE, NAN);
    assert_near(mean.value, 3.4, 1e-15);
    assert_near(mean.high - mean.value, 2.131847 * sqrt(5.3 / 5), 1e-6);
    assert_near(mean.value - mean.low, mean.high - mean.value, 1e-14);
}

/* Without aggregation it is Wilson's interval of all units; with it, of fewer. */
static void test_counts(void **state) {
    (void)state;
    double hits[4] = {3, 0, 5, 1}, checked[4] = {10, 12, 10, 20}, low = 0, high = 0;
    foci_readings readings = {.count = 4, .hits = hits, .checked = checked};
    foci_estimate mean = {0};
    foci_field_mean_find(&mean, &readings, FOCI_READING_COUNT, NAN);
    foci_wilson_interval(9, 52, foci_student_95(3), &low, &high);
    assert_near(mean.value, 900 / 52.0, 1e-12);
    assert_near(mean.low, 100 * low, 1e-12);
    assert_near(mean.high, 100 * high, 1e-12);
    foci_field_mean_find(&mean, &readings, FOCI_READING_COUNT, 1); /* a stop is then worth one unit */
    foci_wilson_interval(9 / 52.0 * 2704 / 744, 2704 / 744.0, foci_student_95(3), &low, &high);
    assert_near(mean.low, 100 * low, 1e-12);
    assert_near(mean.high, 100 * high, 1e-12);
}

static void test_none_found_is_not_none_there(void **state) {
    (void)state;
    double hits[3] = {0, 0, 0}, checked[3] = {10, 10, 10};
    foci_estimate mean = {0};
    foci_field_mean_find(&mean, &(foci_readings){.count = 3, .hits = hits, .checked = checked}, FOCI_READING_COUNT,
                         NAN);
    assert_near(mean.value, 0, 0);
    assert_near(mean.low, 0, 0);
    assert_true(mean.high > 5 && mean.high < 30);
}

static void test_weighted(void **state) {
    (void)state;
    double hits[2] = {3, 0}, checked[2] = {10, 30}, values[2] = {4, 8}, weights[2] = {0.75, 0.25};
    foci_readings readings = {.count = 2, .hits = hits, .checked = checked, .values = values};
    assert_near(foci_field_mean_weighted(&readings, FOCI_READING_VALUE, weights), 5, 1e-15);
    assert_near(foci_field_mean_weighted(&readings, FOCI_READING_COUNT, weights), 225 / 15.0, 1e-13);
}

static void test_few_stops(void **state) {
    (void)state;
    double hits[1] = {3}, checked[1] = {10}, values[1] = {2.385};
    foci_readings readings = {.count = 1, .hits = hits, .checked = checked, .values = values};
    foci_estimate mean = {0};
    foci_field_mean_find(&mean, &readings, FOCI_READING_COUNT, NAN);
    assert_true(mean.value == 30 && isnan(mean.low) && isnan(mean.high));
    foci_field_mean_find(&mean, &readings, FOCI_READING_VALUE, NAN);
    assert_true(mean.value == 2.385 && isnan(mean.low) && isnan(mean.high));
    readings.count = 0;
    foci_field_mean_find(&mean, &readings, FOCI_READING_COUNT, NAN);
    assert_true(isnan(mean.value) && isnan(mean.low));
    foci_field_mean_find(&mean, &readings, FOCI_READING_VALUE, NAN);
    assert_true(isnan(mean.value) && isnan(mean.high));
}

/* Stops whose shares are 0.05 or 0.35 (mean 0.14, rho 0.154), 40 of 15: the interval with that rho must hold the mean
 * about 90 times in 100; without, it would hold it about 65 times. */
static void test_interval_holds_what_it_says(void **state) {
    (void)state;
    enum { STOPS = 40, FIELDS = 2000 };
    int held = 0;
    for (uint64_t k = 0; k < FIELDS; k++) {
        double hits[STOPS] = {0}, checked[STOPS];
        foci_random draws = foci_random_stream(21, k);
        for (int i = 0; i < STOPS; i++) {
            double share = foci_random_share(&draws) < 0.3 ? 0.35 : 0.05;
            checked[i] = 15;
            for (int unit = 0; unit < 15; unit++)
                hits[i] += foci_random_share(&draws) < share;
        }
        foci_estimate mean = {0};
        foci_field_mean_find(&mean, &(foci_readings){.count = STOPS, .hits = hits, .checked = checked},
                             FOCI_READING_COUNT, 0.21 * 0.09 / (0.14 * 0.86));
        held += mean.low <= 14 && 14 <= mean.high;
    }
    assert_in_range(held, FIELDS * 87 / 100, FIELDS * 93 / 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_scores),
        cmocka_unit_test(test_counts),
        cmocka_unit_test(test_none_found_is_not_none_there),
        cmocka_unit_test(test_weighted),
        cmocka_unit_test(test_few_stops),
        cmocka_unit_test(test_interval_holds_what_it_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/surface_model.h"

static foci_surface_options with(double power, size_t neighbours) {
    return (foci_surface_options){.method = foci_surface_method_find("idw"), .power = power, .neighbours = neighbours};
}

static double at(const foci_readings *readings, double power, foci_point place) {
    foci_error err = {0};
    foci_surface_options options = with(power, 0);
    double estimate = 0;
    assert_done(support_at(&estimate, NULL, readings, &options, &place, 1, &err), err);
    return estimate;
}

/* The seven samples of Isaaks & Srivastava 1989, chapter 12, worked out with exact distances (the book rounds them to a
 * tenth, and prints 594 for power 1 and 598 for power 2). */
static void test_seven_samples(void **state) {
    (void)state;
    foci_readings seven = support_seven();
    const double wanted[][2] = {{0.2, 600.610857}, {0.5, 597.017078}, {1, 593.953671},
                                {2, 597.620376},   {5, 635.374780},   {10, 672.993433}};
    for (size_t i = 0; i < 6; i++)
        assert_near(at(&seven, wanted[i][0], seven_target), wanted[i][1], 1e-6);
}

static void test_on_a_stop_it_is_the_reading(void **state) {
    (void)state;
    foci_readings seven = support_seven();
    for (size_t i = 0; i < SEVEN; i++)
        assert_near(at(&seven, 2, seven.places[i]), seven.values[i], 0);
}

/* Large powers of small and of large distances neither overflow nor underflow: weights 1, 3^-80 and as good as 0; from
 * far away the third stop's weight is (1e9 / (1e9 - 1e6))^80 = 1.001001^80 times the others'. */
static void test_extreme_powers(void **state) {
    (void)state;
    foci_point places[] = {{0, 1e-9}, {0, -3e-9}, {1e6, 0}};
    double values[] = {2.385, 11.7, 40};
    foci_readings readings = support_readings(places, values, 3);
    assert_near(at(&readings, 80, (foci_point){0, 0}), 2.385, 1e-12);
    double weight = pow(1e9 / (1e9 - 1e6), 80);
    assert_near(at(&readings, 80, (foci_point){1e9, 0}), (2.385 + 11.7 + 40 * weight) / (2 + weight), 1e-9);
}

/* testdata/reference/idw_zinc.csv: power 2, all stops and the 12 nearest. */
static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    reference_table table = reference_read("idw_zinc.csv");
    const double *x = reference_column(&table, "x"), *y = reference_column(&table, "y");
    const double *all = reference_column(&table, "pred"), *nearest = reference_column(&table, "pred_nmax12");
    const double *tie = reference_column(&table, "tie_nmax12");
    foci_point *places = calloc(table.rows, sizeof *places);
    double *estimate = calloc(table.rows, sizeof *estimate);
    for (size_t i = 0; i < table.rows; i++)
        places[i] = (foci_point){x[i], y[i]};
    assert_int_equal(table.rows, 3103);
    foci_error err = {0};
    foci_surface_options options = with(2, 0);
    assert_done(support_at(estimate, NULL, &meuse, &options, places, table.rows, &err), err);
    for (size_t i = 0; i < table.rows; i++)
        assert_near(estimate[i], all[i], 1e-10 * all[i]);
    options = with(2, 12);
    assert_done(support_at(estimate, NULL, &meuse, &options, places, table.rows, &err), err);
    size_t compared = 0;
    for (size_t i = 0; i < table.rows; i++)
        if (tie[i] == 0) {
            assert_near(estimate[i], nearest[i], 1e-10 * nearest[i]);
            compared++;
        }
    assert_true(compared > 2000);
    free(places);
    free(estimate);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* testdata/reference/loocv.csv, column idw_pred. */
static void test_meuse_left_out(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    reference_table table = reference_read("loocv.csv");
    double *estimate = calloc(meuse.count + 1, sizeof *estimate);
    foci_error err = {0};
    foci_surface_options options = with(2, 0);
    assert_done(support_leave_one_out(estimate, NULL, &meuse, &options, &err), err);
    for (size_t i = 0; i < meuse.count; i++)
        assert_near(estimate[i], reference_column(&table, "idw_pred")[i], 1e-8);
    free(estimate);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* Plain twin of leaving out: the others as readings of their own, nearest 5 and all. */
static void test_left_out_is_an_estimate_from_the_others(void **state) {
    (void)state;
    foci_readings readings = support_random_readings(40, 2385);
    for (size_t neighbours = 0; neighbours <= 5; neighbours += 5) {
        double left[40], without = 0;
        foci_error err = {0};
        foci_surface_options options = with(1.7, neighbours);
        assert_done(support_leave_one_out(left, NULL, &readings, &options, &err), err);
        for (size_t i = 0; i < 40; i++) {
            foci_readings others = support_random_readings(40, 2385);
            others.places[i] = others.places[39];
            others.values[i] = others.values[39];
            others.count = 39;
            assert_done(support_at(&without, NULL, &others, &options, &readings.places[i], 1, &err), err);
            assert_near(left[i], without, 1e-10);
            support_readings_free(&others);
        }
    }
    support_readings_free(&readings);
}

static void test_threads_agree(void **state) {
    (void)state;
    foci_readings readings = support_random_readings(50, 7);
    foci_readings asked = support_random_readings(3000, 8);
    double *one = calloc(3000, sizeof *one), *two = calloc(3000, sizeof *two);
    foci_error err = {0};
    for (size_t neighbours = 0; neighbours <= 8; neighbours += 8) {
        foci_surface_options options = with(2, neighbours);
        assert_done(support_at(one, NULL, &readings, &options, asked.places, 3000, &err), err);
        support_threads = 2;
        assert_done(support_at(two, NULL, &readings, &options, asked.places, 3000, &err), err);
        support_threads = 1;
        assert_memory_equal(one, two, 3000 * sizeof *one);
    }
    free(one);
    free(two);
    support_readings_free(&readings);
    support_readings_free(&asked);
}

static void test_bad_settings(void **state) {
    (void)state;
    foci_error err = {0};
    foci_readings seven = support_seven();
    double estimate[SEVEN] = {0};
    const double wrong[] = {0, -2, NAN, INFINITY};
    for (size_t i = 0; i < 4; i++) {
        foci_surface_options options = with(wrong[i], 0);
        assert_fails(support_at(estimate, NULL, &seven, &options, &seven_target, 1, &err), err, FOCI_BAD_SETTING,
                     "power above 0");
    }
    foci_surface_options options = with(2, 0);
    foci_readings one = support_readings(seven.places, seven.values, 1);
    assert_fails(support_leave_one_out(estimate, NULL, &one, &options, &err), err, FOCI_BAD_INPUT, "more stops");
    assert_near(at(&one, 2, seven_target), 477, 0);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    foci_surface_options options = with(2, 3);
    double estimate = 0;
    return support_at(&estimate, NULL, &seven, &options, &seven_target, 1, err);
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_seven_samples),   cmocka_unit_test(test_on_a_stop_it_is_the_reading),
        cmocka_unit_test(test_extreme_powers),  cmocka_unit_test(test_meuse),
        cmocka_unit_test(test_meuse_left_out),  cmocka_unit_test(test_left_out_is_an_estimate_from_the_others),
        cmocka_unit_test(test_threads_agree),   cmocka_unit_test(test_bad_settings),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/surface_model.h"

static foci_cross_validation checked(const foci_readings *readings, const foci_surface_options *options) {
    foci_error err = {0};
    foci_cross_validation check = {0};
    assert_done(support_cross_validation(&check, readings, options, &err), err);
    return check;
}

/* testdata/reference/loocv_summary.csv, whose errors are reading minus estimate; the share of readings inside their 90
 * % interval is counted in loocv.csv. */
static void test_meuse_kriging(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = 0.05066,
                            .partial_sill = 0.59061,
                            .range = 897,
                            .ratio = 1};
    foci_surface_options options = {.method = foci_surface_method_find("kriging"), .variogram = &model};
    foci_cross_validation check = checked(&meuse, &options);
    reference_table summary = reference_read("loocv_summary.csv"), each = reference_read("loocv.csv");
    assert_int_equal(check.n, 155);
    assert_near(check.mean_error, reference_column(&summary, "ME")[0], 1e-8);
    assert_near(check.rmse, reference_column(&summary, "RMSE")[0], 1e-8);
    assert_near(check.mean_squared_deviation_ratio, reference_column(&summary, "MSDR")[0], 1e-8);
    double inside = 0;
    for (size_t i = 0; i < each.rows; i++)
        inside += fabs(reference_column(&each, "ok_zscore")[i]) <= 1.6448536269514722;
    assert_true(inside > 100 && inside < 155);
    assert_near(check.coverage_90, inside / 155, 1e-15);
    for (size_t i = 0; i < each.rows; i++)
        assert_near(check.estimate[i], reference_column(&each, "ok_pred")[i], 1e-8);
    reference_free(&summary);
    reference_free(&each);
    foci_cross_validation_free(&check);
    foci_cross_validation_free(&check);
    support_readings_free(&meuse);
}

static void test_meuse_inverse_distance(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    foci_surface_options options = {.method = foci_surface_method_find("idw"), .power = 2};
    foci_cross_validation check = checked(&meuse, &options);
    reference_table summary = reference_read("loocv_summary.csv");
    assert_near(check.mean_error, reference_column(&summary, "ME")[1], 1e-8);
    assert_near(check.rmse, reference_column(&summary, "RMSE")[1], 1e-8);
    assert_null(check.variance);
    assert_near(check.mean_squared_deviation_ratio, NAN, 0);
    assert_near(check.coverage_90, NAN, 0);
    reference_free(&summary);
    foci_cross_validation_free(&check);
    support_readings_free(&meuse);
}

/* All readings equal: no error, no variance, so no ratio. */
static void test_constant_readings(void **state) {
    (void)state;
    double equal[SEVEN] = {2.385, 2.385, 2.385, 2.385, 2.385, 2.385, 2.385};
    foci_readings constant = support_readings(support_seven().places, equal, SEVEN);
    foci_variogram model = {.kind = foci_correlations, .range = 10, .ratio = 1, .fit = "constant"};
    foci_surface_options options = {.method = foci_surface_method_find("kriging"), .variogram = &model};
    foci_cross_validation check = checked(&constant, &options);
    assert_near(check.rmse, 0, 0);
    assert_near(check.mean_squared_deviation_ratio, NAN, 0);
    assert_near(check.coverage_90, 1, 0);
    foci_cross_validation_free(&check);
}

static void test_one_stop_is_too_few(void **state) {
    (void)state;
    foci_readings one = support_seven();
    one.count = 1;
    foci_surface_options options = {.method = foci_surface_method_find("idw"), .power = 2};
    foci_cross_validation check = {0};
    foci_error err = {0};
    assert_fails(support_cross_validation(&check, &one, &options, &err), err, FOCI_BAD_INPUT, "more stops");
    assert_null(check.estimate);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    foci_variogram model = {.kind = foci_correlation_find("spherical"), .partial_sill = 10, .range = 10, .ratio = 1};
    foci_surface_options options = {.method = foci_surface_method_find("kriging"), .variogram = &model};
    foci_cross_validation check = {0};
    bool ok = support_cross_validation(&check, &seven, &options, err);
    foci_cross_validation_free(&check);
    return ok;
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_meuse_kriging),     cmocka_unit_test(test_meuse_inverse_distance),
        cmocka_unit_test(test_constant_readings), cmocka_unit_test(test_one_stop_is_too_few),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

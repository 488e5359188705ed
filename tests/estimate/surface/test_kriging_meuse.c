/* Kriging against the results of another program on the meuse data (testdata/reference/README.md). */
#include "support/kriging_twin.h"

#include "support/surface_model.h"

/* Row of models_used.csv: "ok_log_zinc" is the first, "ok_log_zinc anis" the second. */
static foci_variogram model_used(size_t row) {
    reference_table table = reference_read("models_used.csv");
    double heading = reference_column(&table, "anis_angle_deg_cw_from_north")[row];
    double ratio = reference_column(&table, "anis_ratio")[row];
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = reference_column(&table, "nugget")[row],
                            .partial_sill = reference_column(&table, "psill")[row],
                            .range = reference_column(&table, "range")[row],
                            .heading = isnan(heading) ? 0 : heading,
                            .ratio = isnan(ratio) ? 1 : ratio};
    reference_free(&table);
    return model;
}

/* All 3103 nodes, estimate and variance to 1e-8; a node whose column `tie` is 1 is left out. Returns how many compared.
 */
static size_t compare(const foci_variogram *model, size_t neighbours, const char *estimates, const char *variances,
                      const char *tie) {
    foci_readings meuse = support_meuse(true);
    reference_table table = reference_read("ok_log_zinc.csv");
    const double *x = reference_column(&table, "x"), *y = reference_column(&table, "y");
    const double *wanted = reference_column(&table, estimates), *spread = reference_column(&table, variances);
    foci_point *places = calloc(table.rows, sizeof *places);
    double *estimate = calloc(table.rows, sizeof *estimate), *variance = calloc(table.rows, sizeof *variance);
    for (size_t i = 0; i < table.rows; i++)
        places[i] = (foci_point){x[i], y[i]};
    assert_int_equal(table.rows, 3103);
    foci_error err = {0};
    foci_surface_options options = {.variogram = model, .neighbours = neighbours};
    assert_done(support_at(estimate, variance, &meuse, &options, places, table.rows, &err), err);
    size_t compared = 0;
    for (size_t i = 0; i < table.rows; i++) {
        if (tie && reference_column(&table, tie)[i] != 0)
            continue;
        assert_near(estimate[i], wanted[i], 1e-8);
        assert_near(variance[i], spread[i], 1e-8);
        compared++;
    }
    free(places);
    free(estimate);
    free(variance);
    reference_free(&table);
    support_readings_free(&meuse);
    return compared;
}

static void test_all_stops(void **state) {
    (void)state;
    foci_variogram model = model_used(0);
    assert_near(model.range, 897, 0);
    assert_int_equal(compare(&model, 0, "pred", "var", NULL), 3103);
}

static void test_heading_30_ratio_0_6(void **state) {
    (void)state;
    foci_variogram model = model_used(1);
    assert_near(model.heading, 30, 0);
    assert_near(model.ratio, 0.6, 0);
    assert_int_equal(compare(&model, 0, "pred_anis", "var_anis", NULL), 3103);
}

static void test_12_nearest(void **state) {
    (void)state;
    foci_variogram model = model_used(0);
    assert_true(compare(&model, 12, "pred_nmax12", "var_nmax12", "tie_nmax12") > 2000);
}

static void test_left_out(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    foci_variogram model = model_used(0);
    reference_table table = reference_read("loocv.csv");
    double estimate[155], variance[155];
    foci_error err = {0};
    foci_surface_options options = {.variogram = &model};
    assert_int_equal(meuse.count, 155);
    assert_done(support_leave_one_out(estimate, variance, &meuse, &options, &err), err);
    for (size_t i = 0; i < meuse.count; i++) {
        assert_near(estimate[i], reference_column(&table, "ok_pred")[i], 1e-8);
        assert_near(variance[i], reference_column(&table, "ok_var")[i], 1e-8);
    }
    reference_free(&table);
    support_readings_free(&meuse);
}

/* At (179660, 330500) an independent dense solve gives 5.2734114 and 0.15351082 with range 897.02 and partial sill
 * 0.59060. */
static void test_one_place(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = 0.05066,
                            .partial_sill = 0.59060,
                            .range = 897.02,
                            .ratio = 1};
    foci_point place = {179660, 330500};
    double estimate = 0, variance = 0;
    foci_error err = {0};
    foci_surface_options options = {.variogram = &model};
    assert_done(support_at(&estimate, &variance, &meuse, &options, &place, 1, &err), err);
    assert_near(estimate, 5.2734114, 5e-8);
    assert_near(variance, 0.15351082, 5e-9);
    support_readings_free(&meuse);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_stops),  cmocka_unit_test(test_heading_30_ratio_0_6),
        cmocka_unit_test(test_12_nearest), cmocka_unit_test(test_left_out),
        cmocka_unit_test(test_one_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/kriging_twin.h"

#include "estimate/surface/indicator.h"

static foci_variogram model_used(void) {
    reference_table table = reference_read("models_used.csv");
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = reference_column(&table, "nugget")[2],
                            .partial_sill = reference_column(&table, "psill")[2],
                            .range = reference_column(&table, "range")[2],
                            .ratio = 1};
    reference_free(&table);
    assert_near(model.range, 883.2, 0);
    return model;
}

static foci_indicator fitted(const foci_readings *readings, double threshold, const foci_surface_options *options) {
    foci_indicator indicator = {0};
    foci_error err = {0};
    assert_done(foci_indicator_fit(&indicator, readings, threshold, options, HOW, &err), err);
    return indicator;
}

/* testdata/reference/variogram_ik_zinc500.csv. */
static void test_semivariances(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false), indicators = {0};
    foci_semivariances made = {0};
    foci_error err = {0};
    reference_table table = reference_read("variogram_ik_zinc500.csv");
    assert_done(foci_indicator_readings(&indicators, &meuse, 500, &err), err);
    assert_done(foci_semivariances_make(&made, &indicators, 0, 0, &err), err);
    assert_int_equal(made.count, table.rows);
    for (size_t k = 0; k < made.count; k++) {
        assert_int_equal(made.bins[k].pairs, (size_t)reference_column(&table, "np")[k]);
        assert_near(made.bins[k].distance, reference_column(&table, "dist")[k], 1e-10);
        assert_near(made.bins[k].semivariance, reference_column(&table, "gamma")[k], 1e-10);
    }
    foci_semivariances_free(&made);
    foci_indicator_readings_free(&indicators);
    foci_indicator_readings_free(&indicators);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* The fit that the reference rounds to 0.1012, 0.1575, 883.2. */
static void test_fit(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    foci_surface_options options = {.kind = foci_correlation_find("spherical")};
    foci_indicator indicator = fitted(&meuse, 500, &options);
    assert_near(indicator.variogram.nugget, 0.1012, 5e-5);
    assert_near(indicator.variogram.partial_sill, 0.1575, 5e-5);
    assert_near(indicator.variogram.range, 883.2, 0.05);
    foci_indicator_free(&indicator);
    foci_indicator_free(&indicator);
    support_readings_free(&meuse);
}

/* testdata/reference/ik_zinc500.csv, all nodes. */
static void test_meuse(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(false);
    foci_variogram model = model_used();
    reference_table table = reference_read("ik_zinc500.csv");
    const double *x = reference_column(&table, "x"), *y = reference_column(&table, "y");
    assert_int_equal(table.rows, 3103);
    foci_point *places = calloc(table.rows + 1, sizeof *places);
    double *chance = calloc(table.rows + 1, sizeof *chance), *raw = calloc(table.rows + 1, sizeof *raw);
    double *variance = calloc(table.rows + 1, sizeof *variance);
    for (size_t i = 0; i < table.rows; i++)
        places[i] = (foci_point){x[i], y[i]};
    foci_surface_options options = {.variogram = &model};
    foci_indicator indicator = fitted(&meuse, 500, &options);
    foci_indicator_layers out = {chance, raw, variance};
    foci_error err = {0};
    assert_done(foci_indicator_at(&out, &indicator, places, table.rows, HOW, &err), err);
    size_t outside = 0;
    for (size_t i = 0; i < table.rows; i++) {
        assert_near(raw[i], reference_column(&table, "pred")[i], 1e-8);
        assert_near(variance[i], reference_column(&table, "var")[i], 1e-8);
        assert_near(chance[i], reference_column(&table, "pred_clamped01")[i], 1e-8);
        outside += chance[i] != raw[i];
    }
    assert_true(outside > 0);
    free(places);
    free(chance);
    free(raw);
    free(variance);
    foci_indicator_free(&indicator);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* Left out in closed form against kriging from the other stops. */
static void test_left_out(void **state) {
    (void)state;
    enum { STOPS = 23 };
    foci_readings stops = support_random_readings(STOPS, 4099);
    foci_variogram model = {
        .kind = foci_correlation_find("exponential"), .nugget = 0.07, .partial_sill = 0.19, .range = 131, .ratio = 1};
    foci_surface_options options = {.variogram = &model};
    double chance[STOPS], raw[STOPS], variance[STOPS];
    foci_indicator indicator = fitted(&stops, 17.5, &options);
    foci_indicator_layers out = {chance, raw, variance};
    foci_error err = {0};
    assert_done(foci_indicator_leave_one_out(&out, &indicator, HOW, &err), err);
    for (size_t i = 0; i < stops.count; i++) {
        foci_readings others = support_random_readings(STOPS, 4099);
        others.count--;
        others.places[i] = others.places[others.count];
        others.values[i] = others.values[others.count];
        for (size_t k = 0; k < others.count; k++)
            others.values[k] = others.values[k] >= 17.5;
        double one = 0, spread = 0;
        twin_krige(&one, &spread, &others, &model, stops.places[i], 0);
        assert_near(raw[i], one, 1e-10);
        assert_near(variance[i], spread, 1e-10);
        assert_near(chance[i], fmin(fmax(one, 0), 1), 1e-10);
        support_readings_free(&others);
    }
    foci_indicator_free(&indicator);
    support_readings_free(&stops);
}

static void test_all_on_one_side(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(12, 31);
    foci_surface_options options = {0};
    foci_indicator indicator = fitted(&stops, 41, &options);
    foci_error err = {0};
    double chance = NAN;
    assert_string_equal(indicator.variogram.fit, "constant");
    foci_indicator_layers out = {.chance = &chance};
    assert_done(foci_indicator_at(&out, &indicator, &(foci_point){3, 4}, 1, HOW, &err), err);
    assert_near(chance, 0, 0);
    assert_fails(foci_indicator_fit(&indicator, &stops, NAN, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "give {threshold}");
    foci_indicator_free(&indicator);
    support_readings_free(&stops);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    foci_surface_options options = {.kind = foci_correlation_find("exponential"), .lag = 5, .farthest = 20};
    foci_indicator indicator = {0};
    double chance = 0, others[SEVEN];
    bool ok = foci_indicator_fit(&indicator, &seven, 600, &options, HOW, err) &&
              foci_indicator_at(&(foci_indicator_layers){.chance = &chance}, &indicator, &seven_target, 1, HOW, err) &&
              foci_indicator_leave_one_out(&(foci_indicator_layers){.raw = others}, &indicator, HOW, err);
    foci_indicator_free(&indicator);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_semivariances),   cmocka_unit_test(test_fit),
        cmocka_unit_test(test_meuse),           cmocka_unit_test(test_left_out),
        cmocka_unit_test(test_all_on_one_side), cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

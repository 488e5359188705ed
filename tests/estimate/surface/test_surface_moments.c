/* Binomial kriging by moments against a worked example, and against the plain equations. */
#include "support/kriging_twin.h"
#include "support/surface_model.h"

/* Worked by hand in another language from the formulas of McNeill 1991 and Oliver, Webster, Lajaunie & Muir 1998 (both
 * from memory): five stops, risk covariance 0.01 exp(-h / 25) as a share, here in percent. */
enum { STOPS = 5 };
static foci_point places[STOPS] = {{0, 0}, {20, 0}, {0, 20}, {20, 20}, {40, 10}};
static double hits[STOPS] = {3, 1, 4, 2, 0}, checked[STOPS] = {10, 10, 10, 20, 20}, values[STOPS];
static const foci_point target = {10, 10};

static foci_readings five(void) {
    for (size_t i = 0; i < STOPS; i++)
        values[i] = 100 * hits[i] / checked[i];
    foci_readings readings = support_readings(places, values, STOPS);
    readings.hits = hits;
    readings.checked = checked;
    return readings;
}

static foci_surface_model fitted(const foci_readings *readings, const foci_variogram *variogram) {
    foci_error err = {0};
    foci_surface_model model = {0};
    const foci_surface_options options = {.method = foci_surface_method_find("moments"),
                                          .area = 3000,
                                          .row_heading = NAN,
                                          .most = 100,
                                          .threshold = 10,
                                          .lag = 10,
                                          .farthest = 45,
                                          .variogram = variogram};
    assert_done(foci_surface_fit(&model, readings, NULL, &options, HOW, &err), err);
    return model;
}

static foci_variogram risk(void) {
    return (foci_variogram){.kind = foci_correlation_find("exponential"), .partial_sill = 100, .range = 25, .ratio = 1};
}

static void test_worked_example(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_variogram variogram = risk();
    foci_surface_model model = fitted(&readings, &variogram);
    double estimate = 0, variance = 0, low = 0, high = 0, chance = 0;
    const foci_prediction out = {&estimate, &variance, &low, &high, &chance};
    foci_error err = {0};
    assert_done(foci_surface_at(&model, &target, 1, &out, HOW, &err), err);
    assert_near(estimate / 100, 0.189463, 5e-7);
    assert_near(variance / 1e4, 0.00627581, 5e-9);
    assert_near(low, estimate - 1.6448536269514722 * sqrt(variance), 1e-9);
    assert_near(high, estimate + 1.6448536269514722 * sqrt(variance), 1e-9);
    assert_near(chance, 0.5 * erfc((10 - estimate) / sqrt(2 * variance)), 1e-12);
    foci_surface_model_free(&model);
}

/* The same example without the error of the shares: ordinary kriging of percentages, as the row `kriging` does it. */
static void test_without_the_error(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_variogram variogram = risk();
    foci_error err = {0};
    foci_surface_model model = {0};
    const foci_surface_options options = {.method = foci_surface_method_find("kriging"),
                                          .area = 3000,
                                          .row_heading = NAN,
                                          .most = 100,
                                          .threshold = NAN,
                                          .variogram = &variogram};
    double estimate = 0, variance = 0;
    const foci_prediction out = {.estimate = &estimate, .variance = &variance};
    assert_done(foci_surface_fit(&model, &readings, NULL, &options, HOW, &err), err);
    assert_done(foci_surface_at(&model, &target, 1, &out, HOW, &err), err);
    assert_near(estimate / 100, 0.226964, 5e-7);
    assert_near(variance / 1e4, 0.00419208, 5e-9);
    foci_surface_model_free(&model);
}

/* The four pairs 20 m apart: 0.0175 as they are, 0.00771866 of the true share. */
static void test_semivariances_of_shares(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_semivariances raw = {0}, shares = {0};
    foci_error err = {0};
    assert_done(foci_semivariances_make(&raw, &readings, 20, 20, &err), err);
    assert_done(foci_semivariances_of_shares(&shares, &readings, 20, 20, &err), err);
    assert_int_equal(raw.count, 1);
    assert_int_equal(shares.count, 1);
    assert_int_equal(shares.bins[0].pairs, 4);
    assert_near(shares.bins[0].distance, 20, 1e-12);
    assert_near(raw.bins[0].semivariance / 1e4, 0.0175, 1e-15);
    assert_near(shares.bins[0].semivariance / 1e4, 0.00771866, 5e-9);
    foci_semivariances_free(&raw);
    foci_semivariances_free(&shares);
}

/* The bordered equations by elimination, on a stop (where a share with an error is not taken over) and off. */
static void test_twin(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_variogram variogram = risk();
    variogram.nugget = 23.5;
    foci_surface_model model = fitted(&readings, &variogram);
    const foci_point asked[] = {{13.5, 4.25}, {20, 20}};
    for (size_t k = 0; k < 2; k++) {
        static double a[TWIN + 1][TWIN + 1];
        double b[TWIN + 1], c0[STOPS], pooled = 100 * 10 / 70.0;
        for (size_t i = 0; i < STOPS; i++) {
            for (size_t j = 0; j < STOPS; j++)
                a[i][j] = 100 * exp(-hypot(places[i].x - places[j].x, places[i].y - places[j].y) / 25);
            a[i][i] += 23.5 + (pooled * (100 - pooled) - 123.5) / checked[i];
            a[i][STOPS] = a[STOPS][i] = 1;
            b[i] = c0[i] = 100 * exp(-hypot(places[i].x - asked[k].x, places[i].y - asked[k].y) / 25);
        }
        a[STOPS][STOPS] = 0;
        b[STOPS] = 1;
        twin_solve(a, b, STOPS + 1);
        double estimate = 0, variance = 123.5 - b[STOPS], told = 0, told_variance = 0;
        for (size_t i = 0; i < STOPS; i++) {
            estimate += b[i] * values[i];
            variance -= b[i] * c0[i];
        }
        const foci_prediction out = {.estimate = &told, .variance = &told_variance};
        foci_error err = {0};
        assert_done(foci_surface_at(&model, &asked[k], 1, &out, HOW, &err), err);
        assert_near(told, estimate, 1e-9);
        assert_near(told_variance, variance, 1e-9);
    }
    foci_surface_model_free(&model);
}

/* Left out one by one: the model of the other four, with the errors that all five gave. */
static void test_left_out(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_variogram variogram = risk();
    foci_surface_model model = fitted(&readings, &variogram);
    double estimate[STOPS], variance[STOPS], log_score[STOPS], pooled = 100 * 10 / 70.0;
    bool inside[STOPS];
    const foci_leave_one_out out = {estimate, variance, log_score, inside};
    foci_error err = {0};
    assert_done(foci_surface_leave_one_out(&model, &out, HOW, &err), err);
    for (size_t skip = 0; skip < STOPS; skip++) {
        static double a[TWIN + 1][TWIN + 1];
        double b[TWIN + 1], c0[STOPS], expected = 0, spread = 0;
        size_t of[STOPS], n = 0;
        for (size_t i = 0; i < STOPS; i++)
            if (i != skip)
                of[n++] = i;
        for (size_t i = 0; i < n; i++) {
            const foci_point p = places[of[i]];
            for (size_t j = 0; j < n; j++)
                a[i][j] = 100 * exp(-hypot(p.x - places[of[j]].x, p.y - places[of[j]].y) / 25);
            a[i][i] += (pooled * (100 - pooled) - 100) / checked[of[i]];
            a[i][n] = a[n][i] = 1;
            b[i] = c0[i] = 100 * exp(-hypot(p.x - places[skip].x, p.y - places[skip].y) / 25);
        }
        a[n][n] = 0;
        b[n] = 1;
        twin_solve(a, b, n + 1);
        spread = 100 + (pooled * (100 - pooled) - 100) / checked[skip] - b[n];
        for (size_t i = 0; i < n; i++) {
            expected += b[i] * values[of[i]];
            spread -= b[i] * c0[i];
        }
        assert_near(estimate[skip], expected, 1e-9);
        assert_near(variance[skip], spread, 1e-9);
        assert_int_equal(inside[skip], fabs(values[skip] - expected) <= 1.6448536269514722 * sqrt(spread));
    }
    foci_surface_model_free(&model);
}

static void test_what_it_cannot_do_is_refused(void **state) {
    (void)state;
    foci_readings readings = five();
    foci_variogram variogram = risk();
    foci_error err = {0};
    foci_surface_model model = {0};
    foci_surface_options options = {
        .method = foci_surface_method_find("moments"), .area = 3000, .most = 100, .variogram = &variogram, .trend = 1};
    assert_fails(foci_surface_fit(&model, &readings, NULL, &options, HOW, &err), err, FOCI_BAD_SETTING, "no trend");
    options.trend = 0;
    options.scale = FOCI_SCALE_BOX_COX;
    assert_fails(foci_surface_fit(&model, &readings, NULL, &options, HOW, &err), err, FOCI_BAD_SETTING, "in percent");
}

/* Nothing found anywhere: an estimate of 0 with an error that is not 0. */
static void test_all_zero(void **state) {
    (void)state;
    static double none[STOPS];
    foci_readings readings = five();
    readings.hits = none;
    readings.values = none;
    foci_surface_model model = fitted(&readings, NULL);
    double estimate = 1, variance = 0;
    const foci_prediction out = {.estimate = &estimate, .variance = &variance};
    foci_error err = {0};
    assert_done(foci_surface_at(&model, &target, 1, &out, HOW, &err), err);
    assert_near(estimate, 0, 1e-12);
    assert_true(variance > 0);
    foci_surface_model_free(&model);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_example),
        cmocka_unit_test(test_without_the_error),
        cmocka_unit_test(test_semivariances_of_shares),
        cmocka_unit_test(test_twin),
        cmocka_unit_test(test_left_out),
        cmocka_unit_test(test_what_it_cannot_do_is_refused),
        cmocka_unit_test(test_all_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

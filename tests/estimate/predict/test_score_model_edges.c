/* Other fits, and data that are hard on them. */
#include "support/places.h"
#include "support/score_answers.h"

/* Weighted squares: the fit of the semivariances, plugged in; likelihood: other weights than restricted likelihood. */
static void test_fits(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    foci_surface_options options = options_of();
    options.fit = foci_fit_method_find("weighted-squares");
    options.kind = foci_correlation_find("spherical");
    foci_score_model squares = fitted(&meuse, &options);
    assert_int_equal(squares.count, 1);
    assert_near(squares.facts.variogram.range, 897.006, 0.01);
    assert_near(squares.facts.variogram.nugget, 0.05066044, 1e-7);
    options.fit = foci_fit_method_find("likelihood");
    foci_score_model plain = fitted(&meuse, &options);
    options.fit = foci_fit_method_find("restricted-likelihood");
    foci_score_model restricted = fitted(&meuse, &options);
    assert_ptr_equal(foci_fit_method_find("restricted-likelihood"), foci_fit_methods);
    assert_null(foci_fit_method_find("least-squares"));
    assert_string_equal(plain.facts.variogram.fit, "likelihood");
    assert_string_equal(restricted.facts.variogram.fit, "restricted-likelihood");
    assert_true(plain.count > 1 && restricted.count > 1);
    double sill = plain.facts.variogram.nugget + plain.facts.variogram.partial_sill;
    double unbiased = restricted.facts.variogram.nugget + restricted.facts.variogram.partial_sill;
    assert_true(sill < unbiased);
    assert_true(restricted.facts.range.low <= restricted.facts.range.median);
    assert_true(restricted.facts.no_pattern < 0.01);
    foci_score_model_free(&squares);
    foci_score_model_free(&plain);
    foci_score_model_free(&restricted);
    support_readings_free(&meuse);
}

static void test_edges(void **state) {
    (void)state;
    foci_surface_options options = options_of();
    foci_score_model model = {0};
    foci_error err = {0};
    answers a;
    foci_readings stops = support_random_readings(12, 5), equal = support_random_readings(12, 5);
    for (size_t i = 0; i < equal.count; i++)
        equal.values[i] = 2.385;
    model = fitted(&equal, &options);
    ask(&a, &model, stops.places, 12, 2);
    assert_near(a.estimate[7], 2.385, 0);
    assert_near(a.variance[7], 0, 0);
    assert_near(a.chance[7], 1, 0);
    leave(&a, &model, 3);
    assert_near(a.estimate[7], 2.385, 0);
    assert_near(a.chance[7], 0, 0);
    foci_score_model_free(&model);
    stops.count = 2;
    assert_fails(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err, FOCI_BAD_INPUT,
                 "too few");
    stops.count = 12;
    for (size_t i = 0; i < 12; i++)
        stops.places[i].y = 3 * stops.places[i].x;
    options.trend = 1;
    assert_fails(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err, FOCI_BAD_INPUT,
                 "{trend}");
    options.trend = 3;
    assert_fails(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err, FOCI_BAD_SETTING,
                 "0, 1 or 2");
    options = options_of();
    options.scale = FOCI_SCALE_BOX_COX;
    options.lambda = 0.5;
    stops.values[3] = -1;
    assert_fails(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err, FOCI_BAD_INPUT,
                 "{scale} none");
    options.scale = FOCI_SCALE_AUTO;
    model = fitted(&stops, &options);
    assert_false(model.scale.transformed);
    foci_score_model_free(&model);
    support_readings_free(&stops);
    support_readings_free(&equal);
}

/* Three stops; stops on a line; one hot stop; a fifth of the stops twice; coordinates in the millions. Whatever comes
 * is finite and in order. */
static void test_hard_data(void **state) {
    (void)state;
    for (int hard = 0; hard < 5; hard++) {
        foci_readings stops = support_random_readings(60, 19), asked = support_random_readings(50, 3);
        for (size_t i = 0; i < stops.count; i++) {
            if (hard == 1)
                stops.places[i].y = stops.places[i].x;
            if (hard == 2)
                stops.values[i] = i == 30 ? 87 : 0;
            if (hard == 3 && i % 5 == 0)
                stops.places[i] = stops.places[(i + 7) % 60];
            if (hard == 4)
                stops.places[i] = (foci_point){5e6 + stops.places[i].x, 6e6 + stops.places[i].y};
        }
        stops.count = hard == 0 ? 3 : 60;
        foci_surface_options options = options_of();
        options.scale = FOCI_SCALE_AUTO;
        options.least = 0;
        options.most = 100;
        foci_score_model model = fitted_with(&stops, &options, true);
        answers a;
        for (size_t i = 0; i < asked.count && hard == 4; i++)
            asked.places[i] = (foci_point){5e6 + asked.places[i].x, 6e6 + asked.places[i].y};
        ask(&a, &model, asked.places, asked.count, 20);
        for (size_t i = 0; i < asked.count; i++) {
            assert_true(isfinite(a.estimate[i]) && a.variance[i] >= 0 && a.low[i] <= a.high[i]);
            assert_true(a.chance[i] >= 0 && a.chance[i] <= 1);
        }
        leave(&a, &model, 20);
        for (size_t i = 0; i < stops.count; i++)
            assert_true(isfinite(a.estimate[i]) && isfinite(a.log_score[i]) && a.low[i] <= a.high[i]);
        foci_score_model_free(&model);
        support_readings_free(&stops);
        support_readings_free(&asked);
    }
}

/* 2,500 stops: parameters from 400 of them, places from the nearest; too many for one solve are refused with a number.
 */
static void test_many_stops(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(2500, 7), asked = support_random_readings(30, 3);
    foci_surface_options options = options_of();
    options.neighbours = 48;
    options.kind = foci_correlation_find("exponential");
    for (size_t i = 0; i < stops.count; i++)
        stops.values[i] += 0.05 * stops.places[i].x;
    foci_score_model model = fitted(&stops, &options);
    answers a;
    assert_int_equal(model.facts.fitted_on, 400);
    assert_true(model.count <= 4);
    ask(&a, &model, asked.places, asked.count, NAN);
    for (size_t i = 0; i < asked.count; i++)
        assert_true(a.low[i] < 20 + 0.05 * asked.places[i].x && a.high[i] > 20 + 0.05 * asked.places[i].x);
    foci_score_model_free(&model);
    support_readings_free(&stops);
    stops = support_random_readings(16500, 7);
    foci_variogram variogram = given("exponential", 10, 100, 50);
    foci_error err = {0};
    options.neighbours = 0;
    options.variogram = &variogram;
    assert_fails(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err, FOCI_NO_MEMORY,
                 "2.0 GiB");
    support_readings_free(&stops);
    support_readings_free(&asked);
}

static bool attempt_with(size_t neighbours, foci_error *err) {
    foci_readings stops = support_random_readings(14, 5);
    foci_surface_options options = options_of();
    foci_score_model model = {0};
    answers a;
    foci_score_layers out = layers_of(&a);
    options.kind = foci_correlation_find("exponential");
    options.scale = FOCI_SCALE_AUTO;
    options.trend = 1;
    options.row_heading = 10;
    options.neighbours = neighbours;
    bool ok = foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, err) &&
              foci_score_model_at(&out, &model, stops.places, 5, 3, HOW, err) &&
              foci_score_model_leave_one_out(&out, &model, 3, HOW, err);
    foci_score_model_free(&model);
    support_readings_free(&stops);
    return ok;
}

static bool attempt_whole(foci_error *err) {
    return attempt_with(0, err);
}

static bool attempt_nearest(foci_error *err) {
    return attempt_with(9, err);
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_place(attempt_whole);
    support_fail_each_place(attempt_nearest);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fits),       cmocka_unit_test(test_edges),     cmocka_unit_test(test_hard_data),
        cmocka_unit_test(test_many_stops), cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/likelihood_at.h"

#include "estimate/fit/score_scale.h"

/* Spread far enough that the exponent shows. */
static foci_readings field(double lambda, double mean, size_t count, uint64_t seed) {
    foci_variogram truth = {
        .kind = foci_correlation_find("exponential"), .nugget = 0.4, .partial_sill = 1.2, .range = 60, .ratio = 1};
    foci_readings stops = support_simulated(&truth, mean, 600, count, &seed);
    foci_box_cox scale = {.transformed = true, .lambda = lambda, .least = 0, .most = INFINITY};
    for (size_t i = 0; i < count; i++)
        stops.values[i] = foci_box_cox_back(&scale, stops.values[i]);
    return stops;
}

static foci_scale_choice choice_of(const foci_readings *stops, int threads) {
    const foci_execution how = {.threads = threads};
    foci_score_grid grid = foci_score_grid_make(stops->places, stops->count, NULL, 0, NAN, 0);
    foci_scale_choice choice = {0};
    foci_error err = {0};
    foci_observations observed = support_observed(stops, 0, NAN);
    assert_done(foci_scale_choose(&choice, &observed, &grid, &how, &err), err);
    foci_observations_free(&observed);
    return choice;
}

/* The exponent under which the readings were made up comes back, and untransformed ones are left alone. */
static void test_exponent_comes_back(void **state) {
    (void)state;
    const double wanted[] = {0, 0.5};
    for (size_t i = 0; i < 2; i++) {
        foci_readings stops = field(wanted[i], 3, 150, 77 + i);
        foci_scale_choice choice = choice_of(&stops, 2), alone = choice_of(&stops, 1);
        assert_near(choice.lambda, wanted[i], 0.2);
        assert_true(choice.gain > FOCI_SCALE_GAIN);
        assert_near(alone.lambda, choice.lambda, 0);
        support_readings_free(&stops);
    }
    foci_readings plain = field(1, 9, 150, 91);
    assert_true(choice_of(&plain, 1).gain < FOCI_SCALE_GAIN);
    support_readings_free(&plain);
}

/* The gain is the same whatever the readings' unit. */
static void test_unit_does_not_matter(void **state) {
    (void)state;
    foci_readings stops = field(0.5, 3, 60, 6);
    foci_scale_choice before = choice_of(&stops, 1);
    for (size_t i = 0; i < stops.count; i++)
        stops.values[i] *= 40;
    foci_scale_choice after = choice_of(&stops, 1);
    assert_near(after.gain, before.gain, 1e-6);
    assert_near(after.lambda, before.lambda, 1e-4);
    support_readings_free(&stops);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    foci_score_grid grid = foci_score_grid_make(seven.places, SEVEN, foci_correlation_find("exponential"), 0, NAN, 0);
    const foci_season_readings season = {seven.places, seven.values, NULL, SEVEN};
    const foci_columns drift = foci_columns_drift(0, 1);
    foci_observations observed = {0};
    foci_scale_choice choice = {0};
    bool ok = foci_observations_make(&observed, foci_response_normal, &season, 1, &drift, NAN, err) &&
              foci_scale_choose(&choice, &observed, &grid, HOW, err);
    foci_observations_free(&observed);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    foci_linear_single_thread();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_exponent_comes_back),
        cmocka_unit_test(test_unit_does_not_matter),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

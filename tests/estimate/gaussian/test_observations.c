/* Stops of seasons in their frame: what is kept of them, parts and pools, and what is refused. */
#include "estimate/joint_cases.h"

static const foci_columns *two_intercepts(void) {
    static foci_columns columns;
    columns = foci_columns_intercepts(2, -3, 6.25);
    return &columns;
}

static foci_observations both(double heading) {
    foci_observations made = {0};
    foci_error err = {0};
    assert_done(foci_observations_make(&made, foci_response_binomial, small, 2, two_intercepts(), heading, &err), err);
    return made;
}

/* Turned about the mean of the first season's places; rows of F are ones and zeros. */
static void test_seasons_stand_one_after_the_other(void **state) {
    (void)state;
    foci_observations data = both(90);
    assert_int_equal(data.count, 6);
    assert_int_equal(foci_observations_in(&data, 0), 3);
    assert_int_equal(data.first[2], 6);
    for (size_t i = 0; i < 6; i++) {
        const foci_point place = i < 3 ? first_places[i] : second_places[i - 3];
        const double hits = i < 3 ? first_hits[i] : second_hits[i - 3];
        assert_near(data.along[i], place.x - 10, 1e-13); /* rows to the east: across is south */
        assert_near(data.across[i], 20 - place.y, 1e-13);
        assert_near(data.readings[i], hits, 0);
        assert_near(data.f[i], i < 3, 0);
        assert_near(data.f[i + 6], i >= 3, 0);
    }
    assert_near(data.constant[0], log(210), 1e-12); /* 4 of 10 */
    assert_near(foci_observations_constant(&data), log(210) + log(10) + log(220) + log(66) + log(12), 1e-12);
    foci_observations_free(&data);
    foci_observations_free(&data);
}

static void test_a_pick_keeps_the_seasons(void **state) {
    (void)state;
    static const size_t which[] = {2, 0, 4, 5};
    foci_observations data = both(25), picked = {0};
    foci_error err = {0};
    assert_done(foci_observations_pick(&picked, &data, which, 4, &err), err);
    assert_int_equal(foci_observations_in(&picked, 0), 2);
    assert_int_equal(foci_observations_in(&picked, 1), 2);
    for (size_t i = 0; i < 4; i++) {
        assert_near(picked.along[i], data.along[which[i]], 0);
        assert_near(picked.constant[i], data.constant[which[i]], 0);
        assert_near(picked.f[i + 4], i >= 2, 0);
    }
    foci_observations_free(&picked);
    foci_observations_free(&data);
}

/* The covariance of a season by itself is the block of it in that of both. */
static void test_a_season_by_itself(void **state) {
    (void)state;
    foci_parameters at = small_parameters(0.4), alone = at;
    foci_observations data = both(25), season = foci_observations_season(&data, 1);
    double k[36], distance[36], correlation[36], own[9];
    foci_covariance_room room = {.distance = distance, .correlation = correlation}, small_room = room;
    foci_covariance_at(k, &data, &at, &room);
    alone.sigma[0] = at.sigma[1];
    foci_covariance_at(own, &season, &alone, &small_room);
    for (size_t i = 0; i < 9; i++)
        assert_near(own[i], k[(3 + i / 3) * 6 + 3 + i % 3], 1e-14);
    assert_near(k[0], 1 + 6.25, 1e-15);
    assert_near(k[3], 0.4 * sqrt(0.8) * exp(-hypot(10, 10) / 30), 1e-14);
    foci_observations_free(&data);
}

/* Two stops in one square: their units at their middle. */
static void test_pools_add_up(void **state) {
    (void)state;
    static const foci_point places[] = {{0, 0}, {2, 4}, {300, 100}};
    static const double hits[] = {1, 2, 3}, checked[] = {10, 20, 30};
    const foci_season_readings season = {places, hits, checked, 3};
    const foci_columns columns = foci_columns_intercepts(1, -3, 6.25);
    foci_observations data = {0}, pools = {0};
    foci_error err = {0};
    assert_done(foci_observations_make(&data, foci_response_binomial, &season, 1, &columns, NAN, &err), err);
    assert_done(foci_observations_pool(&pools, &data, 6, &err), err);
    assert_int_equal(pools.count, 2);
    size_t two = pools.checked[0] == 30 && pools.readings[0] == 3 && pools.along[0] < 100 ? 0 : 1;
    assert_near(pools.readings[two], 3, 0);
    assert_near(pools.checked[two], 30, 0);
    assert_near(pools.along[two], (data.along[0] + data.along[1]) / 2, 1e-12);
    assert_near(pools.across[two], (data.across[0] + data.across[1]) / 2, 1e-12);
    assert_near(pools.constant[two], log(4060), 1e-12);
    assert_near(pools.f[two], 1, 0);
    foci_observations_free(&pools);
    foci_observations_free(&data);
}

static bool make(foci_observations *out, const foci_season_readings *seasons, size_t count, foci_error *err) {
    const foci_response *response = seasons[0].checked ? foci_response_binomial : foci_response_normal;
    return foci_observations_make(out, response, seasons, count, NULL, 0, err);
}

static void test_what_cannot_be_read_together_is_refused(void **state) {
    (void)state;
    foci_observations data = {0};
    foci_error err = {0};
    foci_season_readings bad[] = {small[0], small[1]};
    const double hits[] = {3, 14, 1}, scores[] = {1, 2, NAN};
    bad[1].readings = hits;
    assert_fails(make(&data, bad, 2, &err), err, FOCI_BAD_INPUT, "14 infected of 12");
    assert_int_equal(err.row, 2);
    bad[1].checked = NULL;
    assert_fails(make(&data, bad, 2, &err), err, FOCI_BAD_SETTING, "one kind");
    bad[1].readings = scores;
    assert_fails(make(&data, bad + 1, 1, &err), err, FOCI_BAD_INPUT, "no number");
    assert_int_equal(err.row, 3);
    assert_fails(make(&data, bad, 0, &err), err, FOCI_BAD_SETTING, "0 seasons");
    assert_fails(make(&data, bad, 13, &err), err, FOCI_BAD_SETTING, "13 seasons");
    assert_null(data.along);
}

/* A season of places alone, such as the coming one. */
static void test_a_season_may_have_no_stops(void **state) {
    (void)state;
    foci_error err = {0};
    foci_observations data = {0};
    const foci_season_readings seasons[] = {small[0], {0}};
    assert_done(foci_observations_make(&data, foci_response_binomial, seasons, 2, two_intercepts(), 0, &err), err);
    assert_int_equal(data.count, 3);
    assert_int_equal(foci_observations_in(&data, 1), 0);
    foci_observations_free(&data);
}

static bool attempt(foci_error *err) {
    static const size_t which[] = {1, 4};
    foci_observations data = {0}, picked = {0}, pools = {0};
    const foci_columns columns = foci_columns_intercepts(1, -3, 6.25);
    bool ok = foci_observations_make(&data, foci_response_binomial, small, 1, &columns, 0, err) &&
              foci_observations_pick(&picked, &data, which, 1, err) && foci_observations_pool(&pools, &data, 2, err);
    foci_observations_free(&data);
    foci_observations_free(&picked);
    foci_observations_free(&pools);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_seasons_stand_one_after_the_other),
        cmocka_unit_test(test_a_pick_keeps_the_seasons),
        cmocka_unit_test(test_a_season_by_itself),
        cmocka_unit_test(test_pools_add_up),
        cmocka_unit_test(test_what_cannot_be_read_together_is_refused),
        cmocka_unit_test(test_a_season_may_have_no_stops),
        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

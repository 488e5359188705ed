/* The drift as flat columns: at stops and places, told apart or not, taken out; and the same stops in other frames. */
#include "support/likelihood_at.h"

enum { STOPS = 19 };

static const size_t FUNCTIONS[] = {1, 3, 6};

/* Column k at a place, written out. */
static double function_at(const foci_columns *columns, double along, double across, size_t k) {
    const double u = (along - columns->centre.x) / columns->scale, v = (across - columns->centre.y) / columns->scale;
    const double all[] = {1, u, v, u * u, u * v, v * v};
    return all[k];
}

/* Within 1 of 0 everywhere, and 1 somewhere. */
static void test_polynomials_at_stops_and_places(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 71);
    for (int order = 0; order <= 2; order++) {
        foci_observations observed = support_observed(&stops, order, 25);
        double most = 0, room[2 * (2 + FOCI_COLUMNS_MOST)];
        assert_int_equal(observed.columns.count, FUNCTIONS[order]);
        assert_int_equal(foci_columns_flat(&observed.columns), FUNCTIONS[order]);
        assert_int_equal(foci_columns_order(&observed.columns), order);
        for (size_t i = 0; i < STOPS; i++)
            for (size_t k = 0; k < FUNCTIONS[order]; k++) {
                assert_near(observed.f[i + k * STOPS],
                            function_at(&observed.columns, observed.along[i], observed.across[i], k), 1e-14);
                most = fmax(most, k > 0 ? fabs(observed.f[i + k * STOPS]) : 0);
            }
        assert_near(most, order > 0, 1e-15);
        const foci_targets targets = foci_targets_fill(room, &observed, stops.places + 4, 2, 0);
        assert_true(foci_targets_room(&observed, 2) <= sizeof room / sizeof *room);
        for (size_t k = 0; k < FUNCTIONS[order]; k++)
            assert_near(targets.f[1 + 2 * k], observed.f[5 + k * STOPS], 1e-15);
        foci_observations_free(&observed);
    }
    support_readings_free(&stops);
}

/* What is left has no part in any column; readings that are a trend leave nothing. */
static void test_a_trend_is_taken_out(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 5);
    for (int order = 0; order <= 2; order++) {
        foci_observations observed = support_observed(&stops, order, 0);
        foci_error err = {0};
        double left[STOPS], trend[STOPS];
        for (size_t i = 0; i < STOPS; i++) {
            const double x = stops.places[i].x, y = stops.places[i].y;
            left[i] = stops.values[i];
            trend[i] = 17.5 + (order > 0 ? 0.03 * x - 0.07 * y : 0) + (order > 1 ? 1e-4 * (x * x - 2 * x * y) : 0);
        }
        assert_done(foci_columns_remove(left, &observed.columns, observed.f, STOPS, &err), err);
        assert_done(foci_columns_remove(trend, &observed.columns, observed.f, STOPS, &err), err);
        for (size_t k = 0; k < FUNCTIONS[order]; k++) {
            double sum = 0;
            for (size_t i = 0; i < STOPS; i++)
                sum += observed.f[i + k * STOPS] * left[i];
            assert_near(sum, 0, 1e-10);
        }
        for (size_t i = 0; i < STOPS; i++)
            assert_near(trend[i], 0, 1e-9);
        foci_observations_free(&observed);
    }
    support_readings_free(&stops);
}

/* log|F'F| of 1, u, v at the corners (1, 1), (-1, 1), (1, -1), (-1, -1) is log 4^3; places on a line, and on a circle,
 * tell no more than that. */
static void test_what_places_can_tell(void **state) {
    (void)state;
    foci_point square[] = {{1, 1}, {-1, 1}, {1, -1}, {-1, -1}}, round[9];
    double values[9] = {3, 1, 4, 1, 5, 9, 2, 6, 5}, determinant = 0;
    foci_error err = {0};
    const foci_readings corners = {.count = 4, .places = square, .values = values};
    const foci_readings circle = {.count = 9, .places = round, .values = values};
    foci_observations observed = support_observed(&corners, 1, 0);
    assert_done(foci_columns_determinant(&determinant, &observed.columns, observed.f, 4, &err), err);
    assert_near(determinant, 3 * log(4), 1e-12);
    foci_observations_free(&observed);
    observed = support_observed(&corners, 2, 0); /* fewer than columns */
    assert_fails(foci_columns_determinant(&determinant, &observed.columns, observed.f, 4, &err), err, FOCI_BAD_INPUT,
                 "4 stops as they lie cannot tell a trend of order 2");
    foci_observations_free(&observed);
    for (size_t i = 0; i < 9; i++)
        round[i] = (foci_point){100 + 60 * cos((double)i), 40 + 60 * sin((double)i)};
    observed = support_observed(&circle, 2, 0);
    assert_fails(foci_columns_remove(values, &observed.columns, observed.f, 9, &err), err, FOCI_BAD_INPUT, "{trend}");
    foci_observations_free(&observed);
    for (size_t i = 0; i < 9; i++)
        round[i].y = 3 - 2 * round[i].x;
    observed = support_observed(&circle, 1, 0);
    assert_fails(foci_columns_determinant(&determinant, &observed.columns, observed.f, 9, &err), err, FOCI_BAD_INPUT,
                 "order 1");
    foci_observations_free(&observed);
}

/* Turned, they are as if made in that frame; picked again, as if picked. */
static void test_the_same_stops_otherwise(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(STOPS, 8);
    foci_observations north = support_observed(&stops, 2, NAN), east = support_observed(&stops, 2, 77), turned = {0},
                      picked = {0}, again = {0};
    const size_t first[] = {0, 1, 2, 3}, second[] = {17, 3, 11};
    foci_error err = {0};
    assert_done(foci_observations_turn(&turned, &north, 77, &err), err);
    assert_done(foci_observations_pick(&picked, &east, second, 3, &err), err);
    assert_done(foci_observations_pick(&again, &east, first, 4, &err), err);
    foci_observations_pick_again(&again, &east, second, 3);
    for (size_t i = 0; i < STOPS; i++) {
        assert_near(turned.along[i], east.along[i], 1e-10);
        assert_near(turned.across[i], east.across[i], 1e-10);
        for (size_t k = 0; k < 6; k++)
            assert_near(turned.f[i + k * STOPS], east.f[i + k * STOPS], 1e-12);
    }
    assert_int_equal(again.count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_near(again.readings[i], stops.values[second[i]], 0);
        assert_near(again.along[i], picked.along[i], 0);
        for (size_t k = 0; k < 6; k++)
            assert_near(again.f[i + k * again.rows], east.f[second[i] + k * STOPS], 0);
    }
    foci_observations_free(&north);
    foci_observations_free(&east);
    foci_observations_free(&turned);
    foci_observations_free(&picked);
    foci_observations_free(&again);
    support_readings_free(&stops);
}

/* Four stops in two far corners: pools hold the mean of their scores, at their middle. */
static void test_pools_of_scores(void **state) {
    (void)state;
    foci_point places[] = {{0, 0}, {900, 900}, {2, 4}, {904, 898}};
    double values[] = {3.5, 10, 4.5, 21};
    const foci_readings stops = {.count = 4, .places = places, .values = values};
    foci_observations observed = support_observed(&stops, 0, NAN), pools = {0};
    foci_error err = {0};
    assert_done(foci_observations_pool(&pools, &observed, 4, &err), err);
    assert_int_equal(pools.count, 2);
    const size_t low = pools.readings[0] < 10 ? 0 : 1;
    assert_near(pools.readings[low], 4, 1e-14);
    assert_near(pools.readings[1 - low], 15.5, 1e-14);
    assert_near(pools.along[low] - observed.along[0], 2, 1e-12); /* northward */
    assert_near(pools.across[low] - observed.across[0], 1, 1e-12);
    foci_observations_free(&observed);
    foci_observations_free(&pools);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_polynomials_at_stops_and_places),
        cmocka_unit_test(test_a_trend_is_taken_out),
        cmocka_unit_test(test_what_places_can_tell),
        cmocka_unit_test(test_the_same_stops_otherwise),
        cmocka_unit_test(test_pools_of_scores),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "decide/pattern/evenness.h"

#include "base/random.h"
#include "support/support.h"

enum { MOST = 60 };

static double declustered(double *weights, const foci_point *places, size_t count) {
    foci_error err = {0};
    double side = NAN;
    assert_done(foci_decluster(weights, &side, places, count, &err), err);
    return side;
}

static size_t lay_grid(foci_point *places, size_t columns, size_t rows, double step) {
    for (size_t i = 0; i < columns * rows; i++) {
        size_t row = i / columns;
        places[i] = (foci_point){5e5 + step * (double)(i % columns), 4e6 + step * (double)row};
    }
    return columns * rows;
}

/* On an even grid the side is the step and all stops weigh the same. */
static void test_an_even_grid(void **state) {
    (void)state;
    foci_point places[MOST];
    double weights[MOST];
    size_t count = lay_grid(places, 6, 6, 23.85);
    assert_near(declustered(weights, places, count), 23.85, 1e-9);
    for (size_t i = 0; i < count; i++)
        assert_near(weights[i], 1 / 36.0, 1e-9);
}

/* 36 even stops and 20 more around one of them: these share what the one stood for. */
static void test_a_cluster_shares_its_weight(void **state) {
    (void)state;
    foci_point places[MOST];
    double weights[MOST], sum = 0, cluster = 0;
    size_t count = lay_grid(places, 6, 6, 30), even = count;
    foci_random draws = foci_random_stream(3, 1);
    for (; count < even + 20; count++)
        places[count] =
            (foci_point){places[14].x + foci_random_share(&draws), places[14].y + foci_random_share(&draws)};
    double side = declustered(weights, places, count);
    assert_near(side, 150 / (sqrt(56) - 1), 1e-9);
    for (size_t i = 0; i < count; i++) {
        sum += weights[i];
        if (i >= even || i == 14)
            cluster += weights[i];
    }
    assert_near(sum, 1, 1e-12);
    assert_in_range((int)(cluster * 36 * 1000), 900, 1250); /* one stop's share, instead of 21 of 56 */
}

/* The plain twin: for every origin and stop, counts the others in its cell, and the occupied cells by marking. */
static void twin_weights(double *weights, const foci_point *places, size_t count, double side) {
    double west = INFINITY, south = INFINITY;
    for (size_t i = 0; i < count; i++) {
        west = fmin(west, places[i].x);
        south = fmin(south, places[i].y);
        weights[i] = 0;
    }
    for (int column = 0; column < 10; column++)
        for (int row = 0; row < 10; row++) {
            double x = 0.05 + 0.1 * column, y = 0.05 + 0.1 * row;
            double shared[MOST], occupied = 0;
            for (size_t i = 0; i < count; i++) {
                shared[i] = 0;
                for (size_t j = 0; j < count; j++)
                    shared[i] += floor((places[i].x - west) / side + x) == floor((places[j].x - west) / side + x) &&
                                 floor((places[i].y - south) / side + y) == floor((places[j].y - south) / side + y);
                occupied += 1 / shared[i];
            }
            for (size_t i = 0; i < count; i++)
                weights[i] += 0.01 / (occupied * shared[i]);
        }
}

static void test_against_the_twin(void **state) {
    (void)state;
    for (uint64_t k = 0; k < 20; k++) {
        foci_point places[MOST];
        double weights[MOST], expected[MOST];
        foci_random draws = foci_random_stream(8, k);
        size_t count = 2 + foci_random_below(&draws, MOST - 2);
        for (size_t i = 0; i < count; i++)
            places[i] = (foci_point){400 * pow(foci_random_share(&draws), 2), 300 * foci_random_share(&draws)};
        double side = declustered(weights, places, count);
        twin_weights(expected, places, count, side);
        for (size_t i = 0; i < count; i++)
            assert_near(weights[i], expected[i], 1e-12);
    }
}

static void test_few_stops(void **state) {
    (void)state;
    static const foci_point same[3] = {{7, 7}, {7, 7}, {7, 7}}, line[3] = {{0, 0}, {30, 40}, {60, 80}};
    double weights[3];
    assert_near(declustered(weights, same, 0), NAN, 0);
    assert_near(declustered(weights, same, 1), NAN, 0);
    assert_near(weights[0], 1, 0);
    assert_near(declustered(weights, same, 3), NAN, 0);
    assert_near(weights[2], 1 / 3.0, 1e-16);
    assert_near(declustered(weights, line, 3), 50, 1e-12); /* the diagonal / (n - 1) */
    assert_near(weights[0] + weights[1] + weights[2], 1, 1e-12);
}

static bool density_of(double *density, const foci_point *places, size_t count) {
    foci_error err = {0};
    bool even = false;
    assert_done(foci_stop_density(density, &even, places, count, &err), err);
    return even;
}

static void test_density(void **state) {
    (void)state;
    static const foci_point places[4] = {{0, 0}, {3, 4}, {6, 8}, {100, 0}};
    double density[MOST];
    assert_false(density_of(density, places, 4));
    assert_near(density[0], -log((5 + 10) / 2.0), 1e-12);
    assert_near(density[1], -log(5), 1e-12);
    assert_near(density[3], -log((hypot(97, 4) + hypot(94, 8)) / 2), 1e-12);
    static const foci_point same[3] = {{7, 7}, {7, 7}, {7, 7}};
    assert_true(density_of(density, same, 3)); /* at least 0.1 m */
    assert_near(density[0], -log(0.1), 1e-12);
    assert_true(density_of(density, places, 2));
    assert_near(density[0], NAN, 0);
    foci_point grid[MOST];
    size_t count = lay_grid(grid, 7, 5, 30); /* each stop of a grid, even a corner, has two at one step */
    for (size_t i = 0; i < count; i++)
        grid[i].x += 0.01 * (double)(i % 5); /* GNSS does not make it uneven */
    assert_true(density_of(density, grid, count));
}

static bool attempt(foci_error *err) {
    static const foci_point places[4] = {{0, 0}, {3, 4}, {6, 8}, {100, 0}};
    double numbers[4], side = NAN;
    bool even = false;
    return foci_decluster(numbers, &side, places, 4, err) && foci_stop_density(numbers, &even, places, 4, err);
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_an_even_grid),     cmocka_unit_test(test_a_cluster_shares_its_weight),
        cmocka_unit_test(test_against_the_twin), cmocka_unit_test(test_few_stops),
        cmocka_unit_test(test_density),          cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

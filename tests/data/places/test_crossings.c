#include "support/support.h"

#include "data/places/crossings.h"

static bool within(foci_point *points, size_t count, size_t most) {
    foci_ring ring = {.count = count, .points = points};
    foci_polygon polygon = {.count = 1, .rings = &ring};
    foci_multipolygon shape = {.count = 1, .polygons = &polygon};
    foci_error err = {0};
    bool answer = false;
    assert_done(foci_crossings_within(&answer, &shape, most, &err), err);
    return answer;
}

static void test_counts_by_hand(void **state) {
    (void)state;
    foci_point square[] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    foci_point bow[] = {{0, 0}, {1, 1}, {1, 0}, {0, 1}};
    assert_true(within(square, 4, 0)); /* corners are no crossings */
    assert_false(within(bow, 4, 0));
    assert_true(within(bow, 4, 1));
}

/* The star {n/m} of n corners crosses itself n (m - 1) times (Coxeter, Regular Polytopes, section 6.1: each of its n
 * sides is crossed by 2 (m - 1) others). */
static void test_stars(void **state) {
    (void)state;
    foci_point star[31];
    for (size_t m = 2; m < 8; m++) {
        for (size_t i = 0; i < 31; i++) {
            double turn = 2 * M_PI * (double)(i * m % 31) / 31;
            star[i] = (foci_point){cos(turn), sin(turn)};
        }
        assert_true(within(star, 31, 31 * (m - 1)));
        assert_false(within(star, 31, 31 * (m - 1) - 1));
    }
}

/* There and back on one line: of the five pairs of sides without a common corner 0-2 lies on 3.5-0.5 and on 0.5-1, and
 * 3.5-0.5 on 1-0. */
static void test_sides_on_each_other(void **state) {
    (void)state;
    foci_point line[] = {{0, 0}, {2, 0}, {3.5, 0}, {0.5, 0}, {1, 0}};
    assert_true(within(line, 5, 3));
    assert_false(within(line, 5, 2));
}

static bool attempt(foci_error *err) {
    foci_point bow[] = {{0, 0}, {1, 1}, {1, 0}, {0, 1}};
    foci_ring ring = {.count = 4, .points = bow};
    foci_polygon polygon = {.count = 1, .rings = &ring};
    foci_multipolygon shape = {.count = 1, .polygons = &polygon};
    bool answer = false;
    return foci_crossings_within(&answer, &shape, 1, err);
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counts_by_hand),
        cmocka_unit_test(test_stars),
        cmocka_unit_test(test_sides_on_each_other),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

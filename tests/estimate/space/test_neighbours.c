#include "support/readings.h"

#include "estimate/space/neighbours.h"

#define NONE ((size_t)-1)

/* Plain twin: the least (distance, number) not yet taken, again and again. */
static size_t plain_find(const foci_point *places, size_t count, foci_point place, size_t wanted, size_t skip,
                         size_t *found) {
    size_t taken = 0;
    while (taken < wanted) {
        size_t best = NONE;
        double least = INFINITY;
        for (size_t i = 0; i < count; i++) {
            double dx = places[i].x - place.x, dy = places[i].y - place.y;
            bool out = i == skip;
            for (size_t k = 0; k < taken; k++)
                out = out || found[k] == i;
            if (!out && dx * dx + dy * dy < least) {
                least = dx * dx + dy * dy;
                best = i;
            }
        }
        if (best == NONE)
            break;
        found[taken++] = best;
    }
    return taken;
}

static void compare(const foci_point *places, size_t count, const foci_point *asked, size_t askings) {
    foci_error err = {0};
    foci_neighbours *index = NULL;
    assert_done(foci_neighbours_open(&index, places, count, &err), err);
    const size_t wanted[] = {1, 2, 5, 12, 40, 1000};
    for (size_t a = 0; a < askings; a++)
        for (size_t w = 0; w < sizeof wanted / sizeof *wanted; w++) {
            size_t plain[1000], found[1000];
            size_t skip = a % 3 == 0 && count > 0 ? a % count : NONE;
            size_t expected = plain_find(places, count, asked[a], wanted[w], skip, plain);
            assert_int_equal(foci_neighbours_find(index, asked[a], wanted[w], skip, found), expected);
            assert_memory_equal(found, plain, expected * sizeof *found);
        }
    foci_neighbours_close(index);
}

static void test_random_places(void **state) {
    (void)state;
    for (size_t count = 0; count <= 100; count += 1 + count / 3) {
        foci_readings stops = support_random_readings(count, 23 + count);
        foci_readings asked = support_random_readings(25, 85 + count);
        compare(stops.places, count, asked.places, asked.count);
        compare(stops.places, count, stops.places, count < 10 ? count : 10);
        support_readings_free(&stops);
        support_readings_free(&asked);
    }
}

/* On a lattice most distances are tied: the lower number must win. */
static void test_ties_go_to_the_lower_number(void **state) {
    (void)state;
    foci_point lattice[81], asked[20];
    for (size_t i = 0; i < 81; i++) {
        size_t column = i % 9, row = i / 9;
        lattice[(i * 37) % 81] = (foci_point){(double)column, (double)row};
    }
    uint64_t seed = 2385;
    for (size_t a = 0; a < 20; a++)
        asked[a] = (foci_point){floor(20 * support_random(&seed)) / 2, floor(20 * support_random(&seed)) / 2};
    compare(lattice, 81, asked, 20);
}

/* All on one line, and all at one place. */
static void test_degenerate_places(void **state) {
    (void)state;
    foci_point line[60], heap[60], asked[] = {{3, 1}, {-5, 2}, {30.5, 0}, {100, 100}};
    for (size_t i = 0; i < 60; i++) {
        line[i] = (foci_point){(double)((i * 17) % 60), 0};
        heap[i] = (foci_point){3, 1};
    }
    compare(line, 60, asked, 4);
    compare(heap, 60, asked, 4);
}

static void test_none_wanted(void **state) {
    (void)state;
    foci_error err = {0};
    foci_neighbours *index = NULL;
    assert_done(foci_neighbours_open(&index, support_seven().places, SEVEN, &err), err);
    assert_int_equal(foci_neighbours_find(index, seven_target, 0, NONE, NULL), 0);
    foci_neighbours_close(index);
    foci_neighbours_close(NULL);
}

static bool attempt(foci_error *err) {
    foci_neighbours *index = NULL;
    bool ok = foci_neighbours_open(&index, support_seven().places, SEVEN, err);
    foci_neighbours_close(index);
    return ok;
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random_places),     cmocka_unit_test(test_ties_go_to_the_lower_number),
        cmocka_unit_test(test_degenerate_places), cmocka_unit_test(test_none_wanted),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

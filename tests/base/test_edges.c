/* The tree of edges answers as the plain scans of geometry.h do, to the last digit. */
#include "base/edges.h"

#include <math.h>
#include <unistd.h>

#include "base/random.h"
#include "support/support.h"

enum { CORNERS = 700, HOLE = 90, PLACES = 4000 };

static foci_point outer[CORNERS], hole[HOLE], island[] = {{700000, 3480000}, {700400, 3480000}, {700200, 3480300}};

/* A ragged star with a ragged hole, far from the origin as in a projected system, and an island beside it. */
static void make_star(foci_random *draws, foci_point *points, size_t count, double radius) {
    for (size_t i = 0; i < count; i++) {
        const double turn = 2 * M_PI * (double)i / (double)count, reach = radius * (0.4 + foci_random_share(draws));
        points[i] = (foci_point){699000 + reach * cos(turn), 3480100 + reach * sin(turn)};
    }
}

static foci_ring rings[] = {{CORNERS, outer}, {HOLE, hole}, {3, island}};
static foci_polygon polygons[] = {{2, rings}, {1, rings + 2}};
static const foci_multipolygon field = {2, polygons};

static void assert_same(const foci_edges *edges, const foci_multipolygon *shape, foci_point place) {
    const double expected = foci_multipolygon_edge_distance(shape, place), got = foci_edges_distance(edges, place);
    assert_int_equal(foci_edges_contain(edges, place), foci_multipolygon_contains(shape, place));
    if (memcmp(&expected, &got, sizeof got) != 0)
        fail_msg("%.17g is not %.17g at (%.9g, %.9g)", got, expected, place.x, place.y);
}

/* Places all over, on corners, on edges, on the levels of corners, and so far away that digits are lost. */
static void answers_are_those_of_the_plain_scan(void **state) {
    (void)state;
    foci_error err = {0};
    foci_edges edges = {0};
    foci_random draws = foci_random_stream(20260818, 3);
    size_t inside = 0;
    make_star(&draws, outer, CORNERS, 800);
    make_star(&draws, hole, HOLE, 150);
    assert_done(foci_edges_make(&edges, &field, &err), err);
    assert_int_equal(edges.count, CORNERS + HOLE + 3);
    for (size_t i = 0; i < PLACES; i++) {
        const foci_point corner = outer[i % CORNERS], next = outer[(i + 1) % CORNERS];
        const double part = foci_random_share(&draws);
        const foci_point places[] = {
            {697800 + 2800 * part, 3478800 + 2600 * foci_random_share(&draws)},
            corner,
            {corner.x + part * (next.x - corner.x), corner.y + part * (next.y - corner.y)},
            {697800 + 2800 * part, corner.y},
            {4e7 * (part - 0.5), 4e7 * (foci_random_share(&draws) - 0.5)},
        };
        for (size_t k = 0; k < sizeof places / sizeof *places; k++)
            assert_same(&edges, &field, places[k]);
        inside += foci_edges_contain(&edges, places[0]);
    }
    assert_in_range(inside, PLACES / 10, PLACES / 2);
    foci_edges_free(&edges);
    foci_edges_free(&edges);
}

/* Every number of edges about the ends of leaves and levels, none included; no number is no place. */
static void small_shapes_and_no_place(void **state) {
    (void)state;
    foci_error err = {0};
    foci_random draws = foci_random_stream(20260818, 4);
    make_star(&draws, outer, CORNERS, 800);
    for (size_t count = 0; count <= 70; count++) {
        foci_ring ring = {count, outer};
        foci_polygon polygon = {1, &ring};
        const foci_multipolygon shape = {1, &polygon};
        foci_edges edges = {0};
        assert_done(foci_edges_make(&edges, &shape, &err), err);
        for (size_t i = 0; i < 40; i++)
            assert_same(
                &edges, &shape,
                (foci_point){698200 + 1600 * foci_random_share(&draws), 3479300 + 1600 * foci_random_share(&draws)});
        assert_same(&edges, &shape, (foci_point){NAN, 3480100});
        assert_same(&edges, &shape, (foci_point){699000, NAN});
        foci_edges_free(&edges);
    }
}

/* 400,000 stops round a boundary of 30,000 corners: scans of all edges take minutes, this takes a second. */
static void many_places_ask_few_edges(void **state) {
    (void)state;
    enum { MANY = 30000, STOPS = 400000 };
    static foci_point corners[MANY];
    foci_error err = {0};
    foci_edges edges = {0};
    foci_ring ring = {MANY, corners};
    foci_polygon polygon = {1, &ring};
    const foci_multipolygon shape = {1, &polygon};
    size_t inside = 0;
    for (size_t i = 0; i < MANY; i++) {
        const double turn = 2 * M_PI * (double)i / MANY, reach = 800 + 80 * cos(40 * turn);
        corners[i] = (foci_point){699000 + reach * cos(turn), 3480100 + reach * sin(turn)};
    }
    alarm(60); /* ends the program */
    assert_done(foci_edges_make(&edges, &shape, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        const double turn = 0.001 * (double)i, reach = 600 + 500 * (double)i / STOPS;
        const foci_point place = {699000 + reach * cos(turn), 3480100 + reach * sin(turn)};
        if (foci_edges_contain(&edges, place))
            inside++;
        else
            assert_true(foci_edges_distance(&edges, place) > 0);
    }
    alarm(0);
    assert_in_range(inside, STOPS / 4, STOPS * 3 / 4);
    foci_edges_free(&edges);
}

static bool attempt(foci_error *err) {
    foci_edges edges = {0};
    const bool ok = foci_edges_make(&edges, &field, err);
    foci_edges_free(&edges);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(answers_are_those_of_the_plain_scan),
        cmocka_unit_test(small_shapes_and_no_place),
        cmocka_unit_test(many_places_ask_few_edges),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

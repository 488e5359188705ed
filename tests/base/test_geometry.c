#include "support/shapes.h"

static const foci_point far_away = {3281234.375, 5237891.625}; /* exact in binary, so shapes keep their size */

static double draw(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0;
}

static void test_area_takes_holes_out(void **state) {
    (void)state;
    const foci_point shifts[] = {{0, 0}, {-20.5, -11.25}, far_away};
    for (size_t i = 0; i < 3; i++) {
        foci_multipolygon shape = make_shape(plain_rings, shifts[i]);
        assert_near(foci_multipolygon_area(&shape), PLAIN_AREA, 1e-9);
        foci_multipolygon_free(&shape);
        foci_multipolygon_free(&shape);
    }
}

/* A ring's place says what it is: an outer ring may run clockwise, a hole against the clock. */
static void test_direction_does_not_matter(void **state) {
    (void)state;
    const foci_point turned_field[] = {{0, 30}, {40, 30}, {40, 0}, {0, 0}};
    const foci_point turned_hole[] = {{18.5, 10.25}, {10.5, 16.25}, {10.5, 10.25}};
    const plain_ring rings[] = {RING(0, turned_field), RING(0, turned_hole), RING(1, plain_ell), {0}};
    foci_multipolygon shape = make_shape(rings, far_away), plain = make_shape(plain_rings, far_away);
    foci_point a = foci_multipolygon_centroid(&shape), b = foci_multipolygon_centroid(&plain);
    assert_near(foci_multipolygon_area(&shape), PLAIN_AREA, 1e-9);
    assert_near(a.x, b.x, 1e-9);
    assert_near(a.y, b.y, 1e-9);
    foci_multipolygon_free(&plain);
    foci_multipolygon_free(&shape);
}

/* Centroids of rectangles and a triangle, weighted with their areas: the L is 10 x 5 and 4 x 5. */
static void test_centroid(void **state) {
    (void)state;
    double x = (1200 * 20.0 - 24 * (10.5 + 8 / 3.0) + 50 * 55.0 + 20 * 52.0) / PLAIN_AREA;
    double y = (1200 * 15.0 - 24 * (10.25 + 2) + 50 * 2.5 + 20 * 7.5) / PLAIN_AREA;
    foci_multipolygon shape = make_shape(plain_rings, far_away);
    foci_point centre = foci_multipolygon_centroid(&shape);
    assert_near(centre.x - far_away.x, x, 1e-8);
    assert_near(centre.y - far_away.y, y, 1e-8);
    foci_multipolygon_free(&shape);
}

static void test_box(void **state) {
    (void)state;
    foci_multipolygon shape = make_shape(plain_rings, (foci_point){-7.25, 3.5});
    foci_box box = foci_multipolygon_box(&shape);
    assert_true(box.west == -7.25 && box.east == 52.75 && box.south == 3.5 && box.north == 33.5);
    foci_multipolygon_free(&shape);
}

static void test_empty_shapes(void **state) {
    (void)state;
    foci_multipolygon none = {0};
    foci_polygon bare = {0};
    foci_multipolygon one = {1, &bare};
    const foci_multipolygon *shapes[] = {&none, &one};
    for (size_t i = 0; i < 2; i++) {
        assert_true(foci_multipolygon_area(shapes[i]) == 0);
        foci_point centre = foci_multipolygon_centroid(shapes[i]);
        assert_true(centre.x == 0 && centre.y == 0);
        assert_false(foci_multipolygon_contains(shapes[i], centre));
        assert_true(isinf(foci_multipolygon_edge_distance(shapes[i], centre)));
        foci_box box = foci_multipolygon_box(shapes[i]);
        assert_true(box.west == 0 && box.south == 0 && box.east == 0 && box.north == 0);
    }
    foci_multipolygon_free(&none);
}

static void test_shape_without_area(void **state) {
    (void)state;
    const foci_point line[] = {{2, 3}, {6, 9}, {4, 6}};
    const plain_ring rings[] = {RING(0, line), {0}};
    foci_multipolygon shape = make_shape(rings, (foci_point){0, 0});
    foci_point centre = foci_multipolygon_centroid(&shape);
    assert_true(foci_multipolygon_area(&shape) == 0);
    assert_true(centre.x == 4 && centre.y == 6);
    foci_multipolygon_free(&shape);
}

/* The plain twins: how often a ring winds round a place, by the angles to its corners; and a walk along the edges. */
static double turns_round(const foci_ring *ring, foci_point place) {
    double sum = 0;
    for (size_t i = 0; i < ring->count; i++) {
        foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
        double angle = atan2(b.y - place.y, b.x - place.x) - atan2(a.y - place.y, a.x - place.x);
        sum += angle - 2 * acos(-1) * round(angle / (2 * acos(-1)));
    }
    return sum / (2 * acos(-1));
}

static bool plainly_inside(const foci_multipolygon *shape, foci_point place) {
    int rings = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            rings += fabs(turns_round(&shape->polygons[p].rings[r], place)) > 0.5;
    return rings % 2 == 1;
}

static double walked_distance(const foci_multipolygon *shape, foci_point place) {
    double least = INFINITY;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++) {
            const foci_ring *ring = &shape->polygons[p].rings[r];
            for (size_t i = 0; i < ring->count; i++) {
                foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
                for (int step = 0; step <= 4000; step++)
                    least = fmin(least, hypot(a.x + (b.x - a.x) * step / 4000 - place.x,
                                              a.y + (b.y - a.y) * step / 4000 - place.y));
            }
        }
    return least;
}

static void test_inside_and_distance_are_the_plain_ones(void **state) {
    (void)state;
    unsigned seed = 3;
    foci_multipolygon shape = make_shape(plain_rings, far_away);
    int inside = 0;
    for (int i = 0; i < 400; i++) {
        foci_point place = {far_away.x - 5 + 70 * draw(&seed), far_away.y - 5 + 40 * draw(&seed)};
        bool is_inside = foci_multipolygon_contains(&shape, place);
        assert_int_equal(is_inside, plainly_inside(&shape, place));
        inside += is_inside;
        /* The walk's steps are at most 0.01 long: it can miss the nearest place by half of that, and only upwards. */
        double distance = foci_multipolygon_edge_distance(&shape, place), walked = walked_distance(&shape, place);
        assert_true(walked >= distance - 1e-9 && walked <= distance + 0.005);
    }
    assert_in_range(inside, 100, 300);
    foci_multipolygon_free(&shape);
}

static void test_known_distances(void **state) {
    (void)state;
    foci_multipolygon shape = make_shape(plain_rings, far_away);
    const struct {
        double x, y, distance;
    } rows[] = {{2.385, 20, 2.385}, {-3, -4, 5},  {45, 3, 5},       {40, 17.5, 0},
                {10, 13, 0.5},      {57, 9, 3.0}, {20, 28.75, 1.25}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_point place = {far_away.x + rows[i].x, far_away.y + rows[i].y};
        assert_near(foci_multipolygon_edge_distance(&shape, place), rows[i].distance, 1e-9);
    }
    foci_multipolygon_free(&shape);
}

/* On an edge: west and south edges belong to the shape, east and north ones do not; so two neighbours share out their
 * common edge, corners included, and no place is in both or in none. */
static void test_places_on_edges(void **state) {
    (void)state;
    const foci_point west_half[] = {{0, 0}, {12, 0}, {15, 30}, {0, 30}};
    const foci_point east_half[] = {{12, 0}, {40, 0}, {40, 30}, {15, 30}};
    const plain_ring whole_rings[] = {RING(0, plain_field), {0}};
    const plain_ring west_rings[] = {RING(0, west_half), {0}}, east_rings[] = {RING(0, east_half), {0}};
    foci_multipolygon whole = make_shape(whole_rings, (foci_point){0, 0});
    foci_multipolygon west = make_shape(west_rings, (foci_point){0, 0});
    foci_multipolygon east = make_shape(east_rings, (foci_point){0, 0});
    assert_true(foci_multipolygon_contains(&whole, (foci_point){0, 12.5}));
    assert_true(foci_multipolygon_contains(&whole, (foci_point){12.5, 0}));
    assert_true(foci_multipolygon_contains(&whole, (foci_point){0, 0}));
    assert_false(foci_multipolygon_contains(&whole, (foci_point){40, 12.5}));
    assert_false(foci_multipolygon_contains(&whole, (foci_point){12.5, 30}));
    assert_false(foci_multipolygon_contains(&whole, (foci_point){40, 30}));
    for (int i = 0; i < 300; i++) {
        foci_point place = {12 + i / 100.0, i / 10.0}; /* along the common edge */
        assert_int_equal(foci_multipolygon_contains(&west, place) + foci_multipolygon_contains(&east, place), 1);
    }
    foci_multipolygon_free(&east);
    foci_multipolygon_free(&west);
    foci_multipolygon_free(&whole);
}

static void test_copy_is_deep(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon shape = make_shape(plain_rings, (foci_point){0, 0}), copy = {0};
    assert_done(foci_multipolygon_copy(&copy, &shape, &err), err);
    shape.polygons[0].rings[1].points[0].x = 1e6;
    foci_multipolygon_free(&shape);
    assert_int_equal(copy.count, 2);
    assert_int_equal(copy.polygons[0].count, 2);
    assert_near(foci_multipolygon_area(&copy), PLAIN_AREA, 1e-12);
    foci_multipolygon_free(&copy);
}

/* The plain twin of the hull: an edge is on it where all other places lie on one side. */
static double plain_hull_area(const foci_point *places, size_t count) {
    double twice = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            bool outermost = i != j;
            for (size_t k = 0; k < count && outermost; k++)
                outermost = k == i || k == j ||
                            (places[j].x - places[i].x) * (places[k].y - places[i].y) -
                                    (places[j].y - places[i].y) * (places[k].x - places[i].x) >
                                0;
            if (outermost)
                twice += (places[i].x - places[0].x) * (places[j].y - places[0].y) -
                         (places[j].x - places[0].x) * (places[i].y - places[0].y);
        }
    return twice / 2;
}

static void test_hull_is_the_plain_one(void **state) {
    (void)state;
    unsigned seed = 8;
    for (size_t count = 3; count < 60; count += 7) {
        foci_error err = {0};
        foci_point places[60];
        double area = NAN;
        for (size_t i = 0; i < count; i++)
            places[i] = (foci_point){far_away.x + 500 * draw(&seed), far_away.y + 300 * draw(&seed)};
        assert_done(foci_convex_hull_area(&area, places, count, &err), err);
        assert_near(area / plain_hull_area(places, count), 1, 1e-9);
    }
}

static void test_hull_of_known_places(void **state) {
    (void)state;
    foci_error err = {0};
    const foci_point places[] = {{0, 0}, {8, 0}, {8, 0}, {4, 1}, {4, 0}, {8, 5}, {0, 5}, {0, 2.5}, {3, 7}, {1, 1}};
    double area = NAN;
    assert_done(foci_convex_hull_area(&area, places, 10, &err), err);
    assert_near(area, 40 + 8, 1e-12); /* the rectangle and a roof of 8 x 2 / 2 */
}

static void test_hull_of_a_line_is_nothing(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point places[20];
    double area = NAN;
    for (int i = 0; i < 20; i++)
        places[i] = (foci_point){far_away.x + 13.7 * i, far_away.y + 5.3 * i};
    for (size_t count = 0; count <= 20; count++) {
        area = NAN;
        assert_done(foci_convex_hull_area(&area, places, count, &err), err);
        assert_true(area == 0);
    }
    for (int i = 0; i < 20; i++)
        places[i] = far_away;
    assert_done(foci_convex_hull_area(&area, places, 20, &err), err);
    assert_true(area == 0);
    places[3].x += 0.5; /* a sliver of a square decimetre still counts */
    places[7].y += 0.04;
    assert_done(foci_convex_hull_area(&area, places, 20, &err), err);
    assert_near(area, 0.01, 1e-9);
}

static bool copy_and_hull(foci_error *err) {
    static foci_point points[] = {{0, 0}, {8, 0}, {8, 5}};
    foci_ring rings[] = {{3, points}, {3, points}};
    foci_polygon polygons[] = {{2, rings}, {1, rings}};
    foci_multipolygon shape = {2, polygons}, copy = {0};
    double area = 0;
    bool ok = foci_multipolygon_copy(&copy, &shape, err) && foci_convex_hull_area(&area, points, 3, err);
    foci_multipolygon_free(&copy);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(copy_and_hull);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_area_takes_holes_out),
        cmocka_unit_test(test_direction_does_not_matter),
        cmocka_unit_test(test_centroid),
        cmocka_unit_test(test_box),
        cmocka_unit_test(test_empty_shapes),
        cmocka_unit_test(test_shape_without_area),
        cmocka_unit_test(test_inside_and_distance_are_the_plain_ones),
        cmocka_unit_test(test_known_distances),
        cmocka_unit_test(test_places_on_edges),
        cmocka_unit_test(test_copy_is_deep),
        cmocka_unit_test(test_hull_is_the_plain_one),
        cmocka_unit_test(test_hull_of_known_places),
        cmocka_unit_test(test_hull_of_a_line_is_nothing),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

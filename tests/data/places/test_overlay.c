#include "support/support.h"

#include "data/places/overlay.h"

/* A shape from a list of rings; `parts` says which polygon each ring belongs to. */
#define RING(...)                                                                                                      \
    {                                                                                                                  \
        sizeof((foci_point[]){__VA_ARGS__}) / sizeof(foci_point), (foci_point[]) {                                     \
            __VA_ARGS__                                                                                                \
        }                                                                                                              \
    }
#define POLYGON(...)                                                                                                   \
    {                                                                                                                  \
        sizeof((foci_ring[]){__VA_ARGS__}) / sizeof(foci_ring), (foci_ring[]) {                                        \
            __VA_ARGS__                                                                                                \
        }                                                                                                              \
    }
#define SHAPE(...)                                                                                                     \
    (foci_multipolygon) {                                                                                              \
        sizeof((foci_polygon[]){__VA_ARGS__}) / sizeof(foci_polygon), (foci_polygon[]) {                               \
            __VA_ARGS__                                                                                                \
        }                                                                                                              \
    }

/* Shoelace, positive where counter-clockwise: the plain twin of what the library says of a ring. */
static double signed_area(const foci_ring *ring) {
    double sum = 0;
    for (size_t i = 0; i < ring->count; i++) {
        foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
        sum += (a.x * b.y - b.x * a.y) / 2;
    }
    return sum;
}

static double shape_area(const foci_multipolygon *shape) {
    double sum = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            sum += signed_area(&shape->polygons[p].rings[r]); /* holes count negative: this checks their turn too */
    return sum;
}

static void assert_well_formed(const foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++) {
            const foci_ring *ring = &shape->polygons[p].rings[r];
            foci_point a = ring->points[0], b = ring->points[ring->count - 1];
            assert_true(ring->count >= 3);
            assert_false(a.x == b.x && a.y == b.y);
            assert_true(r == 0 ? signed_area(ring) > 0 : signed_area(ring) < 0);
        }
}

static void test_valid_shape_is_only_turned(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    bool repaired = true;
    char why[128] = "x";
    /* both rings the wrong way round */
    foci_multipolygon shape =
        SHAPE(POLYGON(RING({0, 0}, {0, 10.5}, {20.25, 10.5}, {20.25, 0}), RING({2, 2}, {4, 2}, {4, 5.5}, {2, 5.5})));
    assert_true(foci_overlay_valid(&shape));
    assert_done(foci_overlay_repair(&out, &repaired, why, &shape, &err), err);
    assert_false(repaired);
    assert_string_equal(why, "");
    assert_int_equal(out.count, 1);
    assert_int_equal(out.polygons[0].count, 2);
    assert_int_equal(out.polygons[0].rings[0].count, 4);
    assert_well_formed(&out);
    assert_near(shape_area(&out), 20.25 * 10.5 - 2 * 3.5, 1e-12);
    foci_multipolygon_free(&out);
}

/* A bow tie: two triangles of base 10 and height 6 that meet in one point. */
static void test_crossing_ring_is_repaired(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    bool repaired = false;
    char why[128] = "";
    foci_multipolygon shape = SHAPE(POLYGON(RING({0, 0}, {12, 10}, {12, 0}, {0, 10})));
    assert_false(foci_overlay_valid(&shape));
    assert_done(foci_overlay_repair(&out, &repaired, why, &shape, &err), err);
    assert_true(repaired);
    assert_non_null(strstr(why, "Self-intersection"));
    assert_int_equal(out.count, 2);
    assert_well_formed(&out);
    assert_near(shape_area(&out), 2 * (10 * 6 / 2.0), 1e-12);
    assert_true(foci_overlay_valid(&out));
    foci_multipolygon_free(&out);
}

/* What two parts share is in the field once: neither twice nor cut out. */
static void test_overlapping_parts_are_joined(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    bool repaired = false;
    char why[128] = "";
    foci_multipolygon shape =
        SHAPE(POLYGON(RING({0, 0}, {10, 0}, {10, 10}, {0, 10})), POLYGON(RING({7, 0}, {15, 0}, {15, 10}, {7, 10})));
    assert_done(foci_overlay_repair(&out, &repaired, why, &shape, &err), err);
    assert_true(repaired);
    assert_int_equal(out.count, 1);
    assert_well_formed(&out);
    assert_near(shape_area(&out), 150, 1e-12);
    foci_multipolygon_free(&out);
}

static void test_spike_and_short_ring_are_dropped(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    bool repaired = false;
    char why[128] = "";
    foci_multipolygon spiked = SHAPE(POLYGON(RING({0, 0}, {10, 0}, {10, 5}, {18, 5}, {10, 5}, {10, 10}, {0, 10})));
    assert_done(foci_overlay_repair(&out, &repaired, why, &spiked, &err), err);
    assert_true(repaired);
    assert_well_formed(&out);
    assert_near(shape_area(&out), 100, 1e-12);
    foci_multipolygon_free(&out);

    foci_multipolygon with_short = SHAPE(POLYGON(RING({0, 0}, {10, 0}, {10, 10}, {0, 10}), RING({2, 2}, {3, 3})));
    assert_false(foci_overlay_valid(&with_short));
    assert_done(foci_overlay_repair(&out, &repaired, why, &with_short, &err), err);
    assert_true(repaired);
    assert_string_equal(why, "a ring has fewer than 3 corners");
    assert_int_equal(out.polygons[0].count, 1);
    foci_multipolygon_free(&out);
}

static void test_no_area_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    bool repaired = false;
    char why[128] = "";
    foci_multipolygon line = SHAPE(POLYGON(RING({0, 0}, {10, 0}, {5, 0})));
    foci_multipolygon two = SHAPE(POLYGON(RING({0, 0}, {10, 0})));
    foci_multipolygon empty = {0};
    foci_multipolygon lost = SHAPE(POLYGON(RING({0, 0}, {10, 0}, {NAN, 7})));
    assert_fails(foci_overlay_repair(&out, &repaired, why, &line, &err), err, FOCI_BAD_INPUT, "no area");
    assert_fails(foci_overlay_repair(&out, &repaired, why, &two, &err), err, FOCI_BAD_INPUT, "no area");
    assert_fails(foci_overlay_repair(&out, &repaired, why, &empty, &err), err, FOCI_BAD_INPUT, "no area");
    assert_fails(foci_overlay_repair(&out, &repaired, why, &lost, &err), err, FOCI_BAD_INPUT, "not a number");
    assert_false(foci_overlay_valid(&lost));
    assert_null(out.polygons);
}

static void test_intersection(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    foci_multipolygon with_hole =
        SHAPE(POLYGON(RING({0, 0}, {10, 0}, {10, 10}, {0, 10}), RING({4, 4}, {4, 6}, {6, 6}, {6, 4})));
    foci_multipolygon strips = SHAPE(POLYGON(RING({-1, 1.5}, {5, 1.5}, {5, 8}, {-1, 8})),
                                     POLYGON(RING({8, 3}, {20, 3}, {20, 4.25}, {8, 4.25})),
                                     POLYGON(RING({10, 8}, {12, 8}, {12, 9}, {10, 9}))); /* touches along a line */
    assert_done(foci_overlay_intersection(&out, &with_hole, &strips, &err), err);
    assert_int_equal(out.count, 2);
    assert_well_formed(&out);
    assert_near(shape_area(&out), 5 * 6.5 - 1 * 2 + 2 * 1.25, 1e-12);
    foci_multipolygon_free(&out);

    foci_multipolygon far = SHAPE(POLYGON(RING({50, 50}, {60, 50}, {60, 60})));
    assert_done(foci_overlay_intersection(&out, &with_hole, &far, &err), err);
    assert_int_equal(out.count, 0);
    foci_multipolygon_free(&out);

    foci_multipolygon crossed = SHAPE(POLYGON(RING({0, 0}, {12, 10}, {12, 0}, {0, 10})));
    assert_fails(foci_overlay_intersection(&out, &crossed, &with_hole, &err), err, FOCI_BAD_INPUT, "cannot be used");
}

/* Counts random places: what is inside both must be inside the intersection, by the even-odd rule. */
static void test_intersection_place_by_place(void **state) {
    (void)state;
    foci_error err = {0};
    foci_multipolygon out = {0};
    foci_multipolygon star = SHAPE(POLYGON(
        RING({5, 0}, {6.2, 3.7}, {10, 3.8}, {7, 6}, {8.1, 9.9}, {5, 7.6}, {1.9, 9.9}, {3, 6}, {0, 3.8}, {3.8, 3.7})));
    foci_multipolygon frame =
        SHAPE(POLYGON(RING({1, 1}, {9, 1.3}, {8.8, 9}, {1.2, 8.7}), RING({4, 4}, {4.1, 6}, {6, 6.2}, {5.8, 4.1})));
    assert_done(foci_overlay_intersection(&out, &star, &frame, &err), err);
    assert_well_formed(&out);
    unsigned seed = 20250917;
    int both = 0;
    for (int i = 0; i < 20000; i++) {
        seed = seed * 1664525u + 1013904223u;
        double x = seed / 4294967296.0 * 10;
        seed = seed * 1664525u + 1013904223u;
        foci_point place = {x, seed / 4294967296.0 * 10};
        bool wanted = foci_multipolygon_contains(&star, place) && foci_multipolygon_contains(&frame, place);
        assert_int_equal(foci_multipolygon_contains(&out, place), wanted);
        both += wanted;
    }
    assert_true(both > 2000);
    foci_multipolygon_free(&out);
}

static bool repair_something(foci_error *err) {
    foci_multipolygon out = {0};
    bool repaired = false;
    char why[128] = "";
    foci_multipolygon shape = SHAPE(POLYGON(RING({0, 0}, {12, 10}, {12, 0}, {0, 10})));
    bool ok = foci_overlay_repair(&out, &repaired, why, &shape, err);
    foci_multipolygon_free(&out);
    return ok;
}

static bool intersect_something(foci_error *err) {
    foci_multipolygon out = {0};
    foci_multipolygon a =
        SHAPE(POLYGON(RING({0, 0}, {10, 0}, {10, 10}, {0, 10}), RING({4, 4}, {4, 6}, {6, 6}, {6, 4})));
    foci_multipolygon b = SHAPE(POLYGON(RING({1, 1}, {9, 1}, {9, 9}, {1, 9})));
    bool ok = foci_overlay_intersection(&out, &a, &b, err);
    foci_multipolygon_free(&out);
    return ok;
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(repair_something);
    support_fail_each_allocation(intersect_something);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_valid_shape_is_only_turned),   cmocka_unit_test(test_crossing_ring_is_repaired),
        cmocka_unit_test(test_overlapping_parts_are_joined), cmocka_unit_test(test_spike_and_short_ring_are_dropped),
        cmocka_unit_test(test_no_area_is_refused),           cmocka_unit_test(test_intersection),
        cmocka_unit_test(test_intersection_place_by_place),  cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

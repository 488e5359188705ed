#include "support/support.h"

#include "base/longitudes.h"

static void test_near(void **state) {
    (void)state;
    assert_near(foci_longitude_near(-179.875, 179.5, 180), 180.125, 0);
    assert_near(foci_longitude_near(179.875, -179.5, 5), -180.125, 0);
    assert_near(foci_longitude_near(93.25, -93.5, 5), 93.25, 0); /* a sign that is missing stays to be seen */
    assert_near(foci_longitude_near(539.5, -180.25, 5), -180.5, 0);
    assert_near(foci_longitude_near(NAN, 10, 180), NAN, 0);
}

static foci_ring ring_of(foci_point *points, size_t count) {
    return (foci_ring){.count = count, .points = points};
}

/* RFC 7946, section 3.1.9, has a line across the meridian cut into [[170.0, 45.0], [180.0, 45.0]] and [[-180.0, 45.0],
 * [-170.0, 45.0]]; here the polygons of its second example: 180 to 170 and -180 to -170, 40 to 50 north. */
static void test_parts_cut_at_the_meridian(void **state) {
    (void)state;
    foci_point west[] = {{180, 40}, {180, 50}, {170, 50}, {170, 40}};
    foci_point east[] = {{-170, 40}, {-170, 50}, {-180, 50}, {-180, 40}};
    foci_ring rings[] = {ring_of(west, 4), ring_of(east, 4)};
    foci_polygon polygons[] = {{1, &rings[0]}, {1, &rings[1]}};
    foci_multipolygon shape = {2, polygons};
    bool moved = false;
    assert_true(foci_longitudes_unwrap(&shape, &moved));
    assert_true(moved);
    foci_box box = foci_multipolygon_box(&shape);
    assert_near(box.east - box.west, 20, 0);
    assert_near(foci_multipolygon_centroid(&shape).x, -180, 1e-12);
    assert_near(foci_multipolygon_area(&shape), 200, 1e-9);
}

static void test_one_ring(void **state) {
    (void)state;
    foci_point across[] = {{179.5, -16}, {-179.75, -16}, {-179.75, -17}, {179.5, -17}};
    foci_point hole[] = {{-179.875, -16.25}, {-179.875, -16.5}, {179.75, -16.5}};
    foci_ring rings[] = {ring_of(across, 4), ring_of(hole, 3)};
    foci_polygon polygon = {2, rings};
    foci_multipolygon shape = {1, &polygon};
    assert_true(foci_longitudes_unwrap(&shape, NULL));
    assert_near(across[0].x, 179.5, 0);
    assert_near(across[1].x, 180.25, 0);
    assert_near(hole[0].x, 180.125, 0);
    assert_near(hole[2].x, 179.75, 0);
}

static void test_elsewhere_nothing_moves(void **state) {
    (void)state;
    foci_point field[] = {{-93.5, 42}, {-93.25, 42}, {-93.25, 42.5}};
    foci_ring ring = ring_of(field, 3);
    foci_polygon polygon = {1, &ring};
    foci_multipolygon shape = {1, &polygon};
    bool moved = true;
    assert_true(foci_longitudes_unwrap(&shape, &moved));
    assert_false(moved);
    assert_near(field[2].x, -93.25, 0);
    foci_multipolygon nothing = {0};
    assert_true(foci_longitudes_unwrap(&nothing, &moved));
}

static void test_around_a_pole(void **state) {
    (void)state;
    foci_point around[] = {{0, 80}, {90, 80}, {180, 80}, {-90, 80}};
    foci_ring ring = ring_of(around, 4);
    foci_polygon polygon = {1, &ring};
    foci_multipolygon shape = {1, &polygon};
    assert_false(foci_longitudes_unwrap(&shape, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_near),          cmocka_unit_test(test_parts_cut_at_the_meridian),
        cmocka_unit_test(test_one_ring),      cmocka_unit_test(test_elsewhere_nothing_moves),
        cmocka_unit_test(test_around_a_pole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

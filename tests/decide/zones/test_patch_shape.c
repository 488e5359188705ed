/* A place inside any shape, and a patch clipped to its field. */
#include "decide/zones/patch_shape.h"

#include "support/scene.h"

static foci_multipolygon shape_of(const foci_point *points, size_t count) {
    const foci_ring ring = scene_ring(points, count);
    return scene_polygon(&ring, 1);
}

static void assert_inside(const foci_multipolygon *shape, double x, double y) {
    foci_point place = {0};
    foci_error err = {0};
    assert_done(foci_patch_inside(&place, shape, &err), err);
    assert_true(foci_multipolygon_contains(shape, place));
    if (!isnan(x)) {
        assert_near(place.x, x, 1e-12);
        assert_near(place.y, y, 1e-12);
    }
}

/* A horseshoe, whose centroid is outside: at half its height both legs are 2 wide, and the first one is taken. */
static void test_a_horseshoe(void **state) {
    (void)state;
    static const foci_point bow[] = {{0, 0}, {8, 0}, {8, 9}, {6, 9}, {6, 2}, {2, 2}, {2, 9}, {0, 9}};
    foci_multipolygon shape = shape_of(bow, 8);
    assert_false(foci_multipolygon_contains(&shape, foci_multipolygon_centroid(&shape)));
    assert_inside(&shape, 1, 4.5);
    foci_multipolygon_free(&shape);
}

/* Of two parts the larger; a hole is passed by. */
static void test_parts_and_holes(void **state) {
    (void)state;
    static const foci_point small[] = {{100, 0}, {102, 0}, {102, 1}, {100, 1}};
    static const foci_point frame[] = {{0, 0}, {12, 0}, {12, 6}, {0, 6}};
    static const foci_point hole[] = {{1, 1}, {1, 5}, {7, 5}, {7, 1}};
    foci_error err = {0};
    const foci_ring rings[] = {scene_ring(frame, 4), scene_ring(hole, 4)};
    foci_multipolygon first = shape_of(small, 4), second = scene_polygon(rings, 2), both = {0};
    both.polygons = foci_new_array(2, sizeof *both.polygons, &err);
    assert_non_null(both.polygons);
    both.count = 2;
    both.polygons[0] = first.polygons[0];
    both.polygons[1] = second.polygons[0];
    assert_inside(&both, 9.5, 3);
    free(first.polygons);
    free(second.polygons);
    foci_multipolygon_free(&both);
}

/* Slivers and stars: always inside. */
static void test_any_shape(void **state) {
    (void)state;
    uint32_t random = 99;
    static const foci_point sliver[] = {{0, 0}, {1000, 0.001}, {1000, 0.002}};
    foci_multipolygon thin = shape_of(sliver, 3);
    assert_inside(&thin, NAN, NAN);
    foci_multipolygon_free(&thin);
    for (int turn = 0; turn < 200; turn++) {
        foci_point star[24];
        for (int i = 0; i < 24; i++) {
            const double reach = 0.05 + scene_random(&random), angle = 2 * 3.14159265358979 * i / 24;
            star[i] = (foci_point){512000 + 40 * reach * cos(angle), 4205000 + 40 * reach * sin(angle)};
        }
        foci_multipolygon shape = shape_of(star, 24);
        assert_inside(&shape, NAN, NAN);
        foci_multipolygon_free(&shape);
    }
}

static void test_a_patch_is_clipped_on_the_edge_only(void **state) {
    (void)state;
    foci_survey round = scene_make();
    foci_multipolygon cell = scene_cell(&round.grid, 0), clipped = {0}, whole = {0};
    foci_error err = {0};
    assert_done(foci_patch_clip(&clipped, &cell.polygons[0], true, &round.field, &err), err);
    assert_done(foci_patch_clip(&whole, &cell.polygons[0], false, &round.field, &err), err);
    assert_near(foci_multipolygon_area(&clipped), 400 * round.grid.share[0], 1e-6);
    assert_near(foci_multipolygon_area(&whole), 400, 1e-6);
    assert_near(foci_patch_scale(&round.field), 1e4 * round.field.area_ha / foci_multipolygon_area(&round.field.shape),
                1e-15);
    round.field.area_ha *= 0.5; /* never below one */
    assert_near(foci_patch_scale(&round.field), 1, 0);
    foci_multipolygon_free(&cell);
    foci_multipolygon_free(&clipped);
    foci_multipolygon_free(&whole);
    foci_survey_free(&round);
}

static bool attempt(foci_error *err) {
    static foci_point corners[] = {{0, 0}, {2, 0}, {1, 3}};
    foci_ring ring = {3, corners};
    foci_polygon polygon = {1, &ring};
    const foci_multipolygon shape = {1, &polygon};
    foci_point place = {0};
    return foci_patch_inside(&place, &shape, err);
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_horseshoe),
        cmocka_unit_test(test_parts_and_holes),
        cmocka_unit_test(test_any_shape),
        cmocka_unit_test(test_a_patch_is_clipped_on_the_edge_only),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

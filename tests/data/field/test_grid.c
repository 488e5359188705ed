#include "base/room.h"
#include "support/shapes.h"

#include <time.h>

#include "fieldfoci/grid.h"

static const foci_point far_away = {500017.375, 5237891.625};

static double draw(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 16777216.0;
}

/* The plain twin: a ring clipped to the cell's four sides (Sutherland & Hodgman 1974, Communications of the ACM
 * 17:32-42). A concave ring gives coinciding edges, which do not change the area. */
static size_t clip_side(foci_point *to, const foci_point *from, size_t count, int axis, double limit, double sign) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        foci_point a = from[i], b = from[(i + 1) % count];
        double da = sign * ((axis == 0 ? a.x : a.y) - limit), db = sign * ((axis == 0 ? b.x : b.y) - limit);
        if (da >= 0)
            to[kept++] = a;
        if ((da >= 0) != (db >= 0))
            to[kept++] = (foci_point){a.x + (b.x - a.x) * da / (da - db), a.y + (b.y - a.y) * da / (da - db)};
    }
    return kept;
}

static double clipped_area(const foci_ring *ring, foci_point south_west, double cell) {
    static foci_point a[4000], b[4000];
    for (size_t i = 0; i < ring->count; i++)
        a[i] = (foci_point){ring->points[i].x - south_west.x, ring->points[i].y - south_west.y};
    size_t count = clip_side(b, a, ring->count, 0, 0, 1);
    count = clip_side(a, b, count, 0, cell, -1);
    count = clip_side(b, a, count, 1, 0, 1);
    count = clip_side(a, b, count, 1, cell, -1);
    double twice = 0;
    for (size_t i = 0; i < count; i++)
        twice += a[i].x * a[(i + 1) % count].y - a[(i + 1) % count].x * a[i].y;
    return fabs(twice) / 2;
}

static double plain_share(const foci_multipolygon *field, const foci_grid *grid, size_t index) {
    foci_point corner = foci_grid_centre(grid, index);
    corner.x -= grid->cell / 2;
    corner.y -= grid->cell / 2;
    double area = 0;
    for (size_t p = 0; p < field->count; p++)
        for (size_t r = 0; r < field->polygons[p].count; r++)
            area += (r == 0 ? 1 : -1) * clipped_area(&field->polygons[p].rings[r], corner, grid->cell);
    return area / (grid->cell * grid->cell);
}

static double covered_area(const foci_grid *grid) {
    double sum = 0;
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        sum += grid->share[i];
    return sum * grid->cell * grid->cell;
}

static void check_against_twin(const foci_multipolygon *field, double cell) {
    foci_error err = {0};
    foci_grid grid = {0};
    assert_done(foci_grid_over_field(&grid, field, cell, NAN, &err), err);
    size_t cells = 0, whole = 0;
    for (size_t i = 0; i < grid.columns * grid.rows; i++) {
        assert_near(grid.share[i], plain_share(field, &grid, i), 3e-9);
        cells += grid.share[i] > 0;
        whole += grid.share[i] == 1;
    }
    assert_int_equal(grid.cells, cells);
    assert_true(whole > 0 && whole < cells);
    assert_near(covered_area(&grid) / foci_multipolygon_area(field), 1, 1e-9);
    foci_grid_free(&grid);
}

static void test_shares_with_hole_and_parts(void **state) {
    (void)state;
    const foci_point shifts[] = {{0, 0}, {0.5, -0.125}, {-20.375, -11}, far_away};
    for (size_t i = 0; i < sizeof shifts / sizeof *shifts; i++) {
        foci_multipolygon field = make_shape(plain_rings, shifts[i]);
        check_against_twin(&field, 1);
        check_against_twin(&field, 2.5);
        check_against_twin(&field, 0.7);
        foci_multipolygon_free(&field);
    }
}

/* A star with `count` corners, in and out by turns, so concave everywhere; `radius` of its outer corners. */
static void make_star(foci_point *points, size_t count, double radius, bool clockwise, unsigned seed) {
    for (size_t i = 0; i < count; i++) {
        double angle = (clockwise ? -2 : 2) * acos(-1) * (double)i / (double)count + 0.01;
        double r = radius * (i % 2 ? 0.55 + 0.2 * draw(&seed) : 0.8 + 0.2 * draw(&seed));
        points[i] = (foci_point){r * cos(angle), r * sin(angle)};
    }
}

static void test_shares_of_concave_rings(void **state) {
    (void)state;
    foci_point outer[120], hole[38];
    make_star(outer, 120, 150, false, 4u);
    make_star(hole, 38, 60, true, 5u);
    const plain_ring rings[] = {RING(0, outer), RING(0, hole), {0}};
    const plain_ring turned[] = {RING(0, hole), {0}}; /* an outer ring that runs clockwise */
    foci_multipolygon field = make_shape(rings, far_away), small = make_shape(turned, far_away);
    check_against_twin(&field, 5);
    check_against_twin(&field, 3.3);
    check_against_twin(&small, 4);
    foci_multipolygon_free(&small);
    foci_multipolygon_free(&field);
}

/* Cell by cell, by hand: a triangle of 3 x 2 cells with corners on the cells' corners. */
static void test_known_shares(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = {0};
    const foci_point triangle[] = {{0, 0}, {30, 0}, {0, 20}};
    const plain_ring rings[] = {RING(0, triangle), {0}};
    foci_multipolygon field = make_shape(rings, (foci_point){0, 0});
    assert_done(foci_grid_over_field(&grid, &field, 10, NAN, &err), err);
    assert_int_equal(grid.columns, 3);
    assert_int_equal(grid.rows, 2);
    assert_true(grid.west == 0 && grid.north == 20);
    /* North row: under the line 2 - 2x/3 less 1; south row: that line, at most 1. */
    const double shares[] = {2 / 3.0, 1 / 12.0, 0, 1, 11 / 12.0, 1 / 3.0};
    for (size_t i = 0; i < 6; i++)
        assert_near(grid.share[i], shares[i], 1e-14);
    assert_true(grid.share[2] == 0 && grid.share[3] == 1);
    assert_int_equal(grid.cells, 5);
    foci_grid_free(&grid);
    foci_grid_free(&grid);
    foci_multipolygon_free(&field);
}

static void test_parts_that_overlap_count_once(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = {0};
    const foci_point other[] = {{10, 10}, {30, 10}, {30, 20}, {10, 20}};
    const plain_ring rings[] = {RING(0, plain_field), RING(1, other), {0}};
    foci_multipolygon field = make_shape(rings, (foci_point){0, 0});
    assert_done(foci_grid_over_field(&grid, &field, 5, NAN, &err), err);
    for (size_t i = 0; i < grid.columns * grid.rows; i++)
        assert_true(grid.share[i] == 1);
    foci_grid_free(&grid);
    foci_multipolygon_free(&field);
}

static void test_grid_covers_the_box_in_whole_cells(void **state) {
    (void)state;
    foci_multipolygon field = make_shape(plain_rings, far_away);
    foci_box box = foci_multipolygon_box(&field);
    const double cells[] = {0.3, 0.5, 1, 2.5, 7, 45, 1000};
    for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
        foci_error err = {0};
        foci_grid grid = {0};
        assert_done(foci_grid_over_field(&grid, &field, cells[i], NAN, &err), err);
        double east = grid.west + (double)grid.columns * grid.cell, south = grid.north - (double)grid.rows * grid.cell;
        assert_near(grid.west / grid.cell, round(grid.west / grid.cell), 1e-9);
        assert_near(grid.north / grid.cell, round(grid.north / grid.cell), 1e-9);
        assert_true(grid.west <= box.west + 1e-6 && east >= box.east - 1e-6);
        assert_true(grid.north >= box.north - 1e-6 && south <= box.south + 1e-6);
        assert_true(box.west - grid.west < cells[i] && east - box.east < cells[i] + 1e-6);
        assert_near(covered_area(&grid) / PLAIN_AREA, 1, 1e-9);
        foci_grid_free(&grid);
    }
    foci_multipolygon_free(&field);
}

static double chosen_cell(const foci_multipolygon *field, double spacing) {
    foci_error err = {0};
    foci_grid grid = {0};
    assert_done(foci_grid_over_field(&grid, field, 0, spacing, &err), err);
    double cell = grid.cell;
    assert_true(grid.columns * grid.rows <= 250000);
    foci_grid_free(&grid);
    return cell;
}

static void test_chosen_cell(void **state) {
    (void)state;
    const foci_point square[] = {{0, 0}, {600, 0}, {600, 600}, {0, 600}};
    const plain_ring rings[] = {RING(0, square), {0}};
    foci_multipolygon field = make_shape(rings, far_away);
    assert_true(chosen_cell(&field, 29.9) == 2); /* 1.99 allows 1, but a million cells would be too many */
    assert_true(chosen_cell(&field, 30) == 2);   /* a fifteenth is 2 */
    assert_true(chosen_cell(&field, 74.9) == 2); /* 4.99 */
    assert_true(chosen_cell(&field, 75) == 5);
    assert_true(chosen_cell(&field, 149) == 5);
    assert_true(chosen_cell(&field, 150) == 10);
    assert_true(chosen_cell(&field, NAN) == 2); /* 600 / 10 / 15 = 4 */
    assert_true(chosen_cell(&field, 0) == 2);   /* as where it is not known */
    assert_true(chosen_cell(&field, INFINITY) == 2);
    assert_true(chosen_cell(&field, 1e-200) == 2); /* 601 x 601 cells of 1 m are too many, 301 x 301 of 2 m are not */
    foci_multipolygon_free(&field);
    foci_multipolygon small = make_shape(plain_rings, far_away);
    assert_true(chosen_cell(&small, 7.6) == 0.5);
    assert_true(chosen_cell(&small, 3.3) == 0.2);
    assert_true(chosen_cell(&small, 0.99) == 0.1); /* 0.05 would be allowed, but not its 720,000 cells */
    foci_multipolygon_free(&small);
}

static void hear(void *context, const char *text) {
    snprintf(context, 200, "%s", text);
}

/* 61 x 31 cells of 1 m, as if each took a megabyte and as if each took a terabyte. */
static void test_memory_is_told_and_held_to(void **state) {
    (void)state;
    foci_error err = {0};
    char heard[200] = "";
    const foci_execution how = {.teller = {.say = hear, .context = heard}};
    foci_multipolygon field = make_shape(plain_rings, far_away);
    assert_true(foci_memory_room() > 2e9); /* less would fail the next line */
    assert_done(foci_grid_fits(&field, 1, 1e6, &how, &err), err);
    assert_string_equal(heard,
                        "cells of 1 m are 0.00189 million over the field's box and take about 1.89 GB of memory");
    heard[0] = '\0';
    assert_done(foci_grid_fits(&field, 1, 5e5, &how, &err), err);
    assert_string_equal(heard, "");
    assert_done(foci_grid_fits(&field, 1, 1e6, NULL, &err), err);
    assert_fails(foci_grid_fits(&field, 1, 1e12, &how, &err), err, FOCI_BAD_SETTING, "take about 1.89e+03 TB");
    assert_non_null(strstr(err.text, " GB are free"));
    assert_string_equal(heard, "");
    foci_multipolygon_free(&field);
}

static void test_wrong_cells_are_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = {.cell = 77};
    foci_multipolygon field = make_shape(plain_rings, far_away), none = {0};
    const double wrong[] = {-2.5, NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        assert_fails(foci_grid_over_field(&grid, &field, wrong[i], NAN, &err), err, FOCI_BAD_SETTING, "meters above 0");
        assert_string_equal(err.key, "cell");
    }
    /* 60 x 30 m in cells of 1 mm: 1800 million, at 105 bytes 189 GB; 5 mm gives 72 million. */
    assert_fails(foci_grid_over_field(&grid, &field, 0.001, NAN, &err), err, FOCI_BAD_SETTING, "1.8e+03 million");
    assert_non_null(strstr(err.text, "189 GB"));
    assert_non_null(strstr(err.text, " m would do"));
    assert_string_equal(err.key, "cell");
    assert_fails(foci_grid_over_field(&grid, &field, 1e-9, NAN, &err), err, FOCI_BAD_SETTING, "TB");
    assert_fails(foci_grid_over_field(&grid, &field, 1e-306, NAN, &err), err, FOCI_BAD_SETTING, "would do");
    assert_fails(foci_grid_over_field(&grid, &field, 1e9, NAN, &err), err, FOCI_BAD_SETTING, "too large");
    assert_fails(foci_grid_over_field(&grid, &none, 5, NAN, &err), err, FOCI_BAD_INPUT, "no area");
    assert_true(grid.cell == 77 && !grid.share);
    foci_multipolygon_free(&field);
}

static void test_find_and_centre_belong_together(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = {0};
    foci_multipolygon field = make_shape(plain_rings, far_away);
    assert_done(foci_grid_over_field(&grid, &field, 2.5, NAN, &err), err);
    size_t last = grid.columns * grid.rows - 1;
    for (size_t i = 0; i <= last; i++)
        assert_int_equal(foci_grid_find(&grid, foci_grid_centre(&grid, i)), i);
    foci_point centre = foci_grid_centre(&grid, grid.columns + 3); /* second row from the north, fourth column */
    assert_near(centre.x, grid.west + 8.75, 1e-9);
    assert_near(centre.y, grid.north - 3.75, 1e-9);
    double east = grid.west + (double)grid.columns * 2.5, south = grid.north - (double)grid.rows * 2.5;
    assert_int_equal(foci_grid_find(&grid, (foci_point){grid.west, grid.north}), 0);
    assert_int_equal(foci_grid_find(&grid, (foci_point){east, south}), last); /* the outer border belongs to the grid */
    const foci_point outside[] = {{grid.west - 0.01, centre.y}, {east + 0.01, centre.y}, {centre.x, grid.north + 0.01},
                                  {centre.x, south - 0.01},     {NAN, centre.y},         {centre.x, INFINITY}};
    for (size_t i = 0; i < sizeof outside / sizeof *outside; i++)
        assert_true(foci_grid_find(&grid, outside[i]) == (size_t)-1);
    foci_grid_free(&grid);
    foci_multipolygon_free(&field);
}

/* A quarter of a million cells and a boundary of 600 corners: some milliseconds; the limit leaves room for slow
 * machines and sanitizers, yet not for clipping every cell. */
static void test_large_grid_is_quick(void **state) {
    (void)state;
    foci_error err = {0};
    foci_grid grid = {0};
    static foci_point outer[600];
    make_star(outer, 600, 1000, false, 9u);
    const plain_ring rings[] = {RING(0, outer), {0}};
    foci_multipolygon field = make_shape(rings, far_away);
    clock_t start = clock();
    assert_done(foci_grid_over_field(&grid, &field, 4, NAN, &err), err);
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    assert_true(grid.columns * grid.rows > 230000);
    assert_true(seconds < 0.2);
    assert_near(covered_area(&grid) / foci_multipolygon_area(&field), 1, 1e-9);
    foci_grid_free(&grid);
    foci_multipolygon_free(&field);
}

static bool make_grid(foci_error *err) {
    static foci_point points[] = {{0, 0}, {8, 0}, {8, 5}};
    foci_ring ring = {3, points};
    foci_polygon polygon = {1, &ring};
    foci_multipolygon field = {1, &polygon};
    foci_grid grid = {0};
    bool ok = foci_grid_over_field(&grid, &field, 0.5, NAN, err);
    foci_grid_free(&grid);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(make_grid);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shares_with_hole_and_parts),
        cmocka_unit_test(test_shares_of_concave_rings),
        cmocka_unit_test(test_known_shares),
        cmocka_unit_test(test_parts_that_overlap_count_once),
        cmocka_unit_test(test_grid_covers_the_box_in_whole_cells),
        cmocka_unit_test(test_chosen_cell),
        cmocka_unit_test(test_memory_is_told_and_held_to),
        cmocka_unit_test(test_wrong_cells_are_refused),
        cmocka_unit_test(test_find_and_centre_belong_together),
        cmocka_unit_test(test_large_grid_is_quick),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

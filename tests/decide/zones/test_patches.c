#include "decide/zones/patches.h"

#include "data/places/overlay.h"
#include "support/support.h"

enum { COLUMNS_MOST = 40, CELLS_MOST = 40 * 40 };

static uint32_t next_random(uint32_t *state) { /* Park and Miller (1988) */
    *state = (uint32_t)((uint64_t)*state * 48271u % 2147483647u);
    return *state;
}

/* The plain twin: every cell takes its neighbours' least number until nothing changes, then numbers close up. */
static size_t label_plainly(int *label, const signed char *class_of_cell, int columns, int rows) {
    for (int i = 0; i < columns * rows; i++)
        label[i] = class_of_cell[i] < 0 ? -1 : i;
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < columns * rows; i++) {
            const int near[4] = {i % columns > 0 ? i - 1 : i, i % columns < columns - 1 ? i + 1 : i,
                                 i >= columns ? i - columns : i, i < columns * (rows - 1) ? i + columns : i};
            for (int k = 0; k < 4; k++) {
                if (class_of_cell[i] >= 0 && class_of_cell[near[k]] == class_of_cell[i] && label[near[k]] < label[i]) {
                    label[i] = label[near[k]];
                    changed = true;
                }
            }
        }
    }
    int count = 0, number[CELLS_MOST];
    for (int i = 0; i < columns * rows; i++) {
        if (label[i] < 0)
            continue;
        if (label[i] == i)
            number[i] = count++;
        label[i] = number[label[i]];
    }
    return (size_t)count;
}

static void random_classes(signed char *class_of_cell, size_t cells, int classes, uint32_t *state) {
    for (size_t i = 0; i < cells; i++)
        class_of_cell[i] = (signed char)((int)(next_random(state) >> 8) % (classes + 1) - 1);
}

static void test_labels_equal_the_plain_twin(void **unused) {
    (void)unused;
    static signed char class_of_cell[CELLS_MOST];
    static int label[CELLS_MOST], plain[CELLS_MOST];
    uint32_t state = 1729;
    for (int round = 0; round < 60; round++) {
        foci_error err = {0};
        foci_grid grid = {.cell = 1,
                          .columns = 1 + next_random(&state) % COLUMNS_MOST,
                          .rows = 1 + next_random(&state) % COLUMNS_MOST};
        size_t count = 99;
        random_classes(class_of_cell, grid.columns * grid.rows, 1 + round % 3, &state);
        assert_done(foci_patches_label(label, &count, class_of_cell, &grid, &err), err);
        assert_int_equal(count, label_plainly(plain, class_of_cell, (int)grid.columns, (int)grid.rows));
        assert_memory_equal(label, plain, grid.columns * grid.rows * sizeof *label);
    }
}

/* The plain twin: all cells of the grid for each cell. */
static double widest_plainly(const double *value, const foci_grid *grid, size_t cell, double radius) {
    double most = -INFINITY;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        double across = fabs((double)(i % grid->columns) - (double)(cell % grid->columns));
        double down = fabs((double)(i / grid->columns) - (double)(cell / grid->columns));
        across = fmax(0, across - 0.5) * grid->cell;
        down = fmax(0, down - 0.5) * grid->cell;
        if (across * across + down * down <= radius * radius)
            most = fmax(most, value[i]);
    }
    return most;
}

static void test_widening_equals_the_plain_twin(void **unused) {
    (void)unused;
    static double value[CELLS_MOST], widened[CELLS_MOST];
    static const double radii[] = {0, 1.2, 1.25, 2.385, 6.1, 17.3, 1e9};
    uint32_t state = 271;
    for (int round = 0; round < 70; round++) {
        foci_error err = {0};
        const double radius = radii[round % 7];
        foci_grid grid = {.cell = 2.5,
                          .columns = 1 + next_random(&state) % COLUMNS_MOST,
                          .rows = 1 + next_random(&state) % COLUMNS_MOST};
        for (size_t i = 0; i < grid.columns * grid.rows; i++)
            value[i] = next_random(&state) % 3 == 0 ? (double)(next_random(&state) % 97) / 97 : -INFINITY;
        assert_done(foci_patches_widen(widened, value, radius, &grid, &err), err);
        for (size_t i = 0; i < grid.columns * grid.rows; i++)
            assert_true(widened[i] == widest_plainly(value, &grid, i, radius));
    }
}

/* '#' is class 0, letters are classes of their own, '.' is none. */
static foci_grid draw(signed char *class_of_cell, const char *const *rows) {
    foci_grid grid = {.west = 1000, .north = 5000, .cell = 2.5, .columns = strlen(rows[0])};
    for (; rows[grid.rows]; grid.rows++)
        for (size_t x = 0; x < grid.columns; x++) {
            char c = rows[grid.rows][x];
            class_of_cell[grid.rows * grid.columns + x] = (signed char)(c == '.' ? -1 : c == '#' ? 0 : c - 'a' + 1);
        }
    return grid;
}

static foci_multipolygon outline_all(const char *const *rows, size_t patches) {
    foci_error err = {0};
    signed char class_of_cell[CELLS_MOST];
    int label[CELLS_MOST];
    size_t count = 0;
    foci_multipolygon shape = {0};
    foci_grid grid = draw(class_of_cell, rows);
    assert_done(foci_patches_label(label, &count, class_of_cell, &grid, &err), err);
    assert_int_equal(count, patches);
    assert_done(foci_patches_outlines(&shape, label, count, &grid, &err), err);
    assert_int_equal(shape.count, patches);
    return shape;
}

static void test_outline_keeps_every_corner(void **unused) {
    (void)unused;
    static const char *const rows[] = {"....", ".#..", ".##.", NULL};
    static const foci_point corners[] = {{1005, 4997.5}, {1002.5, 4997.5}, {1002.5, 4995}, {1002.5, 4992.5},
                                         {1005, 4992.5}, {1007.5, 4992.5}, {1007.5, 4995}, {1005, 4995}};
    foci_multipolygon shape = outline_all(rows, 1);
    assert_int_equal(shape.polygons[0].count, 1);
    assert_int_equal(shape.polygons[0].rings[0].count, 8);
    assert_memory_equal(shape.polygons[0].rings[0].points, corners, sizeof corners);
    foci_multipolygon_free(&shape);
}

/* Where cells touch only at a corner a careless walk gives rings that meet themselves. */
static void test_corners_that_touch_stay_valid(void **unused) {
    (void)unused;
    static const struct {
        const char *rows[6];
        size_t patches, rings; /* rings of the first patch */
    } cases[] = {
        {{".##", "#.#", "###"}, 1, 2},                         /* a hole that touches the outer ring */
        {{"#####", "#.###", "##.##", "#####"}, 1, 3},          /* two holes that touch */
        {{"#####", "#.#.#", "##.##", "#.#.#", "#####"}, 1, 6}, /* a hole that touches four others */
        {{"#.", ".#"}, 2, 1},                                  /* two patches that touch */
        {{"##.", "#.#", "###"}, 1, 2},
        {{"#b", "b#"}, 4, 1},
        {{"###", "#b#", "###"}, 2, 2}, /* a patch in another's hole */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_multipolygon shape = outline_all(cases[i].rows, cases[i].patches);
        assert_int_equal(shape.polygons[0].count, cases[i].rings);
        for (size_t k = 0; k < shape.count; k++)
            assert_true(foci_overlay_valid(&(foci_multipolygon){1, &shape.polygons[k]}));
        foci_multipolygon_free(&shape);
    }
}

static double ring_area(const foci_ring *ring) {
    double twice = 0;
    for (size_t i = 0; i < ring->count; i++) {
        foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
        twice += (a.x - 1000) * (b.y - 5000) - (b.x - 1000) * (a.y - 5000);
    }
    return twice / 2;
}

static void assert_ring_follows_cells(const foci_ring *ring, const foci_grid *grid) {
    for (size_t i = 0; i < ring->count; i++) {
        foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
        assert_true(fabs(a.x - b.x) + fabs(a.y - b.y) == grid->cell); /* 2.5 m is exact in binary */
    }
}

static void assert_patch_is_outlined(const foci_polygon *polygon, int wanted, const int *label, const foci_grid *grid) {
    const foci_multipolygon patch = {1, (foci_polygon *)polygon};
    assert_true(foci_overlay_valid(&patch));
    for (size_t r = 0; r < polygon->count; r++) {
        assert_true(r == 0 ? ring_area(&polygon->rings[r]) > 0 : ring_area(&polygon->rings[r]) < 0);
        assert_ring_follows_cells(&polygon->rings[r], grid);
    }
    double area = 0;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        foci_point centre = foci_grid_centre(grid, i);
        assert_int_equal(foci_multipolygon_contains(&patch, centre), label[i] == wanted);
        area += label[i] == wanted ? grid->cell * grid->cell : 0;
    }
    assert_near(foci_multipolygon_area(&patch), area, 1e-6);
}

static void test_random_masks_are_outlined(void **unused) {
    (void)unused;
    static signed char class_of_cell[CELLS_MOST];
    static int label[CELLS_MOST];
    uint32_t state = 46341;
    for (int round = 0; round < 40; round++) {
        foci_error err = {0};
        foci_grid grid = {.west = 1000,
                          .north = 5000,
                          .cell = 2.5,
                          .columns = 1 + next_random(&state) % 25,
                          .rows = 1 + next_random(&state) % 25};
        size_t count = 0;
        foci_multipolygon shape = {0};
        random_classes(class_of_cell, grid.columns * grid.rows, 1 + round % 3, &state);
        assert_done(foci_patches_label(label, &count, class_of_cell, &grid, &err), err);
        assert_done(foci_patches_outlines(&shape, label, count, &grid, &err), err);
        for (size_t i = 0; i < count; i++)
            assert_patch_is_outlined(&shape.polygons[i], (int)i, label, &grid);
        foci_multipolygon_free(&shape);
    }
}

static void test_one_label_alone(void **unused) {
    (void)unused;
    foci_error err = {0};
    const int label[] = {7, 3, 7, 3, 7, 3, 7, 7, 3};
    const foci_grid grid = {.west = 1000, .north = 5000, .cell = 2.5, .columns = 3, .rows = 3};
    foci_multipolygon shape = {0};
    assert_done(foci_patches_outline(&shape, label, 7, &grid, &err), err);
    assert_int_equal(shape.count, 3); /* two corners, and the middle joined to the south */
    assert_near(foci_multipolygon_area(&shape), 5 * 6.25, 1e-9);
    assert_true(foci_overlay_valid(&shape));
    foci_multipolygon_free(&shape);
    assert_done(foci_patches_outline(&shape, label, 12, &grid, &err), err);
    assert_int_equal(shape.count, 0);
    foci_multipolygon_free(&shape);
}

static void test_too_many_cells_are_refused(void **unused) {
    (void)unused;
    foci_error err;
    size_t count = 0;
    const foci_grid grid = {.cell = 1, .columns = 100000, .rows = 100000};
    assert_fails(foci_patches_label(NULL, &count, NULL, &grid, &err), err, FOCI_BAD_SETTING, "larger cell");
}

static bool attempt(foci_error *err) {
    const int label[] = {1, 1, 1, 1, 2, 1, 1, 1, 1};
    const foci_grid grid = {.cell = 1, .columns = 3, .rows = 3};
    foci_multipolygon shape = {0};
    if (!foci_patches_outline(&shape, label, 1, &grid, err)) {
        assert_null(shape.polygons);
        return false;
    }
    foci_multipolygon_free(&shape);
    return true;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_labels_equal_the_plain_twin), cmocka_unit_test(test_widening_equals_the_plain_twin),
        cmocka_unit_test(test_outline_keeps_every_corner),  cmocka_unit_test(test_corners_that_touch_stay_valid),
        cmocka_unit_test(test_random_masks_are_outlined),   cmocka_unit_test(test_one_label_alone),
        cmocka_unit_test(test_too_many_cells_are_refused),  cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/support.h"

#include "decide/seasons/persistence_cells.h"

/* Whatever the shape: no more than 600 cells, not fewer than 400 where there are so many, areas and the centre of the
 * field kept, each place inside its block. */
static void check_shape(size_t columns, size_t rows, bool round) {
    size_t count = columns * rows, used = 0;
    double *share = calloc(count, sizeof *share), area = 0, east = 0, sum = 0, coarse_east = 0;
    for (size_t i = 0; i < count; i++) {
        double x = 2.0 * (double)(i % columns) / (double)columns - 1,
               y = 2.0 * (double)(i / columns) / (double)rows - 1;
        share[i] = round && hypot(x, y) > 0.95 ? 0 : 0.25 + 0.75 * (double)(i % 2);
        used += share[i] > 0;
        area += share[i];
        east += share[i] * (700 + 3 * ((double)(i % columns) + 0.5));
    }
    foci_grid grid = {
        .west = 700, .north = 90, .cell = 3, .columns = columns, .rows = rows, .share = share, .cells = used};
    foci_coarse_cells cells = {0};
    foci_error err = {0};
    assert_done(foci_coarse_cells_make(&cells, &grid, 12.375, &err), err);
    assert_in_range(cells.count, used < FOCI_COARSE_LEAST ? used : FOCI_COARSE_LEAST, FOCI_COARSE_MOST);
    if (used <= FOCI_COARSE_MOST)
        assert_int_equal(cells.count, used);
    for (size_t k = 0; k < cells.count; k++) {
        assert_true(cells.area[k] > 0);
        sum += cells.area[k];
        coarse_east += cells.area[k] * cells.places[k].x;
        assert_true(foci_grid_find(&grid, cells.places[k]) < count);
    }
    assert_near(sum, 12.375, 1e-9);
    assert_near(coarse_east / sum, east / area, 1e-8);
    foci_coarse_cells_free(&cells);
    foci_coarse_cells_free(&cells);
    free(share);
}

static void test_blocks_of_many_shapes(void **state) {
    (void)state;
    check_shape(1, 1, false);
    check_shape(20, 30, false);
    check_shape(25, 25, false);
    check_shape(250, 250, false);
    check_shape(250, 250, true);
    check_shape(611, 97, true);
    check_shape(4000, 3, false);
    check_shape(2, 1501, false);
}

static void test_a_field_without_cells_is_refused(void **state) {
    (void)state;
    double share[] = {0};
    foci_grid grid = {.cell = 2, .columns = 1, .rows = 1, .share = share};
    foci_coarse_cells cells = {0};
    foci_error err = {0};
    assert_fails(foci_coarse_cells_make(&cells, &grid, 1, &err), err, FOCI_BAD_INPUT, "no cell");
}

static bool attempt(foci_error *err) {
    double share[] = {1, 0.5};
    foci_grid grid = {.cell = 2, .columns = 2, .rows = 1, .share = share, .cells = 2};
    foci_coarse_cells cells = {0};
    bool ok = foci_coarse_cells_make(&cells, &grid, 1, err);
    foci_coarse_cells_free(&cells);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_blocks_of_many_shapes),
        cmocka_unit_test(test_a_field_without_cells_is_refused),
        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

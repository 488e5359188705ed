#include "support/support.h"

#include "estimate/space/nodes.h"

enum { COLUMNS = 11, ROWS = 8 };

static foci_grid make_grid(double *share) {
    foci_grid grid = {.west = 420, .north = 960, .cell = 4, .columns = COLUMNS, .rows = ROWS, .share = share};
    for (size_t i = 0; i < (size_t)COLUMNS * ROWS; i++) {
        share[i] = i % COLUMNS + i / COLUMNS < 9 ? 0.75 : 0; /* a triangle in the north-west */
        grid.cells += share[i] > 0;
    }
    return grid;
}

/* Bilinear interpolation gives back a x + b y + c x y. */
static double plane(foci_point p) {
    return 0.3 * p.x - 1.7 * p.y + 0.011 * p.x * p.y;
}

static void test_products_of_straight_lines_come_back(void **state) {
    (void)state;
    double share[COLUMNS * ROWS];
    foci_grid grid = make_grid(share);
    for (size_t step = 1; step <= 5; step++) {
        foci_nodes nodes = {0};
        foci_error err = {0};
        assert_done(foci_nodes_make(&nodes, &grid, step, &err), err);
        assert_true(step > 1 ? nodes.count < grid.cells : nodes.count >= grid.cells);
        for (size_t cell = 0; cell < (size_t)COLUMNS * ROWS; cell++) {
            if (!(share[cell] > 0))
                continue;
            foci_nodes_four four = foci_nodes_around(&nodes, &grid, cell);
            double sum = 0, weights = 0;
            for (int i = 0; i < 4; i++) {
                assert_true(four.place[i] < nodes.count && four.weight[i] >= 0);
                sum += four.weight[i] * plane(nodes.places[four.place[i]]);
                weights += four.weight[i];
            }
            assert_near(weights, 1, 1e-15);
            assert_near(sum, plane(foci_grid_centre(&grid, cell)), 1e-8);
        }
        foci_nodes_free(&nodes);
        foci_nodes_free(&nodes);
    }
}

static bool attempt(foci_error *err) {
    double share[COLUMNS * ROWS];
    foci_grid grid = make_grid(share);
    foci_nodes nodes = {0};
    bool ok = foci_nodes_make(&nodes, &grid, 3, err);
    foci_nodes_free(&nodes);
    return ok;
}

static void test_each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_products_of_straight_lines_come_back),
        cmocka_unit_test(test_each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

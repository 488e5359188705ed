/* Smooth methods are worked on a coarser lattice: what that loses against working every cell. docs/surface.md states
 * the numbers. */
#include "support/surface_model.h"

#include "estimate/space/nodes.h"

enum { STOPS = 60, COLUMNS = 240, ROWS = 180, CELLS = COLUMNS * ROWS };

/* One hot corner in a field of 240 x 180 m; counts of 25. */
static foci_readings counts_of(foci_point *places, double *hits, double *checked, double *values) {
    uint64_t seed = 20260825;
    for (size_t i = 0; i < STOPS; i++) {
        places[i] = (foci_point){240 * support_random(&seed), 180 * support_random(&seed)};
        double near = exp(-hypot(places[i].x - 60, places[i].y - 50) / 35);
        checked[i] = 25;
        hits[i] = 0;
        for (int plant = 0; plant < 25; plant++)
            hits[i] += support_random(&seed) < 0.02 + 0.6 * near;
        values[i] = 100 * hits[i] / 25;
    }
    return (foci_readings){.count = STOPS, .places = places, .values = values, .hits = hits, .checked = checked};
}

typedef struct {
    double most, squares;
    size_t count;
} difference;

/* Between two layers, over the cells inside the field. */
static difference between(const double *a, const double *b, const foci_grid *grid) {
    difference d = {0};
    for (size_t i = 0; i < CELLS; i++) {
        if (grid->share[i] == 0) {
            assert_near(a[i], NAN, 0);
            assert_near(b[i], NAN, 0);
            continue;
        }
        d.most = fmax(d.most, fabs(a[i] - b[i]));
        d.squares += (a[i] - b[i]) * (a[i] - b[i]);
        d.count++;
    }
    assert_int_equal(d.count, grid->cells);
    return d;
}

/* Root mean square and largest difference, in the layer's unit; they must not be nothing, or the maps would be one and
 * the same. */
static void assert_small(const char *what, difference d, double rms, double most) {
    double found = sqrt(d.squares / (double)d.count);
    print_message("%s: rms %.4g, at most %.4g\n", what, found, d.most);
    assert_true(found > 0 && found < rms);
    assert_true(d.most < most);
}

static foci_surface_model fitted(const foci_readings *readings) {
    foci_surface_options options = {.method = foci_surface_method_find("counts"),
                                    .area = 240 * 180,
                                    .row_heading = NAN,
                                    .most = 100,
                                    .threshold = 10};
    foci_surface_model model = {0};
    foci_error err = {0};
    assert_done(foci_surface_fit(&model, readings, NULL, &options, HOW, &err), err);
    return model;
}

static void what_the_lattice_loses(void **state) {
    (void)state;
    foci_point places[STOPS];
    double hits[STOPS], checked[STOPS], values[STOPS];
    double *share = calloc(CELLS, sizeof *share);
    foci_readings readings = counts_of(places, hits, checked, values);
    foci_grid grid = {.west = 0, .north = 180, .cell = 1, .columns = COLUMNS, .rows = ROWS, .share = share};
    for (size_t i = 0; i < CELLS; i++)
        grid.cells += (share[i] = i % COLUMNS > 4) > 0;
    foci_surface_model model = fitted(&readings);
    foci_surface quick = {0}, whole = {0};
    foci_error err = {0};
    assert_done(foci_surface_estimate(&quick, &model, &grid, HOW, &err), err);
    foci_surface_method every_cell = *model.method;
    every_cell.on_nodes = false;
    model.method = &every_cell;
    assert_done(foci_surface_estimate(&whole, &model, &grid, HOW, &err), err);
    assert_int_equal(quick.nodes, 3);
    assert_int_equal(whole.nodes, 1);
    assert_small("mean, %", between(quick.estimate, whole.estimate, &grid), 0.01, 0.1);
    assert_small("low, %", between(quick.low, whole.low, &grid), 0.01, 0.15);
    assert_small("high, %", between(quick.high, whole.high, &grid), 0.0125, 0.1);
    assert_small("deviation, %", between(quick.deviation, whole.deviation, &grid), 0.004, 0.08);
    assert_small("chance", between(quick.chance, whole.chance, &grid), 0.0003, 0.005);
    foci_surface_free(&quick);
    foci_surface_free(&whole);
    foci_surface_model_free(&model);
    free(share);
}

static foci_surface_model held;

static bool attempt(foci_error *err) {
    enum { FEW = 12 * 9 };
    double share[FEW];
    foci_grid grid = {.west = 0, .north = 180, .cell = 1, .columns = 12, .rows = 9, .cells = FEW, .share = share};
    for (size_t i = 0; i < FEW; i++)
        share[i] = 1;
    foci_surface surface = {0};
    bool ok = foci_surface_estimate(&surface, &held, &grid, HOW, err);
    if (ok)
        assert_int_equal(surface.nodes, 3);
    foci_surface_free(&surface);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    foci_point places[STOPS];
    double hits[STOPS], checked[STOPS], values[STOPS];
    foci_readings readings = counts_of(places, hits, checked, values);
    held = fitted(&readings);
    support_fail_each_allocation(attempt);
    foci_surface_model_free(&held);
}

static void steps_follow_the_spacing(void **state) {
    (void)state;
    assert_int_equal(foci_nodes_step(53, 2), 3);
    assert_int_equal(foci_nodes_step(53, 10), 1);
    assert_int_equal(foci_nodes_step(9000, 1), 64);
    assert_int_equal(foci_nodes_step(2, 1), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_lattice_loses),
        cmocka_unit_test(each_allocation_may_fail),
        cmocka_unit_test(steps_follow_the_spacing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

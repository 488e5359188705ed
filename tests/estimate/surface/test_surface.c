#include "support/surface_model.h"

#include "base/probability.h"

enum { COLUMNS = 9, ROWS = 6, CELLS = COLUMNS * ROWS };

/* 9 x 6 cells of 2 m around the seven samples; the first row lies outside, the second half inside. */
static foci_grid seven_grid(double *share) {
    foci_grid grid = {.west = 60, .north = 142, .cell = 2, .columns = COLUMNS, .rows = ROWS, .share = share};
    for (size_t i = 0; i < CELLS; i++) {
        share[i] = i < COLUMNS ? 0 : i < 2 * COLUMNS ? 0.5 : 1;
        grid.cells += share[i] > 0;
    }
    return grid;
}

static const foci_variogram *exponential(void) {
    static foci_variogram model = {.partial_sill = 10000, .range = 1 / 0.3, .ratio = 1};
    model.kind = foci_correlation_find("exponential");
    return &model;
}

static foci_surface_options options_for(const foci_surface_method *method) {
    return (foci_surface_options){.method = method,
                                  .variogram = method->needs_variogram ? exponential() : NULL,
                                  .power = 2,
                                  .least = 0,
                                  .most = INFINITY,
                                  .threshold = 600};
}

static foci_surface estimated(const foci_grid *grid, const foci_surface_options *options) {
    foci_readings seven = support_seven();
    foci_error err = {0};
    foci_surface surface = {0};
    assert_done(support_surface(&surface, &seven, grid, options, &err), err);
    return surface;
}

/* Every method of the catalogue: what it says at a cell is what it says at the cell's centre; outside there is nothing.
 */
static void test_cells_are_places(void **state) {
    (void)state;
    double share[CELLS];
    foci_grid grid = seven_grid(share);
    foci_readings seven = support_seven();
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++) {
        assert_ptr_equal(foci_surface_method_find(method->name), method);
        foci_surface_options options = options_for(method);
        foci_surface surface = estimated(&grid, &options);
        foci_surface_options own = support_options(&options);
        foci_surface_model model = {0};
        foci_error err = {0};
        assert_done(foci_surface_fit(&model, &seven, NULL, &own, HOW, &err), err);
        for (size_t i = 0; i < CELLS; i++) {
            double estimate = 0, variance = 0, low = 0, high = 0, chance = 0;
            const foci_prediction out = {&estimate, &variance, &low, &high, &chance};
            size_t column = i % COLUMNS, row = i / COLUMNS;
            foci_point centre = {61 + 2 * (double)column, 141 - 2 * (double)row};
            assert_done(foci_surface_at(&model, &centre, 1, &out, HOW, &err), err);
            bool outside = i < COLUMNS;
            assert_near(surface.estimate[i], outside ? NAN : estimate, 1e-9);
            if (!surface.deviation || !surface.low || !surface.high || !surface.chance) {
                assert_false(method->gives_variance);
                assert_null(surface.deviation);
                assert_null(surface.low);
                assert_null(surface.high);
                assert_null(surface.chance);
                continue;
            }
            assert_near(surface.deviation[i], outside ? NAN : sqrt(variance), 1e-9);
            assert_near(surface.low[i], outside ? NAN : fmax(0, low), 1e-9);
            assert_near(surface.high[i], outside ? NAN : high, 1e-9);
            assert_near(surface.chance[i], outside ? NAN : chance, 1e-9);
            /* a model taken as known: a normal error */
            if (outside || model.facts.components != 1 || method->needs_counts)
                continue;
            assert_near(low, estimate - 1.6448536269514722 * sqrt(variance), 1e-9);
            assert_near(high, estimate + 1.6448536269514722 * sqrt(variance), 1e-9);
            assert_near(chance, foci_exceedance(estimate, variance, 600), 1e-9);
        }
        foci_surface_model_free(&model);
        assert_int_equal(surface.clamped, 0);
        foci_surface_free(&surface);
        foci_surface_free(&surface);
    }
}

/* Plain twin of the summary. */
static void test_mean_is_weighted_by_share(void **state) {
    (void)state;
    double share[CELLS];
    foci_grid grid = seven_grid(share);
    foci_surface_options options = options_for(foci_surface_method_find("idw"));
    foci_surface surface = estimated(&grid, &options);
    double sum = 0, least = 1e9, most = 0;
    for (size_t i = COLUMNS; i < CELLS; i++) {
        sum += surface.estimate[i] * (i < 2 * COLUMNS ? 0.5 : 1);
        least = surface.estimate[i] < least ? surface.estimate[i] : least;
        most = surface.estimate[i] > most ? surface.estimate[i] : most;
    }
    assert_near(surface.mean, sum / (4.5 * COLUMNS), 1e-9);
    assert_near(surface.min, least, 0);
    assert_near(surface.max, most, 0);
    assert_near(surface.over, NAN, 0); /* no chances */
    foci_surface_free(&surface);
    options = options_for(foci_surface_method_find("kriging"));
    surface = estimated(&grid, &options);
    sum = 0;
    for (size_t i = COLUMNS; i < CELLS; i++)
        sum += surface.chance[i] * (i < 2 * COLUMNS ? 0.5 : 1);
    assert_true(sum > 0.1);
    assert_near(surface.over, sum / (4.5 * COLUMNS), 1e-12);
    foci_surface_free(&surface);
}

/* Estimate and bounds stay within [450, 620]; the chance comes from the estimate as it was. */
static void test_held_within_bounds(void **state) {
    (void)state;
    double share[CELLS];
    foci_grid grid = seven_grid(share);
    foci_surface_options options = options_for(foci_surface_method_find("kriging"));
    foci_surface free_one = estimated(&grid, &options);
    options.least = 450;
    options.most = 620;
    foci_surface held = estimated(&grid, &options);
    size_t changed = 0;
    for (size_t i = COLUMNS; i < CELLS; i++) {
        changed += free_one.estimate[i] < 450 || free_one.estimate[i] > 620;
        assert_near(held.estimate[i], fmin(620, fmax(450, free_one.estimate[i])), 0);
        assert_near(held.low[i], fmin(620, fmax(450, free_one.low[i])), 0);
        assert_near(held.high[i], fmin(620, fmax(450, free_one.high[i])), 0);
        assert_near(held.deviation[i], free_one.deviation[i], 0);
        assert_near(held.chance[i], free_one.chance[i], 0);
    }
    assert_true(changed > 3);
    assert_int_equal(held.clamped, changed);
    assert_true(held.max <= 620 && held.min >= 450);
    foci_surface_free(&free_one);
    foci_surface_free(&held);
}

static void test_no_threshold_no_chance(void **state) {
    (void)state;
    double share[CELLS];
    foci_grid grid = seven_grid(share);
    foci_surface_options options = options_for(foci_surface_method_find("kriging"));
    options.threshold = NAN;
    foci_surface surface = estimated(&grid, &options);
    assert_null(surface.chance);
    assert_non_null(surface.high);
    foci_surface_free(&surface);
}

static void test_find(void **state) {
    (void)state;
    assert_string_equal(foci_surface_method_find("Kriging")->title, "ordinary kriging");
    assert_null(foci_surface_method_find("splines"));
}

static void test_no_cell_inside(void **state) {
    (void)state;
    double share[CELLS] = {0};
    foci_grid grid = {.west = 60, .north = 142, .cell = 2, .columns = COLUMNS, .rows = ROWS, .share = share};
    foci_readings seven = support_seven();
    foci_surface_options options = options_for(foci_surface_method_find("idw"));
    foci_surface surface = {0};
    foci_error err = {0};
    assert_fails(support_surface(&surface, &seven, &grid, &options, &err), err, FOCI_BAD_INPUT, "inside the field");
    assert_null(surface.estimate);
}

static bool attempt(foci_error *err) {
    double share[CELLS];
    foci_grid grid = seven_grid(share);
    foci_readings seven = support_seven();
    foci_surface_options options = options_for(foci_surface_method_find("kriging"));
    foci_surface surface = {0};
    bool ok = support_surface(&surface, &seven, &grid, &options, err);
    foci_surface_free(&surface);
    return ok;
}

static void test_each_allocation(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cells_are_places),
        cmocka_unit_test(test_mean_is_weighted_by_share),
        cmocka_unit_test(test_held_within_bounds),
        cmocka_unit_test(test_no_threshold_no_chance),
        cmocka_unit_test(test_find),
        cmocka_unit_test(test_no_cell_inside),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Smooth methods are worked on a coarser lattice: what that loses against working every cell. */
#include "support/surface_model.h"

#include "estimate/surface_layers.h"

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

static void note(difference *between, double a, double b) {
    between->most = fmax(between->most, fabs(a - b));
    between->squares += (a - b) * (a - b);
    between->count++;
}

static double rms(const difference *between) {
    return sqrt(between->squares / (double)between->count);
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
    foci_surface_options options = {.method = foci_surface_method_find("counts"),
                                    .area = 240 * 180,
                                    .row_heading = NAN,
                                    .most = 100,
                                    .threshold = 10,
                                    .threads = 2};
    foci_surface_model model = {0};
    foci_surface surface = {0};
    foci_error err = {0};
    assert_done(foci_surface_model_fit(&model, &readings, &options, &err), err);
    assert_done(foci_surface_estimate(&surface, &model, &grid, &err), err);
    assert_int_equal(surface.lattice, 3);
    difference mean = {0}, chance = {0}, high = {0};
    for (size_t i = 0; i < CELLS; i += 29) {
        if (share[i] == 0) {
            assert_near(surface.estimate[i], NAN, 0);
            continue;
        }
        double m = 0, v = 0, l = 0, h = 0, c = 0;
        const foci_answers out = {&m, &v, &l, &h, &c};
        foci_point centre = foci_grid_centre(&grid, i);
        assert_done(model.method->at(model.state, &out, &centre, 1, &err), err);
        note(&mean, surface.estimate[i], m);
        note(&chance, surface.chance[i], c);
        note(&high, surface.high[i], h);
    }
    print_message("rms and largest loss: mean %.3f %.3f, chance %.4f %.4f, high %.3f %.3f (step %zu)\n", rms(&mean),
                  mean.most, rms(&chance), chance.most, rms(&high), high.most, surface.lattice);
    assert_true(rms(&mean) < 0.05 && mean.most < 0.5);
    assert_true(rms(&chance) < 0.001 && chance.most < 0.01);
    assert_true(rms(&high) < 0.05 && high.most < 0.5);
    foci_surface_free(&surface);
    foci_surface_model_free(&model);
    free(share);
}

static void steps_follow_the_spacing(void **state) {
    (void)state;
    assert_int_equal(foci_surface_lattice_step(53, 2), 3);
    assert_int_equal(foci_surface_lattice_step(53, 10), 1);
    assert_int_equal(foci_surface_lattice_step(9000, 1), 64);
    assert_int_equal(foci_surface_lattice_step(2, 1), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_lattice_loses),
        cmocka_unit_test(steps_follow_the_spacing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

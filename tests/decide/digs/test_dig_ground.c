#include "decide/digs/dig_choice.h"

#include "decide/digs/dig_scene.h"

/* Twin of the serpentine: sorted by strip, then along it, every other one backwards; rows run to the heading. */
static void test_serpentine(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_survey round = dig_scene("idw", 8, 6);
    static const double headings[] = {0, 90, 37, 200};
    for (size_t h = 0; h < 4; h++) {
        foci_dig_ground ground = {0};
        assert_done(foci_dig_ground_make(&ground, &round.grid, &round.field.shape, 5, &err), err);
        size_t count = ground.count;
        assert_done(foci_dig_ground_along_rows(&ground, &round.grid, headings[h], &err), err);
        assert_int_equal(ground.count, count);
        double east = sin(headings[h] * M_PI / 180), north = cos(headings[h] * M_PI / 180);
        int turns = 0, forward = 0;
        for (size_t i = 1; i < count; i++) {
            foci_point a = foci_grid_centre(&round.grid, ground.cells[i - 1]);
            foci_point b = foci_grid_centre(&round.grid, ground.cells[i]);
            double along = (b.x - a.x) * east + (b.y - a.y) * north, across = (b.x - a.x) * north - (b.y - a.y) * east;
            assert_true(across > -6 - 1e-9);
            if (across < 6 - 1e-9 && h < 2)
                assert_near(fabs(across), 0, 1e-9);
            int now = along > 0 ? 1 : -1;
            if (h < 2 && fabs(across) < 1e-9) {
                turns += forward != 0 && now != forward;
                forward = now;
            }
        }
        if (h == 1) /* rows run west to east: as many turns as rows of cells with ground, less one */
            assert_in_range(turns, 25, round.grid.rows);
        foci_dig_ground_free(&ground);
    }
    foci_survey_free(&round);
}

static foci_dig_choice choice_of(const foci_survey *round, const foci_dig_ground *ground, foci_dig_pick *picks,
                                 double *away) {
    for (size_t i = 0; i < ground->count; i++)
        away[i] = INFINITY;
    return (foci_dig_choice){.model = &round->model,
                             .surface = &round->surface,
                             .grid = &round->grid,
                             .hotspots = &round->hotspots,
                             .zones = &round->zones,
                             .ground = ground,
                             .spacing = 35,
                             .units = 20,
                             .picks = picks,
                             .away = away};
}

/* 6,000 draws of three: every leave cell comes up as often as any other, within five standard deviations; no cell twice
 * in one draw, nothing that is not to be left. */
static void test_outside_is_fair(void **unused) {
    (void)unused;
    enum { DRAWS = 6000 };
    foci_error err = {0};
    foci_survey round = dig_scene("kriging", 8, 14);
    foci_dig_ground ground = {0};
    static int times[5000];
    static double away[5000];
    size_t leave = 0, expected = 0;
    assert_done(foci_dig_ground_make(&ground, &round.grid, &round.field.shape, 5, &err), err);
    for (size_t i = 0; i < ground.count; i++)
        expected += round.zones.code[ground.cells[i]] == FOCI_ZONE_LEAVE;
    for (unsigned long seed = 0; seed < DRAWS; seed++) {
        foci_dig_pick picks[3];
        foci_dig_choice choice = choice_of(&round, &ground, picks, away);
        assert_done(foci_dig_choose_outside(&choice, 3, seed, 0, 20, &leave, &err), err);
        assert_int_equal(choice.count, 3);
        assert_int_equal(leave, expected);
        for (size_t k = 0; k < 3; k++) {
            assert_int_equal(round.zones.code[picks[k].cell], FOCI_ZONE_LEAVE);
            times[picks[k].cell]++;
            for (size_t j = 0; j < k; j++)
                assert_int_not_equal(picks[k].cell, picks[j].cell);
        }
    }
    double share = 3.0 / (double)leave, spread = sqrt(DRAWS * share * (1 - share));
    for (size_t i = 0; i < ground.count; i++)
        if (round.zones.code[ground.cells[i]] == FOCI_ZONE_LEAVE)
            assert_near(times[ground.cells[i]], DRAWS * share, 5 * spread);
    foci_dig_ground_free(&ground);
    foci_survey_free(&round);
}

/* The quick way to the ground against each cell measured. */
static void test_ground_by_hand(void **unused) {
    (void)unused;
    foci_error err = {0};
    static const double cells[] = {2.5, 5, 7, 20};
    for (size_t c = 0; c < 4; c++) {
        foci_survey round = dig_scene("idw", 8, cells[c]);
        foci_dig_ground ground = {0};
        size_t next = 0;
        assert_done(foci_dig_ground_make(&ground, &round.grid, &round.field.shape, 5, &err), err);
        for (size_t i = 0; i < round.grid.rows * round.grid.columns; i++) {
            foci_point place = foci_grid_centre(&round.grid, i);
            if (foci_multipolygon_contains(&round.field.shape, place) && to_edge(&round.field.shape, place) >= 5)
                assert_true(next < ground.count && ground.cells[next++] == i);
        }
        assert_int_equal(next, ground.count);
        foci_dig_ground_free(&ground);
        foci_survey_free(&round);
    }
}

/* Even targets: no more than asked for, and no ground farther from one than a square's diagonal. */
static void test_targets_are_even(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_survey round = dig_scene("idw", 8, 3);
    foci_dig_ground ground = {0}, spread = {0};
    assert_done(foci_dig_ground_make(&ground, &round.grid, &round.field.shape, 5, &err), err);
    static const size_t most[] = {1, 40, 500};
    for (size_t k = 0; k < 3; k++) {
        assert_done(foci_dig_ground_spread(&spread, &ground, &round.grid, most[k], &err), err);
        assert_true(spread.count <= most[k]);
        assert_true(10 * spread.count >= 6 * most[k]);
        double farthest = 0;
        for (size_t i = 0; i < ground.count; i++) {
            double nearest = INFINITY;
            for (size_t j = 0; j < spread.count; j++)
                nearest = fmin(nearest, apart(foci_grid_centre(&round.grid, ground.cells[i]),
                                              foci_grid_centre(&round.grid, spread.cells[j])));
            farthest = fmax(farthest, nearest);
        }
        double side = 3 * ceil(sqrt((double)ground.count / (double)most[k]) * 1.3);
        assert_true(farthest <= side * sqrt(2));
        foci_dig_ground_free(&spread);
    }
    assert_done(foci_dig_ground_spread(&spread, &ground, &round.grid, 100000, &err), err);
    assert_int_equal(spread.count, ground.count);
    foci_dig_ground_free(&spread);
    foci_dig_ground_free(&ground);
    foci_survey_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_serpentine),
        cmocka_unit_test(test_outside_is_fair),
        cmocka_unit_test(test_ground_by_hand),
        cmocka_unit_test(test_targets_are_even),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

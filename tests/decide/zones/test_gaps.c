#include "fieldfoci/gaps.h"
#include "fieldfoci/survey.h"

#include "support/scene.h"

/* A field of 300 x 200 m in cells of 10 m, whose stops stand on a net of 25 m in its west third. */
static foci_survey third_make(void) {
    static const foci_point outer[] = {{512340, 4205460}, {512640, 4205460}, {512640, 4205660}, {512340, 4205660}};
    foci_survey round = {0};
    foci_point places[4 * 8];
    foci_ring ring = scene_ring(outer, 4);
    for (size_t i = 0; i < 32; i++)
        places[i] = (foci_point){512351 + 25 * (double)(i % 4), 4205472 + 25 * (double)(i / 4)};
    scene_set_field(&round, scene_polygon(&ring, 1));
    scene_set_grid(&round, 512340, 4205660, 10, 30, 20);
    scene_set_readings(&round, places, 32);
    return round;
}

static bool *find(foci_gaps *gaps, const foci_survey *round, const foci_variogram *model) {
    foci_error err = {0};
    bool *unspoken = foci_new_array(round->grid.columns * round->grid.rows, sizeof *unspoken, &err);
    assert_non_null(unspoken);
    assert_done(foci_gaps_find(gaps, unspoken, &round->readings, &round->grid, &round->field.shape, model, &err), err);
    return unspoken;
}

/* The plain way: every stop is asked for every cell; heading 90 is along x. */
static bool is_spoken_for(const foci_survey *round, size_t cell, double straight, double along, double across) {
    foci_point place = foci_grid_centre(&round->grid, cell);
    for (size_t i = 0; i < round->readings.count; i++) {
        double x = place.x - round->readings.places[i].x, y = place.y - round->readings.places[i].y;
        if (hypot(x, y) <= straight && hypot(x / along, y / across) <= 1)
            return true;
    }
    return false;
}

static void assert_as_plain(const foci_survey *round, const foci_variogram *model, double straight, double along,
                            double across) {
    foci_gaps gaps = {0};
    bool *unspoken = find(&gaps, round, model);
    double part = 0, whole = 0;
    size_t count = 0;
    for (size_t i = 0; i < round->grid.columns * round->grid.rows; i++) {
        bool gap = round->grid.share[i] > 0 && !is_spoken_for(round, i, straight, along, across);
        assert_int_equal(unspoken[i], gap);
        whole += round->grid.share[i];
        part += gap ? round->grid.share[i] : 0;
        count += gap;
    }
    assert_true(count > 0);
    assert_near(gaps.share, part / whole, 1e-12);
    assert_near(gaps.reach, fmin(straight, along), 1e-9);
    assert_int_equal(gaps.by_range, along < straight);
    free(unspoken);
}

/* 32 stops over a hull of 75 x 175 m: sqrt(75 x 175) / (sqrt(32) - 1) = 24.6 is less than the 25 m to the nearest. */
static void test_twice_the_spacing_without_a_model(void **unused) {
    (void)unused;
    foci_survey round = third_make();
    const foci_variogram unknown = {0};
    assert_as_plain(&round, NULL, 50, INFINITY, INFINITY);
    assert_as_plain(&round, &unknown, 50, INFINITY, INFINITY);
    foci_survey_free(&round);
}

/* A spherical model reaches its sill at its range: the practical range is 35.5 m along x, and 0.5 of that across. */
static void test_the_practical_range_where_that_is_less(void **unused) {
    (void)unused;
    foci_survey round = third_make();
    foci_variogram model = {.kind = foci_correlation_find("spherical"),
                            .nugget = 0.3,
                            .partial_sill = 2.385,
                            .range = 35.5,
                            .heading = 90,
                            .ratio = 0.5};
    assert_as_plain(&round, &model, 50, 35.5, 17.75);
    model.range = 76.5; /* now less than twice the spacing only across */
    assert_as_plain(&round, &model, 50, 76.5, 38.25);
    model.partial_sill = 0; /* says nothing of how far stops are alike */
    assert_as_plain(&round, &model, 50, INFINITY, INFINITY);
    foci_survey_free(&round);
}

/* Pairs 2 m apart on a net of 60 m: 24 stops, hull (182 x 180) m. */
static void test_pairs_are_no_close_net(void **unused) {
    (void)unused;
    foci_survey round = third_make();
    foci_point places[2 * 4 * 4];
    for (size_t i = 0; i < 32; i++)
        places[i] =
            (foci_point){512345 + 60 * (double)(i / 2 % 4) + 2 * (double)(i % 2), 4205470 + 60 * (double)(i / 8)};
    memcpy(round.readings.places, places, sizeof places);
    foci_error err = {0};
    double nearest = 0;
    assert_done(foci_readings_spacing(&nearest, &round.readings, &err), err);
    assert_near(nearest, 2, 1e-9);
    assert_as_plain(&round, NULL, 2 * sqrt(182.0 * 180) / (sqrt(32) - 1), INFINITY, INFINITY);
    foci_survey_free(&round);
}

/* One walk straight through the field, 32 stops 9 m apart within 2 m of a slanting line: spoken for is what lies within
 * 4.5 m of their band, and two spacings beyond its ends. */
static void test_one_line_says_nothing_to_its_sides(void **unused) {
    (void)unused;
    foci_survey round = third_make();
    foci_gaps gaps = {0};
    const double along_x = cos(0.3), along_y = sin(0.3);
    double half = 0;
    for (size_t i = 0; i < 32; i++) {
        double along = 9 * (double)i - 139.5, across = i % 2 ? 1 : -1;
        round.readings.places[i] =
            (foci_point){512490 + along * along_x - across * along_y, 4205560 + along * along_y + across * along_x};
        half = fmax(half, fabs(across));
    }
    bool *unspoken = find(&gaps, &round, NULL);
    assert_true(gaps.one_line);
    size_t on = 0;
    for (size_t i = 0; i < round.grid.columns * round.grid.rows; i++) {
        foci_point place = foci_grid_centre(&round.grid, i);
        double across = fabs((place.y - 4205560) * along_x - (place.x - 512490) * along_y);
        double along = fabs((place.x - 512490) * along_x + (place.y - 4205560) * along_y);
        if (across > half + 4.7) /* stops are 9.2 m apart in their zigzag; the axis lies within a hair of the line */
            assert_true(unspoken[i]);
        else if (across < half + 4.5 && along < 139.5 + 15)
            assert_false(unspoken[i]);
        on += !unspoken[i];
    }
    assert_true(on > 20);
    assert_true(gaps.share > 0.8);
    free(unspoken);
    foci_survey_free(&round);
}

static void test_a_single_stop_speaks_for_all(void **unused) {
    (void)unused;
    foci_survey round = third_make();
    foci_gaps gaps = {0};
    round.readings.count = 1;
    bool *unspoken = find(&gaps, &round, NULL);
    for (size_t i = 0; i < round.grid.columns * round.grid.rows; i++)
        assert_false(unspoken[i]);
    assert_near(gaps.share, 0, 0);
    assert_near(gaps.reach, NAN, 0);
    free(unspoken);
    foci_survey_free(&round);
}

/* ---- what they change ---- */

static void decide(foci_survey *round) {
    foci_error err = {0};
    foci_hotspots_free(&round->hotspots);
    foci_zones_free(&round->zones);
    assert_done(foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings,
                                   &round->hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round->zones, &round->hotspots, &round->surface, &round->grid, &round->field,
                                &round->hotspots_options, &round->zones_options, &err),
                err);
}

/* The rough scene with its east half unspoken. */
static foci_survey rough_make(bool *unspoken) {
    foci_survey round = scene_make_rough(11);
    for (size_t i = 0; i < round.grid.columns * round.grid.rows; i++)
        unspoken[i] = round.grid.share[i] > 0 && i % round.grid.columns >= 15;
    round.hotspots_options.unspoken = unspoken;
    return round;
}

static void test_hotspots_stay_out_of_them(void **unused) {
    (void)unused;
    bool unspoken[30 * 22];
    foci_survey round = rough_make(unspoken);
    round.hotspots_options.least_area_ha = 0;
    decide(&round);
    size_t hot = 0;
    for (size_t i = 0; i < 30 * 22; i++) {
        assert_false(unspoken[i] && round.hotspots.label[i] > 0);
        hot += unspoken[i] && round.surface.chance[i] >= 0.5;
    }
    assert_true(hot > 50 && round.hotspots.count > 10);
    for (size_t i = 0; i < round.hotspots.count; i++)
        for (size_t k = 0; k < 30 * 22; k++)
            if (unspoken[k])
                assert_false(
                    foci_multipolygon_contains(&round.hotspots.items[i].shape, foci_grid_centre(&round.grid, k)));
    foci_survey_free(&round);
}

/* What would be treated is dug, by margin too; everything else is as it was. */
static void test_nothing_in_them_is_treated(void **unused) {
    (void)unused;
    bool unspoken[30 * 22];
    foci_survey round = rough_make(unspoken);
    for (double margin = 0; margin < 20; margin += 12) {
        signed char without[30 * 22];
        size_t held_back = 0;
        round.zones_options.margin = margin;
        round.hotspots_options.unspoken = NULL;
        decide(&round);
        memcpy(without, round.zones.code, sizeof without);
        round.hotspots_options.unspoken = unspoken;
        decide(&round);
        for (size_t i = 0; i < 30 * 22; i++) {
            if (unspoken[i])
                assert_int_not_equal(round.zones.code[i], FOCI_ZONE_TREAT);
            if (unspoken[i] && round.surface.chance[i] >= 0.5) {
                assert_int_equal(round.zones.code[i], FOCI_ZONE_DIG);
                held_back += without[i] == FOCI_ZONE_TREAT;
            }
            if (!unspoken[i] && i % 30 < 10)
                assert_int_equal(round.zones.code[i], without[i]);
        }
        assert_true(held_back > 50);
    }
    foci_survey_free(&round);
}

/* The same hot ground east and west, of which no stop speaks for the east: the lanes that lie there stay off. */
static void test_lanes_draw_no_sprayer_there(void **unused) {
    (void)unused;
    bool unspoken[30 * 22];
    foci_survey round = rough_make(unspoken);
    for (size_t i = 0; i < 30 * 22; i++)
        round.surface.chance[i] = round.grid.share[i] > 0 ? 0.9 : NAN;
    round.zones_options.swath = 12;
    round.zones_options.least_run = 25;
    round.zones_options.row_heading = 0;
    decide(&round);
    for (size_t i = 0; i < 30 * 22; i++) {
        if (!(round.grid.share[i] > 0) || (i % 30 >= 14 && i % 30 <= 16)) /* where a lane lies on both */
            continue;
        assert_int_equal(round.zones.code[i], unspoken[i] ? FOCI_ZONE_DIG : FOCI_ZONE_TREAT);
    }
    foci_survey_free(&round);
}

static foci_survey scene;

static bool attempt(foci_error *err) {
    static bool unspoken[30 * 20];
    foci_gaps gaps = {0};
    return foci_gaps_find(&gaps, unspoken, &scene.readings, &scene.grid, &scene.field.shape, NULL, err);
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    scene = third_make();
    support_fail_each_allocation(attempt);
    foci_survey_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_twice_the_spacing_without_a_model),
        cmocka_unit_test(test_the_practical_range_where_that_is_less),
        cmocka_unit_test(test_pairs_are_no_close_net),
        cmocka_unit_test(test_one_line_says_nothing_to_its_sides),
        cmocka_unit_test(test_a_single_stop_speaks_for_all),
        cmocka_unit_test(test_hotspots_stay_out_of_them),
        cmocka_unit_test(test_nothing_in_them_is_treated),
        cmocka_unit_test(test_lanes_draw_no_sprayer_there),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

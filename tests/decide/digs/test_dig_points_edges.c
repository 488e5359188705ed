/* Dig checks where ground, hotspots, chances or the gate are not as hoped for. */
#include "fieldfoci/dig_points.h"

#include "decide/digs/dig_scene.h"
#include "fieldfoci/walk.h"

static void test_no_hotspot(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 60, 5);
    assert_int_equal(round.hotspots.count, 0);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_HIGHEST), 8);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 2);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* Each of the highest places, in their order, has the greatest chance (of equal ones the greatest estimate) of the
 * ground a spacing away from those before it. `code`: of the zone that they lie in, or FOCI_ZONE_END for any. */
static void assert_highest(const foci_survey *round, const foci_dig_points *digs, double spacing, foci_zone_code code) {
    const double *chance = round->surface.chance ? round->surface.chance : round->surface.estimate;
    for (int id = 1; id <= (int)dig_count(digs, FOCI_DIG_HIGHEST); id++)
        for (size_t i = 0; i < digs->count; i++) {
            const foci_dig_point *dig = &digs->items[i];
            if (dig->id != id)
                continue;
            assert_int_equal(dig->why, FOCI_DIG_HIGHEST);
            if (code != FOCI_ZONE_END)
                assert_int_equal(round->zones.code[dig->cell], code);
            for (size_t c = 0; c < round->grid.rows * round->grid.columns; c++) {
                foci_point place = foci_grid_centre(&round->grid, c);
                bool free_ground =
                    foci_multipolygon_contains(&round->field.shape, place) && to_edge(&round->field.shape, place) >= 5;
                if (!free_ground || (code != FOCI_ZONE_END && round->zones.code[c] != (signed char)code))
                    continue;
                for (size_t k = 0; k < digs->count; k++)
                    if (digs->items[k].id < id)
                        free_ground = free_ground && apart(digs->items[k].place, place) >= spacing;
                if (free_ground)
                    assert_true(chance[c] < chance[dig->cell] ||
                                (chance[c] == chance[dig->cell] &&
                                 round->surface.estimate[c] <= round->surface.estimate[dig->cell]));
            }
        }
}

/* No pattern found: neither hotspots nor zones. */
static void test_no_zones(void **unused) {
    (void)unused;
    static const char *const methods[] = {"kriging", "counts", "idw"};
    for (size_t m = 0; m < 3; m++) {
        foci_survey round = dig_scene(methods[m], 12, 5);
        foci_hotspots_free(&round.hotspots);
        foci_zones_free(&round.zones);
        foci_dig_points digs = dig_chosen(&round, &ten);
        assert_int_equal(digs.count, 10);
        assert_sound(&round, &digs, 35);
        assert_int_equal(dig_count(&digs, FOCI_DIG_HIGHEST), 8);
        assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 2);
        assert_highest(&round, &digs, 35, FOCI_ZONE_END);
        for (size_t i = 0; i < digs.count; i++)
            assert_string_equal(digs.items[i].name + 3,
                                digs.items[i].why == FOCI_DIG_HIGHEST ? "-HIGHEST" : "-OUTSIDE");
        assert_near(digs.misclassified, NAN, 0);
        foci_dig_points_free(&digs);
        foci_survey_free(&round);
    }
}

/* An unclear pattern: no numbered hotspots, and what would be treated is dug. */
static void test_nothing_to_treat(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 5);
    foci_hotspots_free(&round.hotspots);
    for (size_t i = 0; i < round.grid.rows * round.grid.columns; i++)
        if (round.zones.code[i] == FOCI_ZONE_TREAT)
            round.zones.code[i] = FOCI_ZONE_DIG;
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_HIGHEST), 4);
    assert_int_equal(dig_count(&digs, FOCI_DIG_UNSURE), 4);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 2);
    assert_highest(&round, &digs, 35, FOCI_ZONE_DIG);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* Ground to dig on, so far from all confirm places. */
static bool is_free(const foci_survey *round, const foci_dig_points *digs, foci_point place, double away) {
    bool is = foci_multipolygon_contains(&round->field.shape, place) && to_edge(&round->field.shape, place) >= 5;
    for (size_t i = 0; i < digs->count; i++)
        is = is && (digs->items[i].why != FOCI_DIG_CONFIRM || apart(digs->items[i].place, place) >= away);
    return is;
}

/* As many hotspots as there is room for: one place each before any has two, and no quota stands before that. */
static void test_each_hotspot_first(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 5);
    foci_dig_points_options options = ten;
    foci_error err = {0};
    options.spacing = 20;
    for (size_t i = 0; i < round.grid.rows * round.grid.columns; i++) /* a chessboard of patches 20 m wide */
        if (round.grid.share[i] > 0)
            round.surface.chance[i] = i / round.grid.columns / 4 % 2 && i % round.grid.columns / 4 % 2 ? 0.8 : 0.1;
    foci_hotspots_free(&round.hotspots);
    foci_zones_free(&round.zones);
    assert_done(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                   &round.hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round.zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                &round.hotspots_options, &round.zones_options, &err),
                err);
    assert_true(round.hotspots.count > 20 && round.hotspots.count < 60);
    for (options.count = 5; options.count < 100; options.count += 45) {
        size_t in[100] = {0}, most = 0, lonely = 0;
        foci_dig_points digs = dig_chosen(&round, &options);
        assert_sound(&round, &digs, 20);
        size_t outside = (options.count + 4) / 5, confirm = dig_count(&digs, FOCI_DIG_CONFIRM);
        assert_true(confirm <= options.count - outside);
        for (size_t i = 0; i < digs.count; i++)
            if (digs.items[i].why == FOCI_DIG_CONFIRM)
                in[digs.items[i].hotspot]++;
        for (size_t id = 1; id <= round.hotspots.count; id++)
            most = in[id] > most ? in[id] : most;
        assert_int_equal(options.count == 5 ? confirm : most, options.count == 5 ? 4 : 2);
        for (size_t i = 0; i < round.grid.rows * round.grid.columns; i++)
            if (round.hotspots.label[i] > 0 && in[round.hotspots.label[i]] == 0)
                lonely += is_free(&round, &digs, foci_grid_centre(&round.grid, i), 10);
        assert_true(options.count == 5 ? lonely > 0 : lonely == 0);
        foci_dig_points_free(&digs);
    }
    foci_survey_free(&round);
}

static void test_nothing_to_leave(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", -30, 5);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.leave_cells, 0);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 0);
    assert_int_equal(dig_count(&digs, FOCI_DIG_CONFIRM), 2); /* one hotspot: a first and a second place */
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

/* Room for a few only, and for none. */
static void test_fewer_cells_than_digs(void **unused) {
    (void)unused;
    foci_survey round = dig_scene("kriging", 8, 60);
    foci_dig_points_options options = ten;
    options.count = 50;
    foci_dig_points digs = dig_chosen(&round, &options);
    assert_true(digs.count > 3 && digs.count < 20);
    assert_int_equal(digs.wanted, 50);
    assert_sound(&round, &digs, 35);
    foci_dig_points_free(&digs);
    options.spacing = 1000; /* no second place fits */
    digs = dig_chosen(&round, &options);
    assert_int_equal(dig_count(&digs, FOCI_DIG_UNSURE), 0);
    assert_int_equal(dig_count(&digs, FOCI_DIG_CONFIRM), 1);
    assert_int_equal(digs.count, 1);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);

    static const foci_point narrow[] = {{512340, 4205440}, {512640, 4205440}, {512640, 4205449}, {512340, 4205449}};
    foci_error err = {0};
    foci_survey strip = {0};
    foci_ring ring = scene_ring(narrow, 4);
    scene_set_field(&strip, scene_polygon(&ring, 1));
    assert_done(foci_grid_over_field(&strip.grid, &strip.field.shape, 1, 20, &err), err);
    dig_read(&strip);
    dig_decide(&strip, "kriging", 8);
    digs = dig_chosen(&strip, &ten); /* the deepest place is 4.5 m from the edges: 0.45 m will do */
    assert_int_equal(digs.count, 10);
    assert_sound_from(&strip, &digs, 35, 0.45);
    foci_dig_points_free(&digs);
    foci_survey_free(&strip);
}

static void test_all_readings_equal(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_survey round = {0};
    foci_ring rings[] = {scene_ring(dig_outer, 4), scene_ring(dig_pond, 4)};
    scene_set_field(&round, scene_polygon(rings, 2));
    assert_done(foci_grid_over_field(&round.grid, &round.field.shape, 5, 20, &err), err);
    dig_read(&round);
    for (size_t i = 0; i < round.readings.count; i++)
        round.readings.values[i] = 3.5;
    foci_surface_options options = {.method = foci_surface_method_find("kriging"),
                                    .area = 60000,
                                    .row_heading = NAN,
                                    .most = INFINITY,
                                    .threshold = 8};
    assert_done(foci_surface_fit(&round.model, &round.readings, NULL, &options, HOW, &err), err);
    assert_done(foci_surface_estimate(&round.surface, &round.model, &round.grid, HOW, &err), err);
    round.hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = 8};
    assert_done(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                   &round.hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round.zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                &round.hotspots_options, &(foci_zones_options){.dig_chance = 0.2}, &err),
                err);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_near(digs.misclassified, 0, 0);
    foci_dig_points_free(&digs);
    foci_survey_free(&round);
}

static void test_where_the_walk_starts(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_survey round = dig_scene("kriging", 8, 5);
    foci_dig_points digs = dig_chosen(&round, &ten);
    const foci_point first = round.readings.places[0];
    assert_false(digs.at_gate);
    for (size_t i = 0; i < 4; i++)
        assert_true(apart(digs.start, first) <= apart(dig_outer[i], first));
    foci_dig_points_free(&digs);
    foci_dig_points_options options = ten;
    const foci_point gate = {-80.8575, 37.9962}, swapped = {37.9962, -80.8575}, nowhere = {NAN, 2};
    options.gate = &gate;
    digs = dig_chosen(&round, &options);
    assert_true(digs.at_gate);
    assert_near(digs.start_lonlat.x, gate.x, 0);
    assert_sound(&round, &digs, 35);
    foci_point places[10];
    for (size_t i = 0; i < 10; i++)
        places[i] = digs.items[i].place;
    foci_walk walk = {0};
    const foci_walk_options from = {.start = &digs.start};
    assert_done(foci_walk_find(&walk, places, 10, &from, &err), err);
    assert_near(walk.length, digs.walk, 1e-9);
    foci_walk_free(&walk);
    foci_dig_points_free(&digs);
    options.gate = &swapped;
    assert_fails(foci_dig_points_choose(&digs, &round.model, &round.surface, &round.grid, &round.field, &round.readings,
                                        &round.hotspots, &round.zones, &options, HOW, &err),
                 err, FOCI_BAD_SETTING, "within 10 km");
    options.gate = &nowhere;
    assert_fails(foci_dig_points_choose(&digs, &round.model, &round.surface, &round.grid, &round.field, &round.readings,
                                        &round.hotspots, &round.zones, &options, HOW, &err),
                 err, FOCI_BAD_SETTING, "within 10 km");
    round.model.threshold = NAN;
    assert_fails(foci_dig_points_choose(&digs, &round.model, &round.surface, &round.grid, &round.field, &round.readings,
                                        &round.hotspots, &round.zones, &ten, HOW, &err),
                 err, FOCI_BAD_SETTING, "threshold");
    assert_null(digs.items);
    foci_survey_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_hotspot),         cmocka_unit_test(test_no_zones),
        cmocka_unit_test(test_nothing_to_treat),   cmocka_unit_test(test_each_hotspot_first),
        cmocka_unit_test(test_nothing_to_leave),   cmocka_unit_test(test_fewer_cells_than_digs),
        cmocka_unit_test(test_all_readings_equal), cmocka_unit_test(test_where_the_walk_starts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

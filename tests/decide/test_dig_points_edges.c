/* Dig checks where ground, hotspots, chances or the gate are not as hoped for. */
#include "fieldfoci/dig_points.h"

#include "decide/dig_scene.h"
#include "fieldfoci/walk.h"

static void test_no_hotspot(void **unused) {
    (void)unused;
    foci_round round = dig_scene("kriging", 60, 5);
    assert_int_equal(round.hotspots.count, 0);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_CONFIRM), 0);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 2);
    foci_dig_points_free(&digs);
    foci_round_free(&round);
}

static void test_nothing_to_leave(void **unused) {
    (void)unused;
    foci_round round = dig_scene("kriging", -30, 5);
    foci_dig_points digs = dig_chosen(&round, &ten);
    assert_int_equal(digs.leave_cells, 0);
    assert_int_equal(digs.count, 10);
    assert_sound(&round, &digs, 35);
    assert_int_equal(dig_count(&digs, FOCI_DIG_OUTSIDE), 0);
    assert_int_equal(dig_count(&digs, FOCI_DIG_CONFIRM), 2); /* one hotspot: a first and a second place */
    foci_dig_points_free(&digs);
    foci_round_free(&round);
}

/* Room for a few only, and for none. */
static void test_fewer_cells_than_digs(void **unused) {
    (void)unused;
    foci_round round = dig_scene("kriging", 8, 60);
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
    assert_true(dig_count(&digs, FOCI_DIG_CONFIRM) <= 1);
    foci_dig_points_free(&digs);
    foci_round_free(&round);

    static const foci_point narrow[] = {{512340, 4205440}, {512640, 4205440}, {512640, 4205449}, {512340, 4205449}};
    foci_error err = {0};
    foci_round strip = {0};
    foci_ring ring = scene_ring(narrow, 4);
    scene_set_field(&strip, scene_polygon(&ring, 1));
    assert_done(foci_grid_over_field(&strip.grid, &strip.field.shape, 1, 20, &err), err);
    dig_read(&strip);
    dig_decide(&strip, "kriging", 8);
    digs = dig_chosen(&strip, &ten);
    assert_int_equal(digs.count, 0);
    assert_near(digs.walk, 0, 0);
    foci_dig_points_free(&digs);
    foci_round_free(&strip);
}

static void test_all_readings_equal(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_round round = {0};
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
    assert_done(foci_surface_model_fit(&round.model, &round.readings, &options, &err), err);
    assert_done(foci_surface_estimate(&round.surface, &round.model, &round.grid, &err), err);
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
    foci_round_free(&round);
}

static void test_where_the_walk_starts(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_round round = dig_scene("kriging", 8, 5);
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
                                        &round.hotspots, &round.zones, &options, &err),
                 err, FOCI_BAD_SETTING, "within 10 km");
    options.gate = &nowhere;
    assert_fails(foci_dig_points_choose(&digs, &round.model, &round.surface, &round.grid, &round.field, &round.readings,
                                        &round.hotspots, &round.zones, &options, &err),
                 err, FOCI_BAD_SETTING, "within 10 km");
    round.model.threshold = NAN;
    assert_fails(foci_dig_points_choose(&digs, &round.model, &round.surface, &round.grid, &round.field, &round.readings,
                                        &round.hotspots, &round.zones, &ten, &err),
                 err, FOCI_BAD_SETTING, "threshold");
    assert_null(digs.items);
    foci_round_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_hotspot),
        cmocka_unit_test(test_nothing_to_leave),
        cmocka_unit_test(test_fewer_cells_than_digs),
        cmocka_unit_test(test_all_readings_equal),
        cmocka_unit_test(test_where_the_walk_starts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

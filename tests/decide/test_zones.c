#include "fieldfoci/zones.h"

#include "support/scene.h"

static void draw(foci_round *round) {
    foci_error err = {0};
    assert_done(foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings,
                                   &round->hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round->zones, &round->hotspots, &round->surface, &round->grid, &round->field,
                                &round->hotspots_options, &round->zones_options, &err),
                err);
}

/* No gap: the areas add up to the field's. No overlap: what two zones share has no area. */
static void assert_field_is_covered(const foci_round *round) {
    foci_error err = {0};
    double area_ha = 0;
    for (int i = 0; i < FOCI_ZONE_END; i++) {
        const foci_zone *zone = &round->zones.items[i];
        area_ha += zone->area_ha;
        if (zone->shape.count == 0)
            continue;
        assert_true(foci_overlay_valid(&zone->shape));
        assert_near(foci_geodesic_area(&zone->lonlat) / 1e4, zone->area_ha, 1e-12);
        for (int k = 0; k < i; k++) {
            if (round->zones.items[k].shape.count == 0)
                continue;
            foci_multipolygon common = {0};
            assert_done(foci_overlay_intersection(&common, &zone->shape, &round->zones.items[k].shape, &err), err);
            assert_near(foci_multipolygon_area(&common), 0, 1e-6);
            foci_multipolygon_free(&common);
        }
    }
    assert_near(area_ha, round->field.area_ha, 1e-6 * round->field.area_ha);
}

enum { N = -1, L = FOCI_ZONE_LEAVE, D = FOCI_ZONE_DIG, T = FOCI_ZONE_TREAT };

/* The two cut cells at or above 0.5 are too small for hotspots: dig. So are the cells from 0.2 to 0.5. */
static void test_cells_fall_into_zones(void **unused) {
    (void)unused;
    static const signed char codes[SCENE_ROWS][SCENE_COLUMNS] = {{T, T, L, L, L, L, L, D}, {T, T, D, L, L, T, L, L},
                                                                 {L, D, L, L, L, L, L, L}, {L, L, L, L, T, T, L, L},
                                                                 {L, L, L, L, L, T, L, L}, {D, L, L, L, L, L, L, N}};
    foci_round round = scene_make();
    draw(&round);
    for (int i = 0; i < SCENE_ROWS * SCENE_COLUMNS; i++)
        if (round.grid.share[i] > 0)
            assert_int_equal(round.zones.code[i], codes[i / SCENE_COLUMNS][i % SCENE_COLUMNS]);
        else
            assert_int_equal(round.zones.code[i], -1);
    assert_int_equal(round.zones.items[T].parts, 3);
    assert_int_equal(round.zones.items[D].parts, 4);
    assert_int_equal(round.zones.items[L].parts, 1);
    assert_field_is_covered(&round);
    double hot_ha = 0;
    for (size_t i = 0; i < round.hotspots.count; i++)
        hot_ha += round.hotspots.items[i].area_ha;
    assert_near(round.zones.items[T].area_ha, hot_ha, 1e-9);
    foci_round_free(&round);
}

static void test_means_are_weighted_by_share(void **unused) {
    (void)unused;
    foci_round round = scene_make();
    draw(&round);
    const double *share = round.grid.share;
    const double cells = share[7] + share[10] + share[17] + share[40];
    const double chance = (0.61 * share[7] + 0.31 * share[10] + 0.33 * share[17] + 0.51 * share[40]) / cells;
    assert_near(round.zones.items[D].chance, chance, 1e-12);
    assert_near(round.zones.items[D].severity, 20 * chance + 0.385, 1e-12);
    foci_round_free(&round);
}

static void test_an_absent_zone_is_empty(void **unused) {
    (void)unused;
    foci_round round = scene_make();
    round.hotspots_options.treat_chance = 0.95;
    round.zones_options.dig_chance = 0.93;
    draw(&round);
    assert_int_equal(round.zones.items[T].parts, 0);
    assert_int_equal(round.zones.items[T].shape.count, 0);
    assert_int_equal(round.zones.items[T].lonlat.count, 0);
    assert_near(round.zones.items[T].area_ha, 0, 0);
    assert_near(round.zones.items[T].chance, NAN, 0);
    assert_int_equal(round.zones.items[L].parts, 1);
    assert_field_is_covered(&round);
    foci_round_free(&round);
}

static void test_without_chances_severity_decides(void **unused) {
    (void)unused;
    foci_round round = scene_make();
    free(round.surface.chance);
    round.surface.chance = NULL;
    draw(&round);
    assert_int_equal(round.zones.code[0], FOCI_ZONE_TREAT);
    assert_int_equal(round.zones.code[7], FOCI_ZONE_DIG);    /* 12.585, in a patch below one cell */
    assert_int_equal(round.zones.code[10], FOCI_ZONE_LEAVE); /* 6.585, below the threshold */
    assert_near(round.zones.items[T].chance, NAN, 0);
    assert_near(round.zones.items[D].severity,
                (12.585 * round.grid.share[7] + 10.585 * round.grid.share[40]) /
                    (round.grid.share[7] + round.grid.share[40]),
                1e-12);
    assert_field_is_covered(&round);
    foci_round_free(&round);
}

static void test_a_chance_at_the_limit_is_in(void **unused) {
    (void)unused;
    foci_round round = scene_make();
    round.zones_options.dig_chance = 0.33;
    draw(&round);
    assert_int_equal(round.zones.code[17], FOCI_ZONE_DIG);   /* 0.33 */
    assert_int_equal(round.zones.code[10], FOCI_ZONE_LEAVE); /* 0.31 */
    foci_round_free(&round);
}

/* A hot patch is never left alone because --dig-chance was put above --treat-chance. */
static void test_dig_chance_above_treat_chance(void **unused) {
    (void)unused;
    foci_round round = scene_make();
    round.zones_options.dig_chance = 0.9;
    draw(&round);
    assert_int_equal(round.zones.code[7], FOCI_ZONE_DIG);
    foci_round_free(&round);
}

static void test_rough_surfaces_are_covered(void **unused) {
    (void)unused;
    for (uint32_t seed = 21; seed < 26; seed++) {
        foci_round round = scene_make_rough(seed);
        draw(&round);
        for (int i = 0; i < FOCI_ZONE_END; i++)
            assert_true(round.zones.items[i].parts > 10);
        assert_field_is_covered(&round);
        foci_round_free(&round);
    }
}

static void test_names(void **unused) {
    (void)unused;
    assert_string_equal(foci_zone_name(FOCI_ZONE_LEAVE), "leave");
    assert_string_equal(foci_zone_name(FOCI_ZONE_DIG), "dig");
    assert_string_equal(foci_zone_name(FOCI_ZONE_TREAT), "treat");
}

static foci_round scene;

static bool attempt(foci_error *err) {
    foci_zones zones = {0};
    if (!foci_zones_draw(&zones, &scene.hotspots, &scene.surface, &scene.grid, &scene.field, &scene.hotspots_options,
                         &scene.zones_options, err)) {
        assert_null(zones.code);
        return false;
    }
    foci_zones_free(&zones);
    foci_zones_free(&zones);
    return true;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    scene = scene_make();
    draw(&scene);
    support_fail_each_allocation(attempt);
    foci_round_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cells_fall_into_zones),
        cmocka_unit_test(test_means_are_weighted_by_share),
        cmocka_unit_test(test_an_absent_zone_is_empty),
        cmocka_unit_test(test_without_chances_severity_decides),
        cmocka_unit_test(test_a_chance_at_the_limit_is_in),
        cmocka_unit_test(test_dig_chance_above_treat_chance),
        cmocka_unit_test(test_rough_surfaces_are_covered),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "fieldfoci/hotspots.h"

#include "support/scene.h"

/* Areas by the plain way: every cell of the patch cut with the field, put into degrees and measured by itself. Cut
 * cells have corners along the field's sides that the patch has not, where a side straight in the plane is a little
 * bent on the ellipsoid. */
static double area_plainly(const foci_survey *round, int id) {
    foci_error err = {0};
    foci_projection *projection = NULL;
    double area = 0;
    assert_done(foci_projection_open(&projection, "EPSG:4326", SCENE_CRS, &err), err);
    for (size_t i = 0; i < round->grid.columns * round->grid.rows; i++) {
        if (round->hotspots.label[i] != id)
            continue;
        foci_multipolygon cell = scene_cell(&round->grid, i), cut = {0}, lonlat = {0};
        assert_done(foci_overlay_intersection(&cut, &cell, &round->field.shape, &err), err);
        assert_done(foci_projection_shape(&lonlat, projection, true, &cut, &err), err);
        area += foci_geodesic_area(&lonlat);
        foci_multipolygon_free(&cell);
        foci_multipolygon_free(&cut);
        foci_multipolygon_free(&lonlat);
    }
    foci_projection_close(projection);
    return area / 1e4;
}

static void find(foci_survey *round) {
    foci_error err = {0};
    assert_done(foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings,
                                   &round->hotspots_options, &err),
                err);
}

static void assert_labels(const foci_survey *round, const int expected[SCENE_ROWS][SCENE_COLUMNS]) {
    assert_memory_equal(round->hotspots.label, expected, SCENE_ROWS * SCENE_COLUMNS * sizeof(int));
}

/* The corner patch has the largest expected infected area though the three cells round the hole are larger than one
 * cell; the cut single cells are smaller than a cell and fall out, the whole single cell stays. */
static void test_patches_become_hotspots(void **unused) {
    (void)unused;
    static const int labels[SCENE_ROWS][SCENE_COLUMNS] = {{1, 1, 0, 0, 0, 0, 0, 0}, {1, 1, 0, 0, 0, 3, 0, 0}, {0},
                                                          {0, 0, 0, 0, 2, 2, 0, 0}, {0, 0, 0, 0, 0, 2, 0, 0}, {0}};
    foci_survey round = scene_make();
    find(&round);
    assert_int_equal(round.hotspots.count, 3);
    assert_labels(&round, labels);
    static const size_t stops[] = {2, 0, 1};
    for (size_t i = 0; i < 3; i++) {
        const foci_hotspot *spot = &round.hotspots.items[i];
        assert_int_equal(spot->id, i + 1);
        assert_int_equal(spot->stops, stops[i]);
        assert_true(foci_overlay_valid(&spot->shape));
        assert_int_equal(spot->lonlat.count, spot->shape.count);
        assert_near(spot->area_ha, area_plainly(&round, spot->id), 1e-7 * spot->area_ha);
    }
    foci_survey_free(&round);
}

static void test_means_are_weighted_by_share(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    const double *share = round.grid.share;
    find(&round);
    const double cells = share[0] + share[1] + share[8] + share[9];
    const double chance = (0.91 * share[0] + 0.85 * share[1] + 0.83 * share[8] + 0.72 * share[9]) / cells;
    assert_near(round.hotspots.items[0].chance, chance, 1e-12);
    assert_near(round.hotspots.items[0].mean, 20 * chance + 0.385, 1e-12);
    assert_near(round.hotspots.items[0].peak, 18.585, 1e-12);
    assert_true(fabs(chance - (0.91 + 0.85 + 0.83 + 0.72) / 4) > 1e-3); /* the shares do matter here */
    foci_survey_free(&round);
}

/* A whole cell of 400 m2 in the plane is 400 / k^2 on the ground; k = 0.9996 (1 + x^2 (1 + e'^2 cos^2 lat) / (2 N^2)),
 * Snyder (1987) USGS Professional Paper 1395, eq. 8-11, x = 12450 m east of the meridian, N = 6386055 m at 38 degrees
 * north. */
static void test_one_whole_cell_is_kept_with_its_ground_area(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    find(&round);
    const double x = 12450 / 0.9996, n = 6386055;
    const double k = 0.9996 * (1 + x * x * (1 + 0.00673949674 * 0.621) / (2 * n * n));
    const foci_hotspot *cell = &round.hotspots.items[2];
    assert_near(cell->area_ha, 0.04 / (k * k), 1e-8);
    assert_near(cell->peak, 11.985, 1e-12);
    assert_int_equal(cell->shape.polygons[0].rings[0].count, 4);
    foci_point place = cell->centre;
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", SCENE_CRS, &err), err);
    assert_int_equal(foci_projection_forward(projection, &place, 1), 0);
    assert_near(place.x, 512450, 1e-4);
    assert_near(place.y, 4205630, 1e-4);
    foci_projection_close(projection);
    foci_survey_free(&round);
}

/* The readings are 0, 3.5, 7, ...: of the corner patch's stops one reads 3.5, the single cell's reads 7. */
static void test_stops_support_a_hotspot_from_the_threshold_on(void **unused) {
    (void)unused;
    static const struct {
        double threshold;
        size_t over[3];
    } cases[] = {{3.5, {1, 0, 1}}, {3.6, {0, 0, 1}}, {7.1, {0, 0, 0}}, {0, {2, 0, 1}}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        foci_survey round = scene_make();
        round.hotspots_options.threshold = cases[k].threshold;
        find(&round);
        assert_int_equal(round.hotspots.count, 3);
        for (size_t i = 0; i < 3; i++) {
            assert_int_equal(round.hotspots.items[i].over, cases[k].over[i]);
            assert_int_equal(round.hotspots.items[i].supported, cases[k].over[i] > 0);
        }
        foci_survey_free(&round);
    }
}

/* A whole cell of 20 m, and three cells that leave out the south-west of a square of 40 m: seen from the side, and over
 * their corners, where 20 sqrt(2), 40 sqrt(2) and 30 sqrt(2) m lie between. */
static void test_extent_along_and_across_the_rows(void **unused) {
    (void)unused;
    static const struct {
        double heading, along, across; /* of the three cells round a corner, 40 m x 40 m */
        double side;                   /* of the single cell */
    } cases[] = {{NAN, 40, 40, 20},
                 {90, 40, 40, 20},
                 {45, 42.426406871, 56.568542495, 28.284271247},
                 {135, 56.568542495, 42.426406871, 28.284271247},
                 {315, 56.568542495, 42.426406871, 28.284271247}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        foci_survey round = scene_make();
        round.hotspots_options.row_heading = cases[k].heading;
        find(&round);
        const foci_hotspot *angle = &round.hotspots.items[1], *cell = &round.hotspots.items[2];
        assert_near(cell->along, cases[k].side, 1e-6);
        assert_near(cell->across, cases[k].side, 1e-6);
        assert_near(angle->along, cases[k].along, 1e-6);
        assert_near(angle->across, cases[k].across, 1e-6);
        foci_survey_free(&round);
    }
}

/* The centroid of three cells round a corner lies at that corner's inside or, here, within the hole's reach: wherever
 * it falls, the centre must lie in the hotspot. */
static void test_centre_lies_inside(void **unused) {
    (void)unused;
    static const double ring[] = {0.1, 0.1, 0.1, 0.1,  0.1, 0.1, 0.1, 0.1, 0.1, 0.1,  0.1, 0.1, 0.1, 0.1, 0.1, 0.1,
                                  0.1, 0.7, 0.7, 0.72, 0.1, 0.1, 0.1, 0.1, 0.1, 0.71, 0.1, 0.7, 0.1, 0.1, 0.1, 0.1,
                                  0.1, 0.7, 0.7, 0.7,  0.1, 0.1, 0.1, 0.1, 0.1, 0.1,  0.1, 0.1, 0.1, 0.1, 0.1, 0.1};
    foci_survey round = scene_make();
    foci_surface_free(&round.surface);
    scene_set_surface(&round, ring);
    find(&round);
    assert_int_equal(round.hotspots.count, 1);
    const foci_hotspot *spot = &round.hotspots.items[0];
    assert_int_equal(spot->shape.polygons[0].count, 2);
    assert_true(foci_multipolygon_contains(&spot->lonlat, spot->centre));
    foci_point place = spot->centre;
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", SCENE_CRS, &err), err);
    assert_int_equal(foci_projection_forward(projection, &place, 1), 0);
    assert_near(place.x, 512410, 1e-4); /* the strongest cell: column 3, row 2 */
    assert_near(place.y, 4205610, 1e-4);
    foci_projection_close(projection);
    foci_survey_free(&round);
}

static void test_least_area_drops_small_patches(void **unused) {
    (void)unused;
    static const struct {
        double least_area_ha;
        size_t count;
    } cases[] = {{0, 3}, {0.04, 3}, {0.0405, 2}, {0.005, 5}, {1, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_survey round = scene_make();
        round.hotspots_options.least_area_ha = cases[i].least_area_ha;
        find(&round);
        assert_int_equal(round.hotspots.count, cases[i].count);
        assert_non_null(round.hotspots.label);
        foci_survey_free(&round);
    }
}

static void test_a_chance_at_the_limit_is_in(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    round.hotspots_options.treat_chance = 0.58; /* the single cell's */
    find(&round);
    assert_int_equal(round.hotspots.count, 3);
    assert_int_equal(round.hotspots.label[SCENE_COLUMNS + 5], 3);
    assert_int_equal(round.hotspots.label[3 * SCENE_COLUMNS + 4], 0); /* 0.55 */
    foci_survey_free(&round);
}

static void test_without_chances_severity_decides(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    free(round.surface.chance);
    round.surface.chance = NULL;
    round.hotspots_options.threshold = round.surface.estimate[SCENE_COLUMNS + 1]; /* at the threshold is in */
    find(&round);
    assert_int_equal(round.hotspots.count, 1);
    assert_int_equal(round.hotspots.label[SCENE_COLUMNS + 1], 1);
    assert_near(round.hotspots.items[0].chance, NAN, 0);
    assert_near(round.hotspots.items[0].peak, 18.585, 1e-12);
    foci_survey_free(&round);

    round = scene_make();
    free(round.surface.chance);
    round.surface.chance = NULL;
    round.hotspots_options.threshold = NAN;
    find(&round);
    assert_int_equal(round.hotspots.count, 0);
    foci_survey_free(&round);
}

/* Severities of 0 make all expected infected areas equal. */
static void test_equal_patches_keep_the_reading_order(void **unused) {
    (void)unused;
    static const size_t hot[] = {1 * SCENE_COLUMNS + 6, 2 * SCENE_COLUMNS + 2, 2 * SCENE_COLUMNS + 5,
                                 4 * SCENE_COLUMNS + 2};
    foci_survey round = scene_make();
    free(round.surface.chance);
    round.surface.chance = NULL;
    round.hotspots_options.threshold = 0;
    for (size_t i = 0; i < SCENE_ROWS * SCENE_COLUMNS; i++)
        round.surface.estimate[i] = round.grid.share[i] > 0 ? -1 : NAN;
    for (size_t i = 0; i < 4; i++)
        round.surface.estimate[hot[i]] = 0;
    find(&round);
    assert_int_equal(round.hotspots.count, 4);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(round.hotspots.label[hot[i]], i + 1);
    foci_survey_free(&round);
}

static bool has_centre_inside(const foci_survey *round, const foci_hotspot *spot) {
    for (size_t i = 0; i < round->grid.columns * round->grid.rows; i++)
        if (round->hotspots.label[i] == spot->id &&
            foci_multipolygon_contains(&spot->shape, foci_grid_centre(&round->grid, i)))
            return true;
    return false;
}

static void test_rough_surfaces(void **unused) {
    (void)unused;
    for (uint32_t seed = 11; seed < 14; seed++) {
        foci_survey round = scene_make_rough(seed);
        find(&round);
        assert_true(round.hotspots.count > 20);
        for (size_t i = 0; i < round.hotspots.count; i++) {
            const foci_hotspot *spot = &round.hotspots.items[i];
            assert_true(foci_overlay_valid(&spot->shape));
            assert_true(foci_multipolygon_contains(&spot->lonlat, spot->centre) || !has_centre_inside(&round, spot));
            assert_near(spot->area_ha, area_plainly(&round, spot->id), 1e-7 * spot->area_ha);
            if (i > 0)
                assert_true(spot[-1].area_ha * spot[-1].mean >= spot->area_ha * spot->mean);
        }
        foci_survey_free(&round);
    }
}

static foci_survey scene;

static bool attempt(foci_error *err) {
    foci_hotspots found = {0};
    if (!foci_hotspots_find(&found, &scene.surface, &scene.grid, &scene.field, &scene.readings, &scene.hotspots_options,
                            err)) {
        assert_null(found.items);
        return false;
    }
    foci_hotspots_free(&found);
    foci_hotspots_free(&found);
    return true;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    scene = scene_make();
    support_fail_each_allocation(attempt);
    foci_survey_free(&scene);
}

static void test_unknown_system_is_an_error(void **unused) {
    (void)unused;
    foci_error err;
    foci_hotspots found = {0};
    foci_survey round = scene_make();
    snprintf(round.field.work_crs, sizeof round.field.work_crs, "EPSG:999999");
    err = (foci_error){0};
    assert_false(foci_hotspots_find(&found, &round.surface, &round.grid, &round.field, &round.readings,
                                    &round.hotspots_options, &err));
    assert_int_not_equal(err.status, FOCI_OK);
    assert_null(found.label);
    foci_survey_free(&round);
}

static void test_what_cannot_be_meant_is_refused(void **state) {
    (void)state;
    foci_survey round = scene_make();
    foci_error err = {0};
    const struct {
        foci_hotspots_options options;
        const char *key;
    } rows[] = {{{.treat_chance = NAN}, "treat-chance"},
                {{.treat_chance = 1.2}, "treat-chance"},
                {{.treat_chance = 0.5, .least_area_ha = NAN}, "least-area"},
                {{.treat_chance = 0.5, .least_area_ha = -0.1}, "least-area"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_fails(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                        &rows[i].options, &err),
                     err, FOCI_BAD_SETTING, "is no");
        assert_string_equal(err.key, rows[i].key);
        assert_null(round.hotspots.label);
    }
    foci_survey_free(&round);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_patches_become_hotspots),
        cmocka_unit_test(test_means_are_weighted_by_share),
        cmocka_unit_test(test_one_whole_cell_is_kept_with_its_ground_area),
        cmocka_unit_test(test_stops_support_a_hotspot_from_the_threshold_on),
        cmocka_unit_test(test_extent_along_and_across_the_rows),
        cmocka_unit_test(test_centre_lies_inside),
        cmocka_unit_test(test_least_area_drops_small_patches),
        cmocka_unit_test(test_a_chance_at_the_limit_is_in),
        cmocka_unit_test(test_without_chances_severity_decides),
        cmocka_unit_test(test_equal_patches_keep_the_reading_order),
        cmocka_unit_test(test_rough_surfaces),
        cmocka_unit_test(test_memory_runs_out),
        cmocka_unit_test(test_unknown_system_is_an_error),
        cmocka_unit_test(test_what_cannot_be_meant_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "fieldfoci/zones.h"

#include "support/scene.h"

static void draw(foci_survey *round) {
    foci_error err = {0};
    assert_done(foci_hotspots_find(&round->hotspots, &round->surface, &round->grid, &round->field, &round->readings,
                                   &round->hotspots_options, &err),
                err);
    assert_done(foci_zones_draw(&round->zones, &round->hotspots, &round->surface, &round->grid, &round->field,
                                &round->hotspots_options, &round->zones_options, &err),
                err);
}

/* No gap: the areas add up to the field's. No overlap: what two zones share has no area. */
static void assert_field_is_covered(const foci_survey *round) {
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
    foci_survey round = scene_make();
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
    foci_survey_free(&round);
}

static void test_means_are_weighted_by_share(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    draw(&round);
    const double *share = round.grid.share;
    const double cells = share[7] + share[10] + share[17] + share[40];
    const double chance = (0.61 * share[7] + 0.31 * share[10] + 0.33 * share[17] + 0.51 * share[40]) / cells;
    assert_near(round.zones.items[D].chance, chance, 1e-12);
    assert_near(round.zones.items[D].severity, 20 * chance + 0.385, 1e-12);
    foci_survey_free(&round);
}

static void test_an_absent_zone_is_empty(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
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
    foci_survey_free(&round);
}

static void test_without_chances_severity_decides(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
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
    foci_survey_free(&round);
}

static void test_a_chance_at_the_limit_is_in(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    round.zones_options.dig_chance = 0.33;
    draw(&round);
    assert_int_equal(round.zones.code[17], FOCI_ZONE_DIG);   /* 0.33 */
    assert_int_equal(round.zones.code[10], FOCI_ZONE_LEAVE); /* 0.31 */
    foci_survey_free(&round);
}

/* A hot patch is never left alone because --dig-chance was put above --treat-chance. */
static void test_dig_chance_above_treat_chance(void **unused) {
    (void)unused;
    foci_survey round = scene_make();
    round.zones_options.dig_chance = 0.9;
    draw(&round);
    assert_int_equal(round.zones.code[7], FOCI_ZONE_DIG);
    foci_survey_free(&round);
}

static void test_rough_surfaces_are_covered(void **unused) {
    (void)unused;
    for (uint32_t seed = 21; seed < 26; seed++) {
        foci_survey round = scene_make_rough(seed);
        draw(&round);
        for (int i = 0; i < FOCI_ZONE_END; i++)
            assert_true(round.zones.items[i].parts > 10);
        assert_field_is_covered(&round);
        foci_survey_free(&round);
    }
}

/* ---- margin ---- */

/* The plain twin: a cell is near where any cell of a hotspot comes within the margin of its centre. */
static bool is_near_a_hotspot(const foci_survey *round, size_t cell, double margin) {
    const foci_grid *grid = &round->grid;
    foci_point here = foci_grid_centre(grid, cell);
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        foci_point there = foci_grid_centre(grid, i);
        double across = fmax(0, fabs(there.x - here.x) - grid->cell / 2);
        double down = fmax(0, fabs(there.y - here.y) - grid->cell / 2);
        if (round->hotspots.label[i] > 0 && across * across + down * down <= margin * margin)
            return true;
    }
    return false;
}

static void test_a_margin_widens_hotspots(void **unused) {
    (void)unused;
    static const double margins[] = {4.9, 5, 11, 23.85, 400};
    for (size_t k = 0; k < sizeof margins / sizeof *margins; k++) {
        foci_survey round = scene_make_rough(61);
        round.hotspots_options.treat_chance = 0.97;
        round.zones_options.margin = margins[k];
        draw(&round);
        for (size_t i = 0; i < round.grid.columns * round.grid.rows; i++)
            if (round.grid.share[i] > 0)
                assert_int_equal(round.zones.code[i] == FOCI_ZONE_TREAT, is_near_a_hotspot(&round, i, margins[k]));
        assert_field_is_covered(&round);
        foci_survey_free(&round);
    }
}

/* ---- lanes ---- */

static void take_lanes(foci_survey *round, double swath, double least_run, double heading, double margin) {
    round->zones_options.swath = swath;
    round->zones_options.least_run = least_run;
    round->zones_options.row_heading = heading;
    round->zones_options.margin = margin;
}

static double sum_of_cells(const foci_survey *round, const double *layer) {
    double sum = 0;
    for (size_t i = 0; i < round->grid.columns * round->grid.rows; i++)
        if (round->grid.share[i] > 0)
            sum += round->grid.share[i] * (layer ? layer[i] : 1);
    return sum;
}

/* The means of the zones are those of the field, and the report's parts add up. Not quite: a cell on the boundary
 * counts as if its share were spread over all of it. */
static void assert_sums_agree(const foci_survey *round, double tolerance) {
    const foci_zones_lanes *lanes = &round->zones.lanes;
    double area = 0, severity = 0;
    for (int i = 0; i < FOCI_ZONE_END; i++) {
        const foci_zone *zone = &round->zones.items[i];
        area += zone->area_ha;
        severity += zone->area_ha > 0 ? zone->area_ha * zone->severity : 0;
        assert_int_equal(zone->parts, zone->shape.count);
    }
    double mean = sum_of_cells(round, round->surface.estimate) / sum_of_cells(round, NULL);
    assert_near(severity / area, mean, tolerance * mean);
    assert_near(lanes->treated_ha, round->zones.items[T].area_ha, tolerance * round->field.area_ha);
    assert_near(lanes->wanted_ha - lanes->missed_ha + lanes->extra_ha, lanes->treated_ha, 1e-9);
    assert_true(lanes->missed >= 0 && lanes->extra >= 0 && lanes->missed <= lanes->wanted + 1e-12);
    assert_true(lanes->switches <= 2 * lanes->runs && lanes->runs <= lanes->lanes + lanes->switches);
    assert_true(lanes->switches <= lanes->unheld);
}

static void test_lanes_cover_the_field(void **unused) {
    (void)unused;
    static const struct {
        double swath, least_run, heading, margin;
    } cases[] = {{12, 15, NAN, 0},   {12, 15, 0, 0},    {12, 15, 37.3, 3},
                 {17.5, 0, 92.3, 0}, {30, 60, 271, 12}, {3, 7, 181.9, 0}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        foci_survey round = scene_make_rough(71 + (uint32_t)k);
        take_lanes(&round, cases[k].swath, cases[k].least_run, cases[k].heading, cases[k].margin);
        draw(&round);
        assert_true(round.zones.lanes.runs > 5);
        assert_true(round.zones.items[T].area_ha > 0.1);
        assert_field_is_covered(&round);
        assert_sums_agree(&round, 2e-3);
        foci_survey_free(&round);
    }
}

/* The scene's field has a hole; no lane may close it. */
static void test_lanes_leave_holes_open(void **unused) {
    (void)unused;
    static const double headings[] = {NAN, 45, 88.1};
    for (size_t k = 0; k < 3; k++) {
        foci_survey round = scene_make();
        take_lanes(&round, 12, 15, headings[k], 0);
        draw(&round);
        assert_true(round.zones.items[T].area_ha > 0);
        assert_field_is_covered(&round);
        assert_sums_agree(&round, 1e-2);
        for (int i = 0; i < FOCI_ZONE_END; i++)
            assert_false(foci_multipolygon_contains(&round.zones.items[i].shape, (foci_point){512428, 4205593}));
        foci_survey_free(&round);
    }
}

/* A field like a U: its arms in the north, 60 m apart. Chance `inside` in the arms, 0.1 in the base. */
static foci_survey make_u(double inside) {
    static const foci_point outer[] = {{512300, 4205500}, {512480, 4205500}, {512480, 4205620}, {512420, 4205620},
                                       {512420, 4205540}, {512360, 4205540}, {512360, 4205620}, {512300, 4205620}};
    foci_survey round = {0};
    double chance[18 * 12];
    foci_ring ring = scene_ring(outer, 8);
    for (size_t i = 0; i < 18 * 12; i++)
        chance[i] = i / 18 < 8 ? inside : 0.1;
    scene_set_field(&round, scene_polygon(&ring, 1));
    scene_set_grid(&round, 512300, 4205620, 10, 18, 12);
    scene_set_surface(&round, chance);
    scene_set_readings(&round, outer, 0);
    round.hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = 10.385};
    round.zones_options = (foci_zones_options){.dig_chance = 0.2};
    return round;
}

/* Lanes from west to east cross both arms: nothing is switched in between, and the field's gap stays open. */
static void test_runs_pass_over_ground_outside(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    take_lanes(&round, 20, 100, 90, 0); /* an arm is 60 m: shorter than the least run */
    draw(&round);
    assert_int_equal(round.zones.items[T].parts, 2);
    assert_int_equal(round.zones.lanes.lanes, 6);
    assert_int_equal(round.zones.lanes.runs, 4);
    assert_int_equal(round.zones.lanes.switches, 0);
    assert_near(foci_multipolygon_area(&round.zones.items[T].shape), 2 * 60 * 80, 1e-6);
    assert_near(round.zones.items[T].chance, 0.8, 1e-9);
    assert_near(round.zones.lanes.missed_ha, 0, 1e-12);
    assert_field_is_covered(&round);
    foci_survey_free(&round);
}

/* Lanes from south to north: 40 m of base and 80 m of arm, the first shorter than a run of 50 m, so that 50 x 0.3
 * gained is set against what 10 m of it cost. */
static void test_a_run_grows_where_that_pays(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    take_lanes(&round, 20, 100, 0, 0); /* two runs of 100 m have no room: all of an arm and its base, or nothing */
    draw(&round);
    assert_near(foci_multipolygon_area(&round.zones.items[T].shape), 2 * 60 * 120, 1e-6); /* 80 x 0.3 > 40 x 0.4 */
    assert_near(round.zones.lanes.extra_ha, round.field.area_ha * 4800 / 16800, 1e-9);
    assert_field_is_covered(&round);
    foci_survey_free(&round);
    round = make_u(0.68);
    take_lanes(&round, 20, 100, 0, 0); /* 80 x 0.18 < 40 x 0.4 */
    draw(&round);
    assert_int_equal(round.zones.items[T].parts, 0);
    assert_near(round.zones.lanes.missed_ha, round.field.area_ha * 9600 / 16800, 1e-9);
    assert_near(round.zones.lanes.missed, round.zones.lanes.missed_ha * (20 * 0.68 + 0.385), 1e-9);
    assert_near(foci_multipolygon_area(&round.zones.items[D].shape), 2 * 60 * 120, 1e-6);
    assert_field_is_covered(&round);
    foci_survey_free(&round);
}

static void test_lanes_treat_all_or_nothing(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    for (size_t i = 0; i < 18 * 12; i++)
        round.surface.chance[i] = 0.5; /* at the limit is in */
    take_lanes(&round, 12, 15, 37.3, 0);
    draw(&round);
    assert_int_equal(round.zones.items[T].parts, 1);
    assert_int_equal(round.zones.items[T].shape.polygons[0].rings[0].count, 8); /* the field itself */
    assert_near(round.zones.items[T].area_ha, round.field.area_ha, 1e-9);
    assert_int_equal(round.zones.lanes.switches, 0);
    assert_field_is_covered(&round);
    foci_survey_free(&round);
    round = make_u(0.1);
    take_lanes(&round, 12, 15, 37.3, 0);
    draw(&round);
    assert_int_equal(round.zones.items[L].parts, 1);
    assert_int_equal(round.zones.lanes.runs, 0);
    assert_near(round.zones.lanes.wanted_ha, 0, 0);
    foci_survey_free(&round);
}

/* Patches too small to keep draw no sprayer, but they are dug. */
static void test_lanes_pass_over_small_patches(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    round.hotspots_options.least_area_ha = 0.5; /* an arm has 0.48 */
    take_lanes(&round, 20, 20, 90, 0);
    draw(&round);
    assert_int_equal(round.hotspots.count, 0);
    assert_near(foci_multipolygon_area(&round.zones.items[D].shape), 2 * 60 * 80, 1e-6);
    assert_near(round.zones.lanes.wanted_ha, 0, 0);
    foci_survey_free(&round);
}

/* With a margin of 20 m each arm reaches two cells on into the base, and a run of 20 m in the lane beside it pays:
 * there the first two cells of the base gain 0.3 each, of the next two one gains 0.3 and one, farther off, costs 0.4.
 */
static void test_a_margin_lengthens_runs(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    take_lanes(&round, 20, 20, 0, 20);
    draw(&round);
    assert_near(foci_multipolygon_area(&round.zones.items[T].shape), 2 * 60 * 100 + 2 * 20 * 20, 1e-6);
    assert_true(foci_multipolygon_contains(&round.zones.items[T].shape, (foci_point){512330, 4205521}));
    assert_true(foci_multipolygon_contains(&round.zones.items[T].shape, (foci_point){512370, 4205521}));
    assert_false(foci_multipolygon_contains(&round.zones.items[T].shape, (foci_point){512390, 4205521}));
    assert_false(foci_multipolygon_contains(&round.zones.items[T].shape, (foci_point){512330, 4205519}));
    assert_near(round.zones.items[T].chance, (0.8 * 9600 + 0.1 * 3200) / 12800, 1e-9);
    foci_survey_free(&round);
}

static void test_lanes_without_chances(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    free(round.surface.chance);
    round.surface.chance = NULL;
    take_lanes(&round, 20, 20, 90, 0);
    draw(&round);
    assert_near(foci_multipolygon_area(&round.zones.items[T].shape), 2 * 60 * 80, 1e-6);
    assert_near(round.zones.items[T].chance, NAN, 0);
    assert_near(round.zones.items[T].severity, 16.385, 1e-9);
    assert_int_equal(round.zones.items[D].parts, 0);
    foci_survey_free(&round);
}

/* 20 m lanes by a point 10 m off the cells' sides: in each lane 10 m of both arms and base, where 0.3 is gained and 0.4
 * lost. */
static void test_lanes_through_a_point_move_the_zone(void **unused) {
    (void)unused;
    foci_survey round = make_u(0.8);
    take_lanes(&round, 20, 20, 90, 0);
    round.zones_options.has_lane_through = true;
    round.zones_options.lane_through = (foci_point){512333, 4205540};
    draw(&round);
    assert_near(foci_multipolygon_area(&round.zones.items[T].shape), 2 * 60 * 70, 1e-6);
    assert_near(foci_multipolygon_box(&round.zones.items[T].shape).south, 4205550, 1e-6);
    foci_survey_free(&round);
}

/* The field's side bulges for 10 m by 5 cm into the next lane, which goes its own way 20 m on: no part for that. */
static void test_slivers_go_with_their_neighbour(void **unused) {
    (void)unused;
    static const foci_point outer[] = {{512300, 4205500},    {512319.9, 4205500}, {512319.9, 4205550},
                                       {512320.05, 4205555}, {512319.9, 4205560}, {512319.9, 4205580},
                                       {512360, 4205580},    {512360, 4205620},   {512300, 4205620}};
    foci_survey round = {0};
    double chance[6 * 12];
    foci_ring ring = scene_ring(outer, 9);
    for (size_t i = 0; i < 6 * 12; i++)
        chance[i] = i % 6 < 2 ? 0.8 : 0.1;
    scene_set_field(&round, scene_polygon(&ring, 1));
    scene_set_grid(&round, 512300, 4205620, 10, 6, 12);
    scene_set_surface(&round, chance);
    scene_set_readings(&round, outer, 0);
    round.hotspots_options = (foci_hotspots_options){.treat_chance = 0.5, .threshold = 10.385};
    round.zones_options = (foci_zones_options){.dig_chance = 0.2};
    take_lanes(&round, 20, 20, 0, 0);
    draw(&round);
    assert_int_equal(round.zones.items[T].parts, 1);
    assert_int_equal(round.zones.items[L].parts, 1);
    assert_near(foci_multipolygon_area(&round.zones.items[L].shape), 40 * 40, 1e-6);
    assert_field_is_covered(&round);
    foci_survey_free(&round);
}

static void test_the_same_again(void **unused) {
    (void)unused;
    foci_survey first = scene_make_rough(81), second = scene_make_rough(81);
    take_lanes(&first, 12, 15, 37.3, 3);
    take_lanes(&second, 12, 15, 37.3, 3);
    draw(&first);
    draw(&second);
    for (int i = 0; i < FOCI_ZONE_END; i++) {
        const foci_multipolygon *a = &first.zones.items[i].lonlat, *b = &second.zones.items[i].lonlat;
        assert_int_equal(a->count, b->count);
        for (size_t p = 0; p < a->count; p++) {
            const foci_ring *one = &a->polygons[p].rings[0], *other = &b->polygons[p].rings[0];
            assert_int_equal(one->count, other->count);
            assert_memory_equal(one->points, other->points, one->count * sizeof *one->points);
        }
    }
    foci_survey_free(&first);
    foci_survey_free(&second);
}

static void test_names(void **unused) {
    (void)unused;
    assert_string_equal(foci_zone_name(FOCI_ZONE_LEAVE), "leave");
    assert_string_equal(foci_zone_name(FOCI_ZONE_DIG), "dig");
    assert_string_equal(foci_zone_name(FOCI_ZONE_TREAT), "treat");
}

static foci_survey scene;

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
    take_lanes(&scene, 12, 30, 37.3, 5);
    support_fail_each_allocation(attempt);
    foci_survey_free(&scene);
}

static void test_too_fine_lanes_are_an_error(void **unused) {
    (void)unused;
    foci_error err;
    foci_zones zones = {0};
    foci_survey round = scene_make();
    draw(&round);
    take_lanes(&round, 0.001, 0.1, 0, 0);
    assert_fails(foci_zones_draw(&zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                 &round.hotspots_options, &round.zones_options, &err),
                 err, FOCI_BAD_SETTING, "larger swath");
    assert_null(zones.code);
    foci_survey_free(&round);
}

static void test_what_cannot_be_meant_is_refused(void **state) {
    (void)state;
    foci_survey round = scene_make();
    foci_error err = {0};
    foci_zones zones = {0};
    assert_done(foci_hotspots_find(&round.hotspots, &round.surface, &round.grid, &round.field, &round.readings,
                                   &round.hotspots_options, &err),
                err);
    const struct {
        foci_zones_options options;
        const char *key;
    } rows[] = {{{.dig_chance = NAN}, "dig-chance"},
                {{.dig_chance = 1.2}, "dig-chance"},
                {{.dig_chance = 0.2, .margin = -1}, "margin"},
                {{.dig_chance = 0.2, .swath = NAN}, "swath"},
                {{.dig_chance = 0.2, .swath = 12, .least_run = -5}, "least-run"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_fails(foci_zones_draw(&zones, &round.hotspots, &round.surface, &round.grid, &round.field,
                                     &round.hotspots_options, &rows[i].options, &err),
                     err, FOCI_BAD_SETTING, "is no");
        assert_string_equal(err.key, rows[i].key);
        assert_null(zones.code);
    }
    foci_survey_free(&round);
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
        cmocka_unit_test(test_a_margin_widens_hotspots),
        cmocka_unit_test(test_lanes_cover_the_field),
        cmocka_unit_test(test_lanes_leave_holes_open),
        cmocka_unit_test(test_runs_pass_over_ground_outside),
        cmocka_unit_test(test_a_run_grows_where_that_pays),
        cmocka_unit_test(test_lanes_treat_all_or_nothing),
        cmocka_unit_test(test_lanes_pass_over_small_patches),
        cmocka_unit_test(test_a_margin_lengthens_runs),
        cmocka_unit_test(test_lanes_without_chances),
        cmocka_unit_test(test_lanes_through_a_point_move_the_zone),
        cmocka_unit_test(test_slivers_go_with_their_neighbour),
        cmocka_unit_test(test_the_same_again),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_memory_runs_out),
        cmocka_unit_test(test_too_fine_lanes_are_an_error),
        cmocka_unit_test(test_what_cannot_be_meant_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

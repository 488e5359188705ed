#include "decide/zones/lanes.h"

#include "decide/zones/lanes_runs.h"
#include "support/scene.h"

/* ---- sequences ---- */

enum { BRUTE_MOST = 21 };

static size_t switches_of(unsigned sequence, size_t count) {
    size_t switches = 0;
    for (size_t i = 1; i < count; i++)
        switches += (sequence >> i & 1) != (sequence >> (i - 1) & 1);
    return switches;
}

static bool runs_are_long(unsigned sequence, size_t count, size_t least) {
    size_t length = 0;
    for (size_t i = 0; i < count; i++) {
        length++;
        if (i + 1 < count && (sequence >> i & 1) == (sequence >> (i + 1) & 1))
            continue;
        if (length < least)
            return false;
        length = 0;
    }
    return true;
}

static double sum_of(unsigned sequence, const double *value, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        if (sequence >> i & 1)
            sum += value[i];
    return sum;
}

/* The plain twin: every sequence there is. */
static unsigned best_plainly(const double *value, size_t count, size_t least, bool *several) {
    unsigned best = 0;
    bool found = false;
    for (unsigned sequence = 0; sequence < 1u << count; sequence++) {
        if (!runs_are_long(sequence, count, least))
            continue;
        double sum = sum_of(sequence, value, count), most = sum_of(best, value, count);
        size_t switches = switches_of(sequence, count), fewest = switches_of(best, count);
        if (!found || sum > most || (sum == most && switches < fewest)) {
            best = sequence;
            *several = false;
        } else if (sum == most && switches == fewest) {
            *several = true;
        }
        found = true;
    }
    return best;
}

static unsigned best_by_program(const double *value, size_t count, size_t least) {
    foci_error err = {0};
    bool on[BRUTE_MOST];
    unsigned sequence = 0;
    assert_done(foci_lanes_runs(on, value, count, least, &err), err);
    for (size_t i = 0; i < count; i++)
        sequence |= (unsigned)on[i] << i;
    return sequence;
}

static void compare_with_all(const double *value, size_t count, size_t least) {
    bool several = false;
    unsigned plain = best_plainly(value, count, least, &several), made = best_by_program(value, count, least);
    assert_true(runs_are_long(made, count, least));
    assert_near(sum_of(made, value, count), sum_of(plain, value, count), 0);
    assert_int_equal(switches_of(made, count), switches_of(plain, count));
    if (!several)
        assert_int_equal(made, plain);
}

/* Eighths add up exactly, so that ties are ties; a third of the steps weigh nothing, as outside the field. */
static void test_sequences_equal_the_best_of_all(void **unused) {
    (void)unused;
    uint32_t state = 4711;
    double value[BRUTE_MOST];
    for (int round = 0; round < 600; round++) {
        size_t count = 1 + (size_t)(13 * scene_random(&state)),
               least = 1 + (size_t)((double)count * scene_random(&state));
        for (size_t i = 0; i < count; i++)
            value[i] = scene_random(&state) < 1.0 / 3 ? 0 : (floor(17 * scene_random(&state)) - 8) / 8;
        compare_with_all(value, count, least < count ? least : count);
    }
}

static void test_sequences_of_real_numbers(void **unused) {
    (void)unused;
    uint32_t state = 815;
    double value[BRUTE_MOST];
    for (int round = 0; round < 200; round++) {
        for (size_t i = 0; i < 13; i++)
            value[i] = scene_random(&state) - 0.52;
        compare_with_all(value, 13, 1 + (size_t)round % 6);
    }
}

static void test_ties(void **unused) {
    (void)unused;
    static const double nothing[7] = {0};
    static const double gap[] = {1.5, 1.25, 0, 0, 0, 1.75, 0.5};
    static const double evens[] = {-1.5, -1.5, 1.25, 0.25, -1.5, -0.5};
    assert_int_equal(best_by_program(nothing, 7, 3), 0x7f); /* at the limit is in */
    assert_int_equal(best_by_program(gap, 7, 2), 0x7f);     /* a gap that weighs nothing is passed over */
    assert_int_equal(best_by_program(evens, 6, 2), 0x0c);
    assert_int_equal(best_by_program(evens, 6, 3), 0); /* with a third step it does not pay */
}

/* ---- lanes ---- */

typedef struct {
    foci_survey round;
    double *treat, *dig;
    signed char *code;
    foci_lane_layers layers;
} ground;

static ground ground_make(foci_survey round) {
    foci_error err = {0};
    ground g = {.round = round};
    const size_t cells = round.grid.columns * round.grid.rows;
    g.treat = foci_new_array(cells, sizeof *g.treat, &err);
    g.dig = foci_new_array(cells, sizeof *g.dig, &err);
    g.code = foci_new_array(cells, sizeof *g.code, &err);
    assert_true(g.treat && g.dig && g.code);
    for (size_t i = 0; i < cells; i++) {
        g.treat[i] = round.surface.chance[i] - 0.4;
        g.dig[i] = round.surface.chance[i] - 0.2;
        g.code[i] = round.surface.chance[i] >= 0.4 ? FOCI_ZONE_TREAT : FOCI_ZONE_LEAVE;
    }
    return g;
}

static foci_lanes lay(ground *g, const foci_zones_options *options) {
    foci_error err = {0};
    foci_lanes lanes = {0};
    g->layers = (foci_lane_layers){g->treat, g->dig, g->code, &g->round.surface};
    assert_done(foci_lanes_lay(&lanes, options, &g->round.grid, &g->round.field, &g->layers, &err), err);
    return lanes;
}

static void ground_free(ground *g) {
    free(g->treat);
    free(g->dig);
    free(g->code);
    foci_survey_free(&g->round);
}

static double across_of(const foci_lanes *lanes, foci_point place) {
    return place.x * lanes->across.x + place.y * lanes->across.y;
}

static void test_frame_is_squared_to_the_rows(void **unused) {
    (void)unused;
    ground g = ground_make(scene_make());
    foci_lanes lanes =
        lay(&g, &(foci_zones_options){.swath = 12, .least_run = 15, .row_heading = 90}); /* rows run east */
    assert_near(lanes.along.x, 1, 1e-15);
    assert_near(lanes.across.y, -1, 1e-15);
    assert_near(lanes.first, -4205658, 1e-6); /* left of east is north */
    assert_near(lanes.start, 512342, 1e-6);
    assert_int_equal(lanes.lattice.columns, 10); /* 113 m from north to south: 9.4 lanes */
    assert_int_equal(lanes.least, 5);
    assert_near(lanes.step, 3, 1e-12);
    assert_int_equal(lanes.lattice.rows, 49); /* 146 m */
    foci_lanes_free(&lanes);
    lanes = lay(&g, &(foci_zones_options){.swath = 12, .row_heading = NAN});
    assert_near(lanes.along.y, 1, 0);
    assert_near(lanes.first, 512342, 1e-9);
    assert_near(lanes.step, 20, 0); /* no least run: a cell */
    assert_int_equal(lanes.least, 1);
    foci_lanes_free(&lanes);
    ground_free(&g);
}

static void test_a_long_least_run_has_more_steps(void **unused) {
    (void)unused;
    ground g = ground_make(scene_make());
    foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 12, .least_run = 130});
    assert_int_equal(lanes.least, 7);
    assert_near(lanes.step, 130.0 / 7, 1e-12);
    foci_lanes_free(&lanes);
    lanes = lay(&g, &(foci_zones_options){.swath = 12, .least_run = 400}); /* longer than the field */
    assert_int_equal(lanes.lattice.rows, lanes.least);
    foci_lanes_free(&lanes);
    ground_free(&g);
}

static void test_lanes_through_a_point(void **unused) {
    (void)unused;
    static const double headings[] = {0, 37.3, 92.3, 201.7};
    static const foci_point places[] = {{512400.3, 4205601.2}, {512100, 4205801}, {513007, 4204901}};
    ground g = ground_make(scene_make());
    for (size_t h = 0; h < 4; h++)
        for (size_t i = 0; i < 3; i++) {
            foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 11.3,
                                                             .row_heading = headings[h],
                                                             .has_lane_through = true,
                                                             .lane_through = places[i]});
            double off = (across_of(&lanes, places[i]) - lanes.first) / 11.3 - 0.5;
            assert_near(off, round(off), 1e-8);
            double rim = lanes.first - lanes.reach.west, last = lanes.first + 11.3 * (double)lanes.lattice.columns;
            assert_true(rim > -11.3 - 1e-6 && rim < 0.1 * 11.3);
            assert_true(last > lanes.reach.east - 0.1 * 11.3 && last < lanes.reach.east + 11.3);
            foci_lanes_free(&lanes);
        }
    ground_free(&g);
}

/* What the field has less than a tenth of a swath beyond the last lane is no lane of its own. */
static void test_a_thin_rim_goes_with_the_next_lane(void **unused) {
    (void)unused;
    ground g = ground_make(scene_make());
    foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 146.0 / 8.09, .row_heading = 0});
    assert_int_equal(lanes.lattice.columns, 8);
    foci_lanes_free(&lanes);
    lanes = lay(&g, &(foci_zones_options){.swath = 146.0 / 8.11, .row_heading = 0});
    assert_int_equal(lanes.lattice.columns, 9);
    foci_lanes_free(&lanes);
    ground_free(&g);
}

/* One step in the plane, as the twin sees it; the outermost reach beyond the field. */
static foci_multipolygon step_shape(const foci_lanes *lanes, size_t lane, size_t row) {
    const size_t up = lanes->lattice.rows - 1 - row;
    foci_point corners[4];
    for (int k = 0; k < 4; k++) {
        size_t i = lane + (k == 1 || k == 2 ? 1 : 0), j = up + (k >= 2 ? 1 : 0);
        double x = lanes->first + lanes->swath * (double)i, y = lanes->start + lanes->step * (double)j;
        x += i == 0 ? -100 : i == lanes->lattice.columns ? 100 : 0;
        y += j == 0 ? -100 : j == lanes->lattice.rows ? 100 : 0;
        corners[k] = (foci_point){x * lanes->across.x + y * lanes->along.x, x * lanes->across.y + y * lanes->along.y};
    }
    foci_ring ring = scene_ring(corners, 4);
    return scene_polygon(&ring, 1);
}

/* The plain twin: each cell cut with the step, its share of the field spread evenly over it. */
static foci_lane_step step_plainly(const ground *g, const foci_lanes *lanes, size_t lane, size_t row) {
    foci_lane_step sums = {0};
    foci_multipolygon shape = step_shape(lanes, lane, row);
    for (size_t i = 0; i < g->round.grid.columns * g->round.grid.rows; i++) {
        if (!(g->round.grid.share[i] > 0))
            continue;
        foci_error err = {0};
        foci_multipolygon cell = scene_cell(&g->round.grid, i), cut = {0};
        assert_done(foci_overlay_intersection(&cut, &cell, &shape, &err), err);
        double area = foci_multipolygon_area(&cut) * g->round.grid.share[i];
        sums.area += area;
        sums.treat += area * g->treat[i];
        sums.dig += area * g->dig[i];
        sums.chance += area * g->round.surface.chance[i];
        sums.severity += area * g->round.surface.estimate[i];
        sums.wanted += g->code[i] == FOCI_ZONE_TREAT ? area : 0;
        sums.wanted_severity += g->code[i] == FOCI_ZONE_TREAT ? area * g->round.surface.estimate[i] : 0;
        foci_multipolygon_free(&cell);
        foci_multipolygon_free(&cut);
    }
    foci_multipolygon_free(&shape);
    return sums;
}

static double total_area(const foci_lanes *lanes) {
    double area = 0;
    for (size_t i = 0; i < lanes->lattice.columns * lanes->lattice.rows; i++)
        area += lanes->steps[i].area;
    return area;
}

static void test_steps_hold_what_lies_under_them(void **unused) {
    (void)unused;
    static const struct {
        double heading, swath, least_run;
    } cases[] = {{0, 20, 100}, {0, 18, 80}, {23.85, 18, 80}, {92.3, 27.1, 30}, {180, 9.5, 0}, {281.4, 43, 60}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        ground g = ground_make(scene_make());
        foci_lanes lanes =
            lay(&g, &(foci_zones_options){
                        .swath = cases[k].swath, .least_run = cases[k].least_run, .row_heading = cases[k].heading});
        double field = 0;
        for (size_t i = 0; i < g.round.grid.columns * g.round.grid.rows; i++)
            field += 400 * g.round.grid.share[i];
        assert_near(total_area(&lanes), field, 1e-8 * field);
        for (size_t row = 0; row < lanes.lattice.rows; row++)
            for (size_t lane = 0; lane < lanes.lattice.columns; lane++) {
                foci_lane_step plain = step_plainly(&g, &lanes, lane, row);
                const foci_lane_step *made = &lanes.steps[row * lanes.lattice.columns + lane];
                assert_near(made->area, plain.area, 1e-5);
                assert_near(made->treat, plain.treat, 1e-5);
                assert_near(made->dig, plain.dig, 1e-5);
                assert_near(made->chance, plain.chance, 1e-5);
                assert_near(made->severity, plain.severity, 1e-4);
                assert_near(made->wanted, plain.wanted, 1e-5);
                assert_near(made->wanted_severity, plain.wanted_severity, 1e-4);
            }
        foci_lanes_free(&lanes);
        ground_free(&g);
    }
}

/* From the first to the last step that meets the field, or as long as the least run. */
static void reach_plainly(const foci_lanes *lanes, size_t lane, size_t *from, size_t *to) {
    *from = lanes->lattice.rows;
    *to = 0;
    for (size_t row = 0; row < lanes->lattice.rows; row++)
        if (lanes->steps[row * lanes->lattice.columns + lane].area > 0) {
            *from = row < *from ? row : *from;
            *to = row + 1;
        }
}

static void assert_lane_is_best(const foci_lanes *lanes, size_t lane) {
    size_t from, to;
    double value[BRUTE_MOST];
    unsigned made = 0;
    bool several;
    reach_plainly(lanes, lane, &from, &to);
    assert_true(to > from + lanes->least && to - from <= BRUTE_MOST);
    for (size_t row = from; row < to; row++) {
        value[row - from] = lanes->steps[row * lanes->lattice.columns + lane].treat;
        made |= (unsigned)(lanes->code[row * lanes->lattice.columns + lane] == FOCI_ZONE_TREAT) << (row - from);
    }
    assert_int_equal(made, best_plainly(value, to - from, lanes->least, &several));
}

/* In each untreated run, every division into dig and leave. */
static void assert_digs_are_best(const foci_lanes *lanes, size_t lane) {
    size_t from, to, end;
    reach_plainly(lanes, lane, &from, &to);
    for (size_t row = from; row < to; row = end) {
        const signed char *code = &lanes->code[lane];
        const size_t columns = lanes->lattice.columns;
        bool several, treated = code[row * columns] == FOCI_ZONE_TREAT;
        double value[BRUTE_MOST];
        unsigned made = 0;
        for (end = row; end < to && (code[end * columns] == FOCI_ZONE_TREAT) == treated; end++) {
            value[end - row] = lanes->steps[end * columns + lane].dig;
            made |= (unsigned)(code[end * columns] == FOCI_ZONE_DIG) << (end - row);
        }
        assert_true(end - row >= lanes->least);
        if (!treated)
            assert_int_equal(made, best_plainly(value, end - row, lanes->least, &several));
    }
}

static void test_every_lane_is_the_best_there_is(void **unused) {
    (void)unused;
    foci_error err = {0};
    static const double headings[] = {0, 3.85, 37.3, 181.9};
    size_t treated = 0, dug = 0, looked_at = 0;
    for (size_t h = 0; h < 4; h++) {
        ground g = ground_make(scene_make_rough(31 + (uint32_t)h));
        foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 27, .least_run = 50, .row_heading = headings[h]});
        for (size_t i = 0; i < lanes.lattice.columns * lanes.lattice.rows; i++)
            lanes.steps[i].treat -= 0.1 * lanes.steps[i].area; /* 0.5: the mean of the surface */
        assert_done(foci_lanes_decide(&lanes, &err), err);
        for (size_t lane = 0; lane < lanes.lattice.columns; lane++) {
            size_t from, to;
            reach_plainly(&lanes, lane, &from, &to);
            if (to <= from + lanes.least || to - from > BRUTE_MOST)
                continue;
            looked_at++;
            assert_lane_is_best(&lanes, lane);
            assert_digs_are_best(&lanes, lane);
        }
        for (size_t i = 0; i < lanes.lattice.columns * lanes.lattice.rows; i++) {
            treated += lanes.code[i] == FOCI_ZONE_TREAT;
            dug += lanes.code[i] == FOCI_ZONE_DIG;
        }
        foci_lanes_free(&lanes);
        ground_free(&g);
    }
    assert_true(treated > 20 && dug > 20 && looked_at > 12);
}

/* Shortest run of this code in the lanes, steps. */
static size_t shortest_run(const foci_lanes *lanes, foci_zone_code code) {
    size_t shortest = SIZE_MAX;
    for (size_t lane = 0; lane < lanes->lattice.columns; lane++) {
        size_t length = 0;
        for (size_t row = 0; row <= lanes->lattice.rows; row++) {
            bool same =
                row < lanes->lattice.rows && lanes->code[row * lanes->lattice.columns + lane] == (signed char)code;
            if (same)
                length++;
            else if (length > 0 && length < shortest)
                shortest = length;
            length = same ? length : 0;
        }
    }
    return shortest;
}

static void test_no_run_is_shorter_than_the_least(void **unused) {
    (void)unused;
    static const double headings[] = {0, 37.3, 92.3, 181.9, NAN};
    for (uint32_t seed = 41; seed < 46; seed++) {
        foci_error err = {0};
        ground g = ground_make(scene_make_rough(seed));
        foci_lanes lanes =
            lay(&g, &(foci_zones_options){.swath = 12, .least_run = 15, .row_heading = headings[seed - 41]});
        assert_done(foci_lanes_decide(&lanes, &err), err);
        for (int code = 0; code < FOCI_ZONE_END; code++)
            assert_true(shortest_run(&lanes, (foci_zone_code)code) >= lanes.least);
        foci_lanes_free(&lanes);
        ground_free(&g);
    }
}

static void test_a_field_of_one_kind_is_one_rectangle(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_multipolygon outlines = {0};
    signed char *code = NULL;
    ground g = ground_make(scene_make());
    for (size_t i = 0; i < g.round.grid.columns * g.round.grid.rows; i++)
        g.treat[i] = g.dig[i] = -0.3;
    foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 12, .least_run = 15, .row_heading = 37.3});
    assert_done(foci_lanes_decide(&lanes, &err), err);
    assert_done(foci_lanes_outlines(&outlines, &code, &lanes, &err), err);
    assert_int_equal(outlines.count, 1);
    assert_int_equal(code[0], FOCI_ZONE_LEAVE);
    assert_int_equal(outlines.polygons[0].count, 1);
    assert_int_equal(outlines.polygons[0].rings[0].count, 4);
    foci_multipolygon cut = {0};
    assert_done(foci_overlay_intersection(&cut, &outlines, &g.round.field.shape, &err), err);
    assert_near(foci_multipolygon_area(&cut), foci_multipolygon_area(&g.round.field.shape), 1e-6);
    foci_multipolygon_free(&cut);
    foci_multipolygon_free(&outlines);
    free(code);
    foci_lanes_free(&lanes);
    ground_free(&g);
}

/* Turning where nothing meets and meeting where nothing turns: each ring keeps just such corners. */
static void test_outlines_are_valid_and_keep_what_neighbours_share(void **unused) {
    (void)unused;
    foci_error err = {0};
    for (uint32_t seed = 51; seed < 54; seed++) {
        foci_multipolygon outlines = {0};
        signed char *code = NULL;
        ground g = ground_make(scene_make_rough(seed));
        foci_lanes lanes = lay(&g, &(foci_zones_options){.swath = 12, .row_heading = 37.3});
        assert_done(foci_lanes_decide(&lanes, &err), err);
        assert_done(foci_lanes_outlines(&outlines, &code, &lanes, &err), err);
        assert_true(outlines.count > 50);
        double area = 0;
        for (size_t p = 0; p < outlines.count; p++) {
            foci_multipolygon part = {1, &outlines.polygons[p]};
            assert_true(foci_overlay_valid(&part));
            area += foci_multipolygon_area(&part);
        }
        double across = fmax(lanes.first + lanes.swath * (double)lanes.lattice.columns, lanes.reach.east + 1) -
                        fmin(lanes.first, lanes.reach.west - 1);
        double along = fmax(lanes.start + lanes.step * (double)lanes.lattice.rows, lanes.reach.north + 1) -
                       fmin(lanes.start, lanes.reach.south - 1);
        assert_near(area, across * along, 1e-6 * area);
        foci_multipolygon_free(&outlines);
        free(code);
        foci_lanes_free(&lanes);
        ground_free(&g);
    }
}

static void test_too_many_steps(void **unused) {
    (void)unused;
    foci_error err;
    foci_lanes lanes = {0};
    ground g = ground_make(scene_make());
    const foci_lane_layers layers = {g.treat, g.dig, g.code, &g.round.surface};
    const foci_zones_options fine = {.swath = 0.01, .least_run = 0.01};
    assert_fails(foci_lanes_lay(&lanes, &fine, &g.round.grid, &g.round.field, &layers, &err), err, FOCI_BAD_SETTING,
                 "million pieces");
    assert_null(lanes.steps);
    ground_free(&g);
}

static ground scene;

static bool attempt(foci_error *err) {
    const foci_lane_layers layers = {scene.treat, scene.dig, scene.code, &scene.round.surface};
    foci_lanes lanes = {0};
    foci_multipolygon outlines = {0};
    signed char *code = NULL;
    bool ok = foci_lanes_lay(&lanes, &(foci_zones_options){.swath = 12, .least_run = 30}, &scene.round.grid,
                             &scene.round.field, &layers, err) &&
              foci_lanes_decide(&lanes, err) && foci_lanes_outlines(&outlines, &code, &lanes, err);
    foci_multipolygon_free(&outlines);
    free(code);
    foci_lanes_free(&lanes);
    foci_lanes_free(&lanes);
    return ok;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    scene = ground_make(scene_make());
    support_fail_each_allocation(attempt);
    ground_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sequences_equal_the_best_of_all),
        cmocka_unit_test(test_sequences_of_real_numbers),
        cmocka_unit_test(test_ties),
        cmocka_unit_test(test_frame_is_squared_to_the_rows),
        cmocka_unit_test(test_a_long_least_run_has_more_steps),
        cmocka_unit_test(test_lanes_through_a_point),
        cmocka_unit_test(test_a_thin_rim_goes_with_the_next_lane),
        cmocka_unit_test(test_steps_hold_what_lies_under_them),
        cmocka_unit_test(test_every_lane_is_the_best_there_is),
        cmocka_unit_test(test_no_run_is_shorter_than_the_least),
        cmocka_unit_test(test_a_field_of_one_kind_is_one_rectangle),
        cmocka_unit_test(test_outlines_are_valid_and_keep_what_neighbours_share),
        cmocka_unit_test(test_too_many_steps),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

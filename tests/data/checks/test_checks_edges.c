#include "fieldfoci/checks.h"

#include "data/checks/scene.h"

static void swap(foci_stop *stop) {
    stop->lonlat = (foci_point){stop->lonlat.y, stop->lonlat.x};
    stop->place = (foci_point){NAN, NAN};
}

static void far_outside(scene *s) {
    put(&s->items[0], -10.5, 30);
}

static void south_for_north(scene *s) {
    s->items[2].lonlat.y = -s->items[2].lonlat.y;
    s->items[2].place = (foci_point){1, -9.5e6};
}

static void blank(scene *s) {
    count(&s->items[6], NAN, 40);
    count(&s->items[8], 3, NAN);
}

static void many_names_are_cut(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 0; i < 7; i++)
        count(&s.items[i], NAN, 40);
    assert_done(run(&s), s.err);
    const foci_finding *finding = find(&s, "blank reading");
    assert_non_null(strstr(finding->text, "Stops S1, S2, S3, S4, S5 and 2 more have a blank reading and are left out"));
    assert_int_equal(finding->stop_count, 7);
    assert_string_equal(finding->stops[6], "S7");
    foci_findings_free(&s.findings);
}

static void a_cluster_is_carried_by_its_first_stop(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    put(&s.items[20], s.items[3].place.x, s.items[3].place.y);
    put(&s.items[25], s.items[3].place.x, s.items[3].place.y - 0.0099);
    put(&s.items[26], s.items[3].place.x, s.items[3].place.y - 0.0101); /* within 1 cm of 26, but not of 4 */
    assert_done(run(&s), s.err);
    assert_int_equal(s.items[3].pooled_into, FOCI_NOT_POOLED);
    assert_true(s.items[3].used);
    assert_int_equal(s.items[20].pooled_into, 3);
    assert_int_equal(s.items[25].pooled_into, 3);
    assert_false(s.items[25].used);
    assert_int_equal(s.items[26].pooled_into, FOCI_NOT_POOLED);
    foci_findings_free(&s.findings);
}

static void a_stop_that_is_left_out_carries_nothing(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    put(&s.items[12], s.items[11].place.x, s.items[11].place.y);
    count(&s.items[11], NAN, 40); /* blank: the other one speaks for the place */
    assert_done(run(&s), s.err);
    assert_true(s.items[12].used);
    assert_null(find(&s, "shared place"));
    foci_findings_free(&s.findings);
}

static void without_a_field_nothing_is_outside(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    far_outside(&s);
    south_for_north(&s);
    assert_done(foci_checks_make(&s.findings, &s.stops, NULL, NULL, &s.err), s.err);
    assert_true(s.items[0].used && s.items[2].used);
    assert_null(find(&s, "outside the field"));
    assert_null(find(&s, "wrong sign"));
    foci_findings_free(&s.findings);
}

/* A field of `length` x `width` metres, turned by 30 degrees, with `rows` lines of stops `apart` metres from each other
 * about its middle line. Whether they are said to lie on one line. */
static bool is_one_line(double length, double width, size_t rows, double apart, bool with_field) {
    scene s;
    scene_make(&s);
    const double corners[4][2] = {{0, 0}, {length, 0}, {length, width}, {0, width}}, c = cos(0.5236), d = sin(0.5236);
    for (size_t i = 0; i < 4; i++)
        s.metres[i] = (foci_point){c * corners[i][0] - d * corners[i][1], d * corners[i][0] + c * corners[i][1]};
    for (size_t i = 0; i < STOPS; i++) {
        double x = length * ((double)i + 0.43) / STOPS;
        double y = width / 2 + apart * ((double)(i % rows) - ((double)rows - 1) / 2) + 0.7 * sin(37 * (double)i);
        s.items[i].place = (foci_point){c * x - d * y, d * x + c * y};
    }
    assert_done(foci_checks_make(&s.findings, &s.stops, NULL, with_field ? &s.shape : NULL, &s.err), s.err);
    bool said = find(&s, "one line") != NULL;
    foci_findings_free(&s.findings);
    return said;
}

static void stops_that_span_a_strip_are_no_line(void **state) {
    (void)state;
    assert_false(is_one_line(2000, 60, 3, 20, true)); /* as wide as the field lets them be */
    assert_true(is_one_line(1200, 60, 1, 0, true));   /* one line down the middle of it */
    assert_true(is_one_line(2000, 400, 3, 20, true)); /* the same stops in a wide field */
    assert_true(is_one_line(2000, 400, 1, 0, true));
    assert_false(is_one_line(2000, 40, 1, 0, true)); /* no ground farther off than the next stop, 67 m */
    assert_false(is_one_line(300, 60, 3, 15, false));
    assert_true(is_one_line(2000, 60, 1, 0, false));
}

static void a_hole_is_outside(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    foci_point hole[] = {{60, 60}, {60, 80}, {80, 80}, {80, 60}}; /* stop S8 at (70.07, 70.03) is 9.93 m inside it */
    foci_ring rings[] = {s.rings[1], {4, hole}};
    s.polygons[1] = (foci_polygon){2, rings};
    assert_done(run(&s), s.err);
    assert_non_null(strstr(find(&s, "outside the field")->text, "Stop S8 lies 9.9 m outside"));
    assert_true(s.items[7].used);
    foci_findings_free(&s.findings);
}

static void a_field_across_greenwich_has_no_wrong_signs(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 0; i < 4; i++)
        s.degrees[i].x += 93.34 - 0.0016;
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].own.x = s.items[i].lonlat.x += 93.34 - 0.0016;
    s.items[0].lonlat.x = -0.00175; /* 12 m beyond the western edge; its mirror image lies east of the field's middle */
    s.items[0].place.x = -12;
    assert_done(run(&s), s.err);
    assert_null(find(&s, "wrong sign"));
    assert_non_null(find(&s, "outside the field"));
    foci_findings_free(&s.findings);
}

static void even_effort_is_up_to_twofold(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    count(&s.items[13], 2, 80);
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
}

static void a_week_is_one_round(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    memcpy(s.items[14].date, "2026-08-25", 11);
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
    for (size_t i = 0; i < STOPS; i++)
        memcpy(s.items[i].date, "2023-12-28", 11);
    memcpy(s.items[14].date, "2024-03-01", 11); /* 64 days in a leap year */
    assert_done(run(&s), s.err);
    assert_non_null(strstr(find(&s, "days apart")->text, "over 64 days"));
    foci_findings_free(&s.findings);
}

static void metres_may_be_round(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 0; i < STOPS; i++) {
        s.items[i].input = 1;
        s.items[i].own = (foci_point){round(s.items[i].place.x), round(s.items[i].place.y)};
    }
    s.stops.input_count = 2;
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
}

/* ---- the edge, and close together ---- */

static void the_field_starts_at_5_m(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    put(&s.items[0], 5.01, 30.03);
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
    foci_point hole[] = {{60, 60}, {60, 66}, {66, 66}, {66, 60}}; /* stop S8 at (70.07, 70.03) is 5.7 m from it */
    foci_ring rings[] = {s.rings[1], {4, hole}};
    s.polygons[1] = (foci_polygon){2, rings};
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
    put(&s.items[7], 68.07, 68.03); /* now 2.9 m */
    assert_done(run(&s), s.err);
    assert_string_equal(find(&s, "on the edge")->stops[0], "S8");
    foci_findings_free(&s.findings);
}

/* The scene made smaller: its outermost stops are 3/4 of a spacing from the edge, wherever that is. */
static void small_trials_have_no_headland_and_a_tape(void **state) {
    (void)state;
    static const double sizes[] = {0.2, 0.074, 0.025, 0.01}; /* stops 8, 2.96, 1 and 0.4 m apart */
    for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
        scene s;
        scene_make(&s);
        for (size_t i = 0; i < STOPS; i++)
            s.items[i].place = (foci_point){sizes[k] * s.items[i].place.x, sizes[k] * s.items[i].place.y};
        for (size_t i = 0; i < 4; i++)
            s.metres[i] = (foci_point){sizes[k] * s.metres[i].x, sizes[k] * s.metres[i].y};
        assert_done(run(&s), s.err);
        assert_null(find(&s, "on the edge"));
        assert_null(find(&s, "close stops"));
        foci_findings_free(&s.findings);
    }
}

/* A strip 20 m wide with its deepest stop in the middle: whoever stays 1 m away has done what can be done there. */
static void a_strip_has_a_narrow_edge(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 0; i < 4; i++)
        s.metres[i] = (foci_point){i == 1 || i == 2 ? 1000 : 0, i >= 2 ? 20 : 0};
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].place = (foci_point){20 + 32 * (double)i, i % 3 == 1 ? 10 : i % 3 == 2 ? 1.1 : 18.9};
    assert_done(run(&s), s.err);
    assert_null(find(&s, "on the edge"));
    s.items[6].place.y = 19.1;
    assert_done(run(&s), s.err);
    assert_int_equal(find(&s, "on the edge")->stop_count, 1);
    foci_findings_free(&s.findings);
}

/* Every stop of a walk looked at twice, 1.5 m apart: that is no tape. */
static void a_round_walked_twice_is_told(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 15; i < STOPS; i++)
        put(&s.items[i], s.items[i - 15].place.x + 1.5, s.items[i - 15].place.y);
    assert_done(run(&s), s.err);
    assert_int_equal(find(&s, "close stops")->stop_count, STOPS);
    foci_findings_free(&s.findings);
}

/* ---- none left ---- */

static void lose_sign(foci_stop *stop) {
    stop->lonlat.x = -stop->lonlat.x;
}

static void move_away(foci_stop *stop) {
    put(stop, stop->place.x, stop->place.y + 20000);
}

static void clear(foci_stop *stop) {
    count(stop, NAN, 40);
}

static void overcount(foci_stop *stop) {
    count(stop, 41, 40);
}

static void where_none_is_left_the_remedy_is_said(void **state) {
    (void)state;
    static const struct {
        void (*spoil)(foci_stop *stop);
        const char *words;
    } rows[] = {
        {swap, "30 of 30 lie in the field only with longitude and latitude exchanged; swap the two columns"},
        {lose_sign, "west of Greenwich take a minus sign"},
        {move_away,
         "lie outside the field (the nearest is 19.9 km from the field's middle); check the coordinates, --crs"},
        {clear, "blank is not zero"},
        {overcount, "--hits and --checked"},
    };
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        scene s;
        scene_make(&s);
        for (size_t i = 0; i < STOPS; i++)
            rows[r].spoil(&s.items[i]);
        assert_fails(run(&s), s.err, FOCI_BAD_INPUT, rows[r].words);
        assert_string_equal(s.err.source, "stops.csv");
        assert_int_equal(s.findings.count, 1); /* they are there to be shown */
        foci_findings_free(&s.findings);
    }
}

static void the_most_frequent_reason_wins(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t i = 0; i < STOPS; i++)
        (i < 12 ? swap : clear)(&s.items[i]);
    assert_fails(run(&s), s.err, FOCI_BAD_INPUT, "18 of 30 have a blank reading");
    assert_int_equal(s.findings.count, 2);
    foci_findings_free(&s.findings);
}

static void a_check_may_be_made_twice(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    blank(&s);
    assert_done(run(&s), s.err);
    foci_findings_free(&s.findings);
    count(&s.items[6], 1, 40);
    assert_done(run(&s), s.err);
    assert_true(s.items[6].used);
    assert_false(s.items[8].used);
    foci_findings_free(&s.findings);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(many_names_are_cut),
        cmocka_unit_test(a_cluster_is_carried_by_its_first_stop),
        cmocka_unit_test(a_stop_that_is_left_out_carries_nothing),
        cmocka_unit_test(without_a_field_nothing_is_outside),
        cmocka_unit_test(stops_that_span_a_strip_are_no_line),
        cmocka_unit_test(a_hole_is_outside),
        cmocka_unit_test(a_field_across_greenwich_has_no_wrong_signs),
        cmocka_unit_test(even_effort_is_up_to_twofold),
        cmocka_unit_test(a_week_is_one_round),
        cmocka_unit_test(metres_may_be_round),
        cmocka_unit_test(the_field_starts_at_5_m),
        cmocka_unit_test(small_trials_have_no_headland_and_a_tape),
        cmocka_unit_test(a_strip_has_a_narrow_edge),
        cmocka_unit_test(a_round_walked_twice_is_told),
        cmocka_unit_test(where_none_is_left_the_remedy_is_said),
        cmocka_unit_test(the_most_frequent_reason_wins),
        cmocka_unit_test(a_check_may_be_made_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

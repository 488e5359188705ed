/* Findings that need many readings together: those that look like classes, and those that rise across the field. */
#include "fieldfoci/checks.h"

#include "data/checks/scene.h"

/* ---- classes that nobody called so ---- */

static char points[] = "leafspot", percents[] = "leaf spot, pct";

static void make_classes(scene *s) {
    scene_make(s);
    make_scores(s);
    s->stops.unit = points;
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = (double)(i * 7 % 10 + 1);
}

static bool is_like_classes(scene *s) {
    assert_done(run(s), s->err);
    const bool told = find(s, "looks like a scale") != NULL;
    foci_findings_free(&s->findings);
    return told;
}

static void amounts_counts_and_named_scales_are_no_classes(void **state) {
    (void)state;
    scene s;
    make_classes(&s);
    assert_true(is_like_classes(&s));
    s.stops.unit = percents;
    assert_false(is_like_classes(&s));
    s.stops.unit = points;
    s.stops.amounts = true;
    assert_false(is_like_classes(&s));
    s.stops.amounts = false;
    s.stops.scale = (foci_ordinal){.title = "1 to 10 scale", .unit = "percent of leaves lost", .count = 10};
    assert_false(is_like_classes(&s));
    s.stops.scale = (foci_ordinal){0};
    s.stops.least = 1;
    s.stops.most = 10;
    assert_false(is_like_classes(&s));
    scene_make(&s);
    s.stops.unit = points;
    for (size_t i = 0; i < STOPS; i++)
        count(&s.items[i], (double)(i % 5), 100);
    assert_false(is_like_classes(&s));
}

static void who_says_none_says_amounts(void **state) {
    (void)state;
    static const struct {
        const char *scale;
        bool amounts;
    } rows[] = {{NULL, false}, {"none", true}, {"rust-1-9", false}};
    const foci_point place = {-39.34, 42.97};
    const double score = 3;
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        foci_stops_options options = foci_stops_options_make();
        foci_stops stops = {0};
        foci_error err = {0};
        options.scale_of = rows[r].scale;
        const foci_stop_arrays arrays = {.count = 1, .lonlat = &place, .values = &score};
        assert_done(foci_stops_of_arrays(&stops, &arrays, &options, &err), err);
        assert_true(stops.amounts == rows[r].amounts);
        foci_stops_free(&stops);
    }
}

static void classes_are_few_even_and_often(void **state) {
    (void)state;
    scene s;
    make_classes(&s);
    s.items[3].value = 4.5;
    assert_true(is_like_classes(&s));
    s.items[3].value = 4.25;
    assert_false(is_like_classes(&s));
    s.items[3].value = 11;
    assert_true(is_like_classes(&s));
    s.items[3].value = 12;
    assert_false(is_like_classes(&s));
    s.items[3].value = NAN; /* a stop that is left out has no say */
    assert_true(is_like_classes(&s));
    make_classes(&s);
    s.stops.count = 20;
    assert_true(is_like_classes(&s));
    s.stops.count = 19;
    assert_false(is_like_classes(&s));
    make_classes(&s);
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].value = (double)(i % 4);
    assert_true(is_like_classes(&s));
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].value = (double)(i % 3);
    assert_false(is_like_classes(&s));
}

/* ---- from edge to edge ---- */

/* Scores of the first `stops` stops of the scene: `rise` from each column to the next, over what has no order. The
 * share that the finding tells, or -1. */
static int share_told(size_t stops, double rise, size_t step) {
    scene s;
    int share = -1;
    scene_make(&s);
    make_scores(&s);
    s.stops.count = stops;
    for (size_t i = 0; i < stops; i++)
        s.items[i].value = rise * (double)(i % 6) + (double)(i * step % 20);
    assert_done(run(&s), s.err);
    const foci_finding *finding = find(&s, "trend");
    const char *words = finding ? strstr(finding->text, "tells ") : NULL;
    if (words)
        share = atoi(words + 6);
    foci_findings_free(&s.findings);
    return share;
}

/* Shares of variation from least squares worked out apart. The F table's 6.11 for 1 % with 2 and 17 degrees (from
 * memory) is a share of 2 x 6.11 / (2 x 6.11 + 17) = 0.418. */
static void chance_alone_and_weak_slopes_are_no_trend(void **state) {
    (void)state;
    assert_int_equal(share_told(20, 2.5, 11), -1);  /* 0.406: chance may give it */
    assert_int_equal(share_told(20, 2.75, 11), 43); /* 0.432 */
    assert_int_equal(share_told(30, 2.75, 3), -1);  /* 0.290, though chance is 0.0098 */
    assert_int_equal(share_told(30, 1.25, 7), 32);  /* 0.317 */
}

/* Eight fields that rise each toward a point of the compass, and a patch in the middle that rises toward none. */
static void the_direction_is_where_readings_rise(void **state) {
    (void)state;
    static const struct {
        double east, north;
        const char *point;
    } rows[] = {{0, 1, "the north:"},  {1, 1, "the northeast:"},   {1, 0, "the east:"},  {1, -1, "the southeast:"},
                {0, -1, "the south:"}, {-1, -1, "the southwest:"}, {-1, 0, "the west:"}, {-1, 1, "the northwest:"}};
    scene s;
    scene_make(&s);
    make_scores(&s);
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        for (size_t i = 0; i < STOPS; i++)
            s.items[i].value = 500 + rows[r].east * s.items[i].place.x + rows[r].north * s.items[i].place.y;
        assert_done(run(&s), s.err);
        assert_non_null(find(&s, "trend"));
        assert_non_null(strstr(find(&s, "trend")->text, rows[r].point));
        foci_findings_free(&s.findings);
    }
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].value = 500 - hypot(s.items[i].place.x - 130, s.items[i].place.y - 110);
    assert_done(run(&s), s.err);
    assert_null(find(&s, "trend"));
}

/* Along a line of stops 8 m wide a rise is told; what differs across it is none from edge to edge. */
static void a_strip_rises_along_itself(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    make_scores(&s);
    for (size_t i = 0; i < STOPS; i++) {
        s.items[i].place = (foci_point){20.05 + 7.3 * (double)i, 18.02 + 6.2 * (double)i + (i % 2 ? 8 : 0)};
        s.items[i].value = (double)(100 + i);
    }
    assert_done(run(&s), s.err);
    assert_non_null(strstr(find(&s, "trend")->text, "toward the northeast: how far a stop lies that way tells 100 %"));
    foci_findings_free(&s.findings);
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].value = i % 2 ? 300 : 200;
    assert_done(run(&s), s.err);
    assert_null(find(&s, "trend"));
    foci_findings_free(&s.findings);
}

static void nineteen_stops_tell_no_trend(void **state) {
    (void)state;
    assert_int_equal(share_told(19, 100, 7), -1);
    assert_true(share_told(20, 100, 7) > 90);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amounts_counts_and_named_scales_are_no_classes),
        cmocka_unit_test(who_says_none_says_amounts),
        cmocka_unit_test(classes_are_few_even_and_often),
        cmocka_unit_test(chance_alone_and_weak_slopes_are_no_trend),
        cmocka_unit_test(the_direction_is_where_readings_rise),
        cmocka_unit_test(a_strip_rises_along_itself),
        cmocka_unit_test(nineteen_stops_tell_no_trend),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

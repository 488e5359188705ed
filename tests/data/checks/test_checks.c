#include "fieldfoci/checks.h"

#include "data/checks/scene.h"

/* ---- one failing case (at least) for each row; the untouched scene is the passing one ---- */

static void no_place(scene *s) {
    s->items[3].own = s->items[3].lonlat = s->items[3].place = (foci_point){NAN, NAN};
}

static void swap(foci_stop *stop) {
    stop->lonlat = (foci_point){stop->lonlat.y, stop->lonlat.x};
    stop->place = (foci_point){NAN, NAN};
}

static void swapped(scene *s) {
    swap(&s->items[0]);
    swap(&s->items[7]);
}

static void east_for_west(scene *s) {
    s->items[2].lonlat.x = -s->items[2].lonlat.x;
    s->items[2].place = (foci_point){7e6, 9e6};
}

static void south_for_north(scene *s) {
    s->items[2].lonlat.y = -s->items[2].lonlat.y;
    s->items[2].place = (foci_point){1, -9.5e6};
}

static void no_fix(scene *s) {
    s->items[4].own = s->items[4].lonlat = (foci_point){0, 0};
    s->items[4].place = (foci_point){9e6, 1e6};
}

static void nowhere(scene *s) {
    s->items[5].own = s->items[5].lonlat = (foci_point){472000, 4757000};
    s->items[5].place = (foci_point){NAN, NAN};
}

static void just_outside(scene *s) {
    put(&s->items[0], -8.5, 30);
}

static void far_outside(scene *s) {
    put(&s->items[0], -10.5, 30);
}

static void blank(scene *s) {
    count(&s->items[6], NAN, 40);
    count(&s->items[8], 3, NAN);
}

static void blank_score(scene *s) {
    make_scores(s);
    s->items[6].value = NAN;
}

static void text(scene *s) {
    count(&s->items[9], NAN, 40);
    snprintf(s->items[9].blank_text, sizeof s->items[9].blank_text, "many");
}

static void decimal_comma(scene *s) {
    make_scores(s);
    s->items[9].value = NAN;
    snprintf(s->items[9].blank_text, sizeof s->items[9].blank_text, "3,5");
}

static void nan_score(scene *s) {
    make_scores(s);
    s->items[9].value = NAN;
    snprintf(s->items[9].blank_text, sizeof s->items[9].blank_text, "NaN");
}

static void on_1_to_10(scene *s) {
    make_scores(s);
    s->stops.least = 1;
    s->stops.most = 10;
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = 1 + (double)(i % 5);
}

static void above_10(scene *s) {
    on_1_to_10(s);
    s->items[9].value = 55;
}

static void below_1(scene *s) {
    on_1_to_10(s);
    s->items[9].value = 0;
    s->items[11].value = -1;
}

static void a_thousand_percent(scene *s) {
    make_scores(s);
    s->stops.most = 100;
    s->items[9].value = 1000;
}

static void mostly_one(scene *s) {
    on_1_to_10(s);
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = i % 4 == 0 ? 3 : 1;
}

static void all_one(scene *s) {
    on_1_to_10(s);
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = 1;
}

static foci_ordinal nine_steps = {.title = "1 to 9 rust scale", .unit = "percent of leaf area damaged", .count = 9};

static void no_class(scene *s) {
    make_scores(s);
    s->stops.scale = nine_steps;
    s->items[9].score = 2.5;
    s->items[9].value = NAN;
}

static void by_scale(scene *s) {
    make_scores(s);
    s->stops.scale = nine_steps;
}

static void by_index(scene *s) {
    by_scale(s);
    s->stops.index = true;
}

static void infinite(scene *s) {
    make_scores(s);
    s->items[9].value = INFINITY;
}

static void negative(scene *s) {
    make_scores(s);
    s->items[9].value = -0.5;
}

static void negative_hits(scene *s) {
    count(&s->items[9], -1, 40);
}

static void most_checked(scene *s) {
    count(&s->items[9], 33333, 100001);
}

static void none_checked(scene *s) {
    count(&s->items[9], 0, 0);
}

static void half_a_plant(scene *s) {
    count(&s->items[9], 2.5, 40);
}

static void more_than_checked(scene *s) {
    count(&s->items[9], 41, 40);
}

static void no_date(scene *s) {
    s->items[10].date[0] = '\0';
    snprintf(s->items[10].date_text, sizeof s->items[10].date_text, "last Tuesday");
}

static void shared(scene *s) {
    put(&s->items[12], s->items[11].place.x + 0.006, s->items[11].place.y - 0.006);
}

static void shared_scores(scene *s) {
    make_scores(s);
    shared(s);
}

static void on_a_line(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        put(&s->items[i], 20.05 + 7.3 * (double)i, 18.02 + 6.2 * (double)i + (i % 2 ? 0.4 : 0));
}

static void almost_on_a_line(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        put(&s->items[i], 20.05 + 7.3 * (double)i, 18.02 + 6.2 * (double)i + (i % 2 ? 8 : 0));
}

static void uneven(scene *s) {
    count(&s->items[13], 2, 81);
}

static void few(scene *s) {
    s->stops.count = 19;
}

static void days_apart(scene *s) {
    memcpy(s->items[14].date, "2026-08-26", 11);
}

static void all_zero(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        count(&s->items[i], 0, 40);
}

static void all_zero_scores(scene *s) {
    all_zero(s);
    make_scores(s);
}

static void all_equal(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        count(&s->items[i], 5, 40);
}

static void mostly_zero(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        count(&s->items[i], i % 4 == 0 ? 5 : 0, 40);
}

static void one_dominates(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        count(&s->items[i], i == 15 ? 30 : 1, 40);
}

static char points[] = "leafspot";

static void like_classes(scene *s) {
    make_scores(s);
    s->stops.unit = points;
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = i % 8 == 7 ? 4.5 : (double)(i * 7 % 10) + 1;
}

static void rises_east(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        count(&s->items[i], (double)(i % 6 + i * 7 % 5), 40);
}

static void scores_rise_southwest(scene *s) {
    make_scores(s);
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].value = exp(12 - (double)(i % 6) - (double)(i / 6)) + (double)(i * 7 % 5);
}

static void coarse(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].own = (foci_point){round(s->items[i].own.x * 1e4) / 1e4, round(s->items[i].own.y * 1e4) / 1e4};
}

static void coarser(scene *s) {
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].own = (foci_point){round(s->items[i].own.x * 1e3) / 1e3, round(s->items[i].own.y * 1e3) / 1e3};
}

/* 42 degrees 58.2 minutes written as 42.582. */
static double as_minutes(double degrees, bool seconds) {
    const double size = fabs(degrees), whole = floor(size), minutes = 60 * (size - whole), full = floor(minutes);
    return copysign(whole + (seconds ? full / 100 + (minutes - full) * 60 / 1e4 : minutes / 100), degrees);
}

static void minutes(scene *s) {
    for (size_t i = 1; i < 3; i++)
        s->items[i].own = s->items[i].lonlat =
            (foci_point){as_minutes(s->items[i].lonlat.x, i == 2), as_minutes(s->items[i].lonlat.y, i == 2)};
}

static void stood_still(scene *s) {
    for (size_t i = 11; i < 13; i++)
        s->items[i].own = s->items[10].own; /* work places stay apart: pooling would have a word of its own */
}

static void two_raters(scene *s) {
    static char ada[] = "Ada", ben[] = "Ben";
    for (size_t i = 0; i < STOPS; i++)
        s->items[i].rater = i < 10 ? ada : ben;
}

static void read_with_a_choice(scene *s) {
    static char *const notes[] = {"semicolons stand between the cells", "commas in column \"hits\" are decimal marks"};
    s->inputs[0].notes = (foci_notes){2, (char **)notes};
}

static void close_by(scene *s) {
    put(&s->items[12], s->items[11].place.x + 2, s->items[11].place.y - 2);
    put(&s->items[20], s->items[3].place.x - 2.9, s->items[3].place.y);
}

static void on_the_edge(scene *s) {
    put(&s->items[0], 4.9, 30.03);
}

static void on_both_edges(scene *s) {
    on_the_edge(s);
    put(&s->items[29], 259.9, 190.03);
}

static const struct {
    const char *check;
    void (*spoil)(scene *s);
    foci_severity_of_finding severity;
    size_t used;       /* of the stops */
    const char *first; /* name of the first stop that the finding lists, or NULL */
    const char *words;
} cases[] = {
    {"how it was read", read_with_a_choice, FOCI_NOTE, 30, NULL,
     "stops.csv: semicolons stand between the cells; commas in column \"hits\" are decimal marks."},
    {"no place", no_place, FOCI_WARNING, 29, "S4", "Stop S4 has no place and is left out; fill in the coordinates."},
    {"swapped coordinates", swapped, FOCI_WARNING, 28, "S1",
     "Stops S1 and S8 lie in the field only with longitude and latitude exchanged and are left out; swap the two "
     "columns"},
    {"minutes as decimals", minutes, FOCI_WARNING, 28, "S2",
     "Stops S2 and S3 lie in the field only where their decimals are minutes (and seconds) of a degree"},
    {"repeated place", stood_still, FOCI_WARNING, 30, "S11",
     "Stops S11, S12 and S13 have the very same place as the stops before or behind them"},
    {"raters", two_raters, FOCI_NOTE, 30, NULL, "(Ada 10 stops, mean 5; Ben 20 stops, mean 5): part of what differs"},
    {"wrong sign", east_for_west, FOCI_WARNING, 29, "S3", "west of Greenwich take a minus sign"},
    {"wrong sign", south_for_north, FOCI_WARNING, 29, "S3", "south of the equator take a minus sign"},
    {"no fix", no_fix, FOCI_WARNING, 29, "S5", "(0, 0)"},
    {"no such place", nowhere, FOCI_WARNING, 29, "S6", "nowhere on earth"},
    {"outside the field", just_outside, FOCI_NOTE, 30, "S1",
     "Stop S1 lies 8.5 m outside the boundary and is used all the same."},
    {"outside the field", far_outside, FOCI_WARNING, 29, "S1", "Stop S1 lies outside the field and is left out"},
    {"blank reading", blank, FOCI_WARNING, 28, "S7", "blank is not zero"},
    {"blank reading", blank_score, FOCI_WARNING, 29, "S7", "blank is not zero"},
    {"text for a number", text, FOCI_WARNING, 29, "S10",
     "Stop S10 holds text in place of a number (stops.csv row 10: \"many\") and is left out; write a number."},
    {"text for a number", decimal_comma, FOCI_WARNING, 29, "S10",
     "(stops.csv row 10: \"3,5\") and is left out; use a decimal point."},
    {"impossible reading", nan_score, FOCI_WARNING, 29, "S10", "no finite number"},
    {"impossible reading", infinite, FOCI_WARNING, 29, "S10", "no finite number"},
    {"impossible reading", negative, FOCI_WARNING, 29, "S10", "negative reading"},
    {"impossible reading", above_10, FOCI_WARNING, 29, "S10",
     "Stop S10 has a reading above what it can be (55; at most 10) and is left out; check the entry; --limits"},
    {"impossible reading", below_1, FOCI_WARNING, 28, "S10",
     "Stops S10 and S12 have readings below what they can be (0, -1; at least 1) and are left out"},
    {"impossible reading", a_thousand_percent, FOCI_WARNING, 29, "S10", "(1000; at most 100)"},
    {"ordinal scale", no_class, FOCI_WARNING, 29, "S10",
     "has a score that is no class of the scale (stops.csv row 10: 2.5) and is left out; it is the 1 to 9 rust scale"},
    {"ordinal scale", by_scale, FOCI_NOTE, 30, NULL, "scores of the 1 to 9 rust scale, each read as percent of leaf"},
    {"ordinal scale", by_index, FOCI_NOTE, 30, NULL, "in each class of the 1 to 9 rust scale"},
    {"impossible reading", negative_hits, FOCI_WARNING, 29, "S10", "negative reading"},
    {"impossible reading", none_checked, FOCI_WARNING, 29, "S10", "no unit looked at"},
    {"impossible reading", most_checked, FOCI_WARNING, 29, "S10",
     "has more units looked at than a person can count and is left out; checked is at most 100,000"},
    {"impossible reading", half_a_plant, FOCI_WARNING, 29, "S10", "no whole number"},
    {"impossible reading", more_than_checked, FOCI_WARNING, 29, "S10", "more infected units than units looked at"},
    {"no date", no_date, FOCI_NOTE, 30, "S11", "(stops.csv row 11: \"last Tuesday\"); write YYYY-MM-DD"},
    {"shared place", shared, FOCI_NOTE, 29, "S13", "the counts are summed"},
    {"shared place", shared_scores, FOCI_NOTE, 29, "S13", "the scores are averaged"},
    {"close stops", close_by, FOCI_NOTE, 30, "S4",
     "Stops S4, S12, S13 and S21 lie within 10 ft (3 m) of another stop, nearer than a receiver can tell"},
    {"on the edge", on_the_edge, FOCI_NOTE, 30, "S1",
     "Stop S1 stands on the field's edge, within 16 ft (5 m) of it: headlands and edge rows say little"},
    {"on the edge", on_both_edges, FOCI_NOTE, 30, "S1", "Stops S1 and S30 stand on the field's edge"},
    {"one line", on_a_line, FOCI_WARNING, 30, NULL, "lie on one line"},
    {"one line", almost_on_a_line, FOCI_WARNING, 30, NULL, "lie almost on one line"},
    {"uneven effort", uneven, FOCI_NOTE, 30, "S1", "from 40 (stop S1) to 81 (stop S14)"},
    {"few stops", few, FOCI_WARNING, 19, NULL, "Only 19 stops can be used"},
    {"days apart", days_apart, FOCI_WARNING, 30, NULL, "over 8 days, from 2026-08-18 to 2026-08-26"},
    /* Wilson's upper limit of 0 in 1200 is z^2/(1200 + z^2) = 0.319 % with z = 1.96 (Wilson 1927) */
    {"all zero", all_zero, FOCI_NOTE, 30, NULL,
     "No disease was found at any of 30 stops (0 of 1200 units looked at); this is not proof of absence: by the Wilson "
     "interval the field's share may still be up to 0.32 %."},
    {"all zero", all_zero_scores, FOCI_NOTE, 30, NULL, "at any of 30 stops; this is not proof of absence."},
    {"all equal", all_equal, FOCI_NOTE, 30, NULL, "All 30 readings are the same (12.5)"},
    {"mostly zero", mostly_zero, FOCI_NOTE, 30, NULL, "At 22 of 30 stops nothing was found (73 %)"},
    {"all zero", all_one, FOCI_NOTE, 30, NULL, "No disease was found at any of 30 stops; this is not proof"},
    {"mostly zero", mostly_one, FOCI_NOTE, 30, NULL, "At 22 of 30 stops nothing was found"},
    {"one stop dominates", one_dominates, FOCI_NOTE, 30, "S16", "Stop S16 holds 51 % of all that was found"},
    {"looks like a scale", like_classes, FOCI_NOTE, 30, NULL, "name the scale (--scale-of leaf-spot-1-10, rust-1-9"},
    {"trend", rises_east, FOCI_NOTE, 30, NULL, "to the other, toward the east: "},
    {"trend", rises_east, FOCI_NOTE, 30, NULL, "field); --surface kriging --trend 1 lets the map"},
    {"trend", scores_rise_southwest, FOCI_NOTE, 30, NULL, "neighbor's field); --trend 1 lets the map follow it."},
    {"coarse coordinates", coarse, FOCI_NOTE, 30, NULL,
     "stops.csv have 4 decimals of a degree: each place is known to about 36 ft (11 m) at best"},
    {"coarse coordinates", coarser, FOCI_WARNING, 30, NULL,
     "stops.csv have 3 decimals of a degree: each place is known to about 365 ft (111 m) at best"},
};
#define CASES (sizeof cases / sizeof *cases)

static void an_ordinary_round_passes_every_check(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    assert_done(run(&s), s.err);
    for (size_t i = 0; i < s.findings.count; i++)
        print_error("%s: %s\n", s.findings.items[i].what, s.findings.items[i].text);
    assert_int_equal(s.findings.count, 0);
    for (size_t i = 0; i < STOPS; i++)
        assert_true(s.items[i].used && s.items[i].why[0] == '\0' && s.items[i].pooled_into == FOCI_NOT_POOLED);
    make_scores(&s);
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 0);
}

static void every_check_speaks_when_it_should(void **state) {
    (void)state;
    for (size_t c = 0; c < CASES; c++) {
        scene s;
        scene_make(&s);
        cases[c].spoil(&s);
        assert_done(run(&s), s.err);
        const foci_finding *finding = find(&s, cases[c].check);
        if (!finding || !strstr(finding->text, cases[c].words))
            print_error("case %zu, %s: %s\n", c, cases[c].check, finding ? finding->text : "no finding");
        assert_non_null(finding);
        assert_non_null(strstr(finding->text, cases[c].words));
        assert_int_equal(finding->severity, cases[c].severity);
        assert_int_equal(finding->stop_count > 0, cases[c].first != NULL);
        if (cases[c].first)
            assert_string_equal(finding->stops[0], cases[c].first);
        size_t used = 0;
        for (size_t i = 0; i < s.stops.count; i++) {
            used += s.items[i].used;
            assert_true(s.items[i].used == (s.items[i].why[0] == '\0'));
        }
        assert_int_equal(used, cases[c].used);
        for (size_t i = 0; i < s.findings.count; i++)
            if (&s.findings.items[i] != finding)
                print_error("case %zu, %s, says too: %s\n", c, cases[c].check, s.findings.items[i].text);
        assert_int_equal(s.findings.count, 1); /* nothing else has reason to speak */
        foci_findings_free(&s.findings);
        foci_findings_free(&s.findings);
    }
}

static void every_check_has_a_case(void **state) {
    (void)state;
    for (const foci_check *check = foci_check_table; check->name; check++) {
        size_t found = 0;
        for (size_t c = 0; c < CASES; c++)
            found += strcmp(cases[c].check, check->name) == 0;
        if (!found)
            print_error("no case for '%s'\n", check->name);
        assert_true(found > 0);
        assert_true(strlen(check->title) > 10);
    }
}

static void findings_come_in_the_tables_order(void **state) {
    (void)state;
    scene s;
    scene_make(&s);
    for (size_t c = CASES; c-- > 0;)
        if (cases[c].spoil == no_place || cases[c].spoil == blank || cases[c].spoil == shared ||
            cases[c].spoil == days_apart)
            cases[c].spoil(&s);
    assert_done(run(&s), s.err);
    assert_int_equal(s.findings.count, 4);
    assert_string_equal(s.findings.items[0].what, "no place");
    assert_string_equal(s.findings.items[1].what, "blank reading");
    assert_string_equal(s.findings.items[2].what, "shared place");
    assert_string_equal(s.findings.items[3].what, "days apart");
    foci_findings_free(&s.findings);
}

static bool attempt(foci_error *err) {
    scene s;
    scene_make(&s);
    rises_east(&s);
    no_place(&s);
    just_outside(&s);
    blank(&s);
    text(&s);
    shared(&s);
    no_date(&s);
    uneven(&s);
    close_by(&s);
    put(&s.items[29], 259.9, 190.03);
    bool ok = foci_checks_make(&s.findings, &s.stops, &s.lonlat, &s.shape, err);
    foci_findings_free(&s.findings);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ordinary_round_passes_every_check),
        cmocka_unit_test(every_check_speaks_when_it_should),
        cmocka_unit_test(every_check_has_a_case),
        cmocka_unit_test(findings_come_in_the_tables_order),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "season_scene.h"

static void test_every_pattern_has_its_class(void **state) {
    (void)state;
    static const struct {
        const char *hot; /* in the order of time */
        foci_class expected;
    } cases[] = {
        {"00", FOCI_CLASS_NEVER},    {"10", FOCI_CLASS_GONE},    {"01", FOCI_CLASS_NEW},
        {"11", FOCI_CLASS_ALWAYS},   {"001", FOCI_CLASS_NEW},    {"100", FOCI_CLASS_GONE},
        {"010", FOCI_CLASS_GONE},    {"110", FOCI_CLASS_OFTEN},  {"101", FOCI_CLASS_OFTEN},
        {"111", FOCI_CLASS_ALWAYS},  {"11000", FOCI_CLASS_GONE}, {"10001", FOCI_CLASS_OFTEN},
        {"11100", FOCI_CLASS_OFTEN}, {"00001", FOCI_CLASS_NEW},  {"1100", FOCI_CLASS_OFTEN},
        {"00000", FOCI_CLASS_NEVER},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bool hot[FOCI_SEASONS_MOST];
        size_t seasons = strlen(cases[i].hot);
        for (size_t s = 0; s < seasons; s++)
            hot[s] = cases[i].hot[s] == '1';
        assert_int_equal(foci_class_of(hot, seasons), cases[i].expected);
    }
    assert_string_equal(foci_class_name(FOCI_CLASS_ALWAYS), "always");
    assert_string_equal(foci_class_name(FOCI_CLASS_UNSURE), "unsure");
    assert_null(foci_class_name(FOCI_CLASS_END));
}

static void make(foci_persistence *out, const scene *s, size_t seasons) {
    foci_error err = {0};
    assert_done(foci_persistence_make(out, s->seasons, seasons, &s->grid, &s->options, HOW, &err), err);
    scene_check(s, out);
}

static void test_two_seasons(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        foci_persistence p = {0};
        scene *s = scene_make((scene_wish){2, SCENE_STOPS, scores, 0.9});
        make(&p, s, 2);
        const foci_season_pair *pair = p.pairs;
        assert_int_equal(p.pair_count, 1);
        assert_int_equal(p.compared, 2);
        assert_string_equal(pair->verdict, "came back");
        assert_true(pair->p <= 0.05 && pair->rho > 0.4);
        assert_int_equal(isnan(pair->ratio), scores);
        assert_int_equal(isnan(pair->correlation), !scores);
        assert_non_null(strstr(p.method, scores ? "modified t" : "likelihood ratio"));
        assert_true(pair->both.value > pair->by_chance.high);
        assert_near(pair->both.value, p.classes[FOCI_CLASS_ALWAYS].value, 1e-12);
        assert_near(pair->only_first.value, p.classes[FOCI_CLASS_GONE].value, 1e-12);
        assert_near(pair->only_second.value, p.classes[FOCI_CLASS_NEW].value, 1e-12);
        assert_near(pair->both.value + pair->only_first.value, p.hot[0].value, 1e-9);
        assert_true(pair->kappa > 0 && pair->kappa < 1 && pair->jaccard < pair->dice);
        foci_persistence_free(&p);
        foci_persistence_free(&p);
        free(s);
    }
}

static void test_unrelated_seasons_are_not_said_to_come_back(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        foci_persistence p = {0};
        scene *s = scene_make((scene_wish){2, SCENE_STOPS, scores, 0});
        make(&p, s, 2);
        assert_string_equal(p.pairs->verdict, p.pairs->p > 0.2 ? "cannot tell" : "some sign");
        assert_true(p.pairs->p > 0.05);
        foci_persistence_free(&p);
        free(s);
    }
}

static void check_area(foci_estimate a, foci_estimate b) {
    assert_true(a.value == b.value && a.low == b.low && a.high == b.high);
}

/* The same bits, relabelled: A then B, or B then A. */
static void test_the_order_of_the_seasons_changes_nothing(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        foci_persistence forth = {0}, back = {0};
        scene *s = scene_make((scene_wish){3, SCENE_STOPS, scores, 0.6});
        make(&forth, s, 2);
        foci_persistence_season first = s->seasons[0];
        s->seasons[0] = s->seasons[1];
        s->seasons[1] = first;
        support_threads = 2;
        make(&back, s, 2);
        support_threads = 1;
        const foci_season_pair *a = forth.pairs, *b = back.pairs;
        assert_true(a->p == b->p && a->rho == b->rho && a->jaccard == b->jaccard && a->kappa == b->kappa);
        check_area(a->both, b->both);
        check_area(a->only_first, b->only_second);
        check_area(a->only_second, b->only_first);
        check_area(a->by_chance, b->by_chance);
        check_area(forth.hot[0], back.hot[1]);
        check_area(forth.classes[FOCI_CLASS_NEW], back.classes[FOCI_CLASS_GONE]);
        for (size_t i = 0; i < (size_t)SCENE_COLUMNS * SCENE_ROWS; i++) {
            if (!(s->share[i] > 0))
                continue;
            assert_true(forth.chance[0][i] == back.chance[1][i]);
            assert_true(forth.class_chance[FOCI_CLASS_NEW][i] == back.class_chance[FOCI_CLASS_GONE][i]);
        }
        foci_persistence_free(&forth);
        foci_persistence_free(&back);
        free(s);
    }
}

static void test_threads_change_nothing(void **state) {
    (void)state;
    foci_persistence one = {0}, three = {0};
    scene *s = scene_make((scene_wish){3, 25, false, 0.6});
    make(&one, s, 3);
    support_threads = 3;
    make(&three, s, 3);
    support_threads = 1;
    assert_memory_equal(one.hot, three.hot, 3 * sizeof *one.hot);
    assert_memory_equal(one.classes, three.classes, sizeof one.classes);
    for (size_t i = 0; i < one.pair_count; i++) {
        check_area(one.pairs[i].both, three.pairs[i].both);
        check_area(one.pairs[i].by_chance, three.pairs[i].by_chance);
        assert_true(one.pairs[i].p == three.pairs[i].p);
    }
    size_t cells = (size_t)SCENE_COLUMNS * SCENE_ROWS;
    assert_memory_equal(one.class_code, three.class_code, cells * sizeof *one.class_code);
    assert_memory_equal(one.hot_seasons, three.hot_seasons, cells * sizeof *one.hot_seasons);
    foci_persistence_free(&one);
    foci_persistence_free(&three);
    free(s);
}

/* Moved by whole cells; a draw's cell whose level is within rounding of the threshold may fall on the other side, so
 * areas may change by a thousandth of a hectare. */
static void test_a_shifted_field_says_the_same(void **state) {
    (void)state;
    foci_persistence here = {0}, there = {0};
    scene *s = scene_make((scene_wish){2, SCENE_STOPS, false, 0.6});
    s->options.row_heading = 35;
    make(&here, s, 2);
    s->grid.west += 123450; /* whole cells */
    s->grid.north -= 31200;
    for (size_t k = 0; k < 2; k++)
        for (size_t i = 0; i < SCENE_STOPS; i++) {
            s->places[k][i].x += 123450;
            s->places[k][i].y -= 31200;
        }
    make(&there, s, 2);
    assert_near(there.pairs->p, here.pairs->p, 1e-5);
    assert_near(there.pairs->both.value, here.pairs->both.value, 1e-3);
    assert_near(there.pairs->both.low, here.pairs->both.low, 5e-3);
    for (size_t i = 0; i < (size_t)SCENE_COLUMNS * SCENE_ROWS; i++)
        assert_near(there.hot_seasons[i], here.hot_seasons[i], 1e-5);
    foci_persistence_free(&here);
    foci_persistence_free(&there);
    free(s);
}

static void test_seasons_that_cannot_be_compared_take_no_part(void **state) {
    (void)state;
    foci_persistence all = {0}, two = {0};
    foci_error err = {0};
    scene *s = scene_make((scene_wish){4, 25, false, 0.6});
    s->seasons[1].why_not = "it has too few stops";
    s->seasons[1].threshold = NAN; /* not looked at */
    for (size_t i = 0; i < 25; i++)
        s->hits[3][i] = 0;
    make(&all, s, 4);
    assert_int_equal(all.compared, 2);
    assert_int_equal(all.pair_count, 6);
    for (size_t i = 0; i < 6; i++) {
        const foci_season_pair *pair = &all.pairs[i];
        if (pair->first == 0 && pair->second == 2) {
            assert_null(pair->why_not);
            continue;
        }
        const bool fenced = pair->first == 1 || pair->second == 1;
        assert_string_equal(pair->verdict, fenced ? "no comparison" : "not hot anywhere");
        assert_true(fenced ? isnan(pair->p) : pair->p == 1);
        assert_true(isnan(pair->both.value) && isnan(pair->rho) && isnan(pair->jaccard));
        assert_int_equal(pair->reason, fenced ? 1 : 3);
        assert_string_equal(pair->why_not, fenced ? "it has too few stops" : "all its readings are the same");
    }
    assert_true(isnan(all.hot[1].value) && isnan(all.hot[3].value) && all.hot[2].value > 0);
    assert_true(!all.chance[1] && !all.chance[3] && all.chance[0] && all.chance[2]);
    const foci_persistence_season left[] = {s->seasons[0], s->seasons[2]};
    assert_done(foci_persistence_make(&two, left, 2, &s->grid, &s->options, HOW, &err), err);
    check_area(two.pairs->both, all.pairs[1].both);
    check_area(two.classes[FOCI_CLASS_ALWAYS], all.classes[FOCI_CLASS_ALWAYS]);
    foci_persistence_free(&two);
    s->seasons[0].why_not = "it has too few stops";
    foci_persistence_free(&all);
    assert_done(foci_persistence_make(&all, s->seasons, 4, &s->grid, &s->options, HOW, &err), err);
    assert_int_equal(all.compared, 0);
    assert_true(isnan(all.classes[FOCI_CLASS_NEVER].value) && isnan(all.hot[2].value));
    assert_null(all.hot_seasons);
    assert_null(all.class_code);
    assert_null(all.chance[2]);
    foci_persistence_free(&all);
    free(s);
}

/* Of three seasons each pair is what it is by itself. */
static void test_pairs_of_several_are_those_of_two(void **state) {
    (void)state;
    foci_persistence three = {0}, two = {0};
    foci_error err = {0};
    scene *s = scene_make((scene_wish){3, 25, true, 0.7});
    make(&three, s, 3);
    const foci_persistence_season pair[] = {s->seasons[1], s->seasons[2]};
    assert_done(foci_persistence_make(&two, pair, 2, &s->grid, &s->options, HOW, &err), err);
    assert_int_equal(three.pairs[2].first, 1);
    assert_int_equal(three.pairs[2].second, 2);
    check_area(three.pairs[2].both, two.pairs->both);
    check_area(three.pairs[2].only_first, two.pairs->only_first);
    check_area(three.pairs[2].by_chance, two.pairs->by_chance);
    assert_true(three.pairs[2].p == two.pairs->p);
    assert_true(three.classes[FOCI_CLASS_OFTEN].value > 0);
    foci_persistence_free(&three);
    foci_persistence_free(&two);
    free(s);
}

/* Nothing near the threshold in one season: no hotspots to come back, whatever P says; where that season does not even
 * vary, there are no areas. Without variation but above the threshold nothing can be told. */
static void test_not_hot_anywhere(void **state) {
    (void)state;
    foci_persistence p = {0};
    scene *s = scene_make((scene_wish){2, 49, false, 0.95});
    s->seasons[1].threshold = 99;
    make(&p, s, 2);
    assert_string_equal(p.pairs->verdict, "not hot anywhere");
    assert_true(p.pairs->p < 0.05 && p.pairs->only_second.high < s->options.area_ha / 49);
    foci_persistence_free(&p);
    for (int hot = 0; hot < 2; hot++) {
        foci_readings *second = (foci_readings *)s->seasons[1].readings;
        for (size_t i = 0; i < second->count; i++) {
            second->hits[i] = 0.2 * second->checked[i];
            second->values[i] = 20;
        }
        s->seasons[1].threshold = hot ? 10 : 30;
        foci_error err = {0};
        assert_done(foci_persistence_make(&p, s->seasons, 2, &s->grid, &s->options, HOW, &err), err);
        assert_string_equal(p.pairs->verdict, hot ? "cannot tell" : "not hot anywhere");
        assert_near(p.pairs->p, 1, 0);
        assert_true(isnan(p.pairs->both.value) && p.pairs->why_not && p.pairs->reason == 1);
        assert_int_equal(p.compared, 0);
        foci_persistence_free(&p);
    }
    free(s);
}

static void test_few_many_or_crowded_stops(void **state) {
    (void)state;
    foci_persistence p = {0};
    foci_error err = {0};
    scene *s = scene_make((scene_wish){2, 3, false, 0.5});
    make(&p, s, 2); /* three stops each */
    foci_persistence_free(&p);
    for (size_t i = 0; i < 3; i++) /* on one line, and at the same places in both seasons */
        s->places[0][i] = s->places[1][i] = (foci_point){500020 + 90 * (double)i, 4600020 + 60 * (double)i};
    make(&p, s, 2);
    foci_persistence_free(&p);
    s->hits[0][0] = s->hits[0][1] = s->hits[0][2] = 0;
    assert_done(foci_persistence_make(&p, s->seasons, 2, &s->grid, &s->options, HOW, &err), err);
    assert_string_equal(p.pairs->verdict, "not hot anywhere");
    foci_persistence_free(&p);
    free(s);
    s = scene_make((scene_wish){SCENE_SEASONS, 4, false, 0.5});
    make(&p, s, SCENE_SEASONS);
    assert_int_equal(p.pair_count, SCENE_SEASONS * (SCENE_SEASONS - 1) / 2);
    foci_persistence_free(&p);
    free(s);
}

static void test_what_cannot_be_is_refused(void **state) {
    (void)state;
    foci_persistence p = {0};
    foci_error err = {0};
    scene *s = scene_make((scene_wish){2, 4, false, 0.5});
    const foci_grid *grid = &s->grid;
    assert_fails(foci_persistence_make(&p, s->seasons, 1, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "1 seasons");
    assert_fails(foci_persistence_make(&p, s->seasons, 13, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "2 to 12");
    s->seasons[1].kind = FOCI_READING_VALUE;
    assert_fails(foci_persistence_make(&p, s->seasons, 2, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "kinds");
    s->seasons[1].kind = FOCI_READING_COUNT;
    s->seasons[1].threshold = 100;
    assert_fails(foci_persistence_make(&p, s->seasons, 2, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "no share");
    s->seasons[1].threshold = 30;
    s->seasons[1].key = s->seasons[0].key;
    assert_fails(foci_persistence_make(&p, s->seasons, 2, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "same survey");
    s->seasons[1].key = s->keys[1];
    s->options.area_ha = 0;
    assert_fails(foci_persistence_make(&p, s->seasons, 2, grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING, "0 ha");
    s->options.area_ha = 6.4;
    for (size_t i = 0; i < 4; i++)
        s->places[0][i] = s->places[1][i] = (foci_point){500100, 4600100};
    assert_fails(foci_persistence_make(&p, s->seasons, 2, grid, &s->options, HOW, &err), err, FOCI_NO_FIT, "share");
    free(s);
    s = scene_make((scene_wish){2, 4, true, 0.5});
    s->seasons[0].threshold = NAN;
    assert_fails(foci_persistence_make(&p, s->seasons, 2, &s->grid, &s->options, HOW, &err), err, FOCI_BAD_SETTING,
                 "no number");
    assert_null(p.pairs);
    free(s);
}

/* Thousands of allocations: the first ones each, then some. */
static void test_allocations_may_fail(void **state) {
    (void)state;
    for (int scores = 0; scores < 2; scores++) {
        scene *s = scene_make((scene_wish){3, 4, scores, 0.5});
        bool ok = false;
        s->grid.rows = 3;
        s->grid.cells = (size_t)3 * SCENE_COLUMNS;
        for (long n = 0; !ok; n += n < 25 ? 1 : n / 4) {
            foci_persistence p = {0};
            foci_error err = {0};
            foci_memory_fail_after(n);
            ok = foci_persistence_make(&p, s->seasons, 3, &s->grid, &s->options, HOW, &err);
            foci_memory_fail_after(-1);
            assert_true(ok || err.status == FOCI_NO_MEMORY);
            assert_true(ok || (!p.pairs && !p.class_code));
            foci_persistence_free(&p);
        }
        free(s);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_pattern_has_its_class),
        cmocka_unit_test(test_two_seasons),
        cmocka_unit_test(test_unrelated_seasons_are_not_said_to_come_back),
        cmocka_unit_test(test_the_order_of_the_seasons_changes_nothing),
        cmocka_unit_test(test_threads_change_nothing),
        cmocka_unit_test(test_a_shifted_field_says_the_same),
        cmocka_unit_test(test_seasons_that_cannot_be_compared_take_no_part),
        cmocka_unit_test(test_pairs_of_several_are_those_of_two),
        cmocka_unit_test(test_not_hot_anywhere),
        cmocka_unit_test(test_few_many_or_crowded_stops),
        cmocka_unit_test(test_what_cannot_be_is_refused),
        cmocka_unit_test(test_allocations_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

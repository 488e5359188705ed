#include "fieldfoci/first_look.h"

#include "base/text.h"
#include "data/checks/scene.h"

/* Newcombe (1998, Statistics in Medicine 17:857-872), table I, method 3; 0 of 20 to more digits by the same formula. */
static void shares_have_the_published_intervals(void **state) {
    (void)state;
    const struct {
        double hits, checked, low, high, near;
    } shares[] = {{81, 263, 25.53, 36.62, 0.005}, {15, 148, 6.24, 16.05, 0.005}, {0, 20, 0, 16.11, 0.005},
                  {1, 29, 0.61, 17.18, 0.005},    {0, 20, 0, 16.1125, 5e-5},     {81, 263, 25.5289, 36.6210, 5e-5}};
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        double low = 0, high = 0;
        foci_share_interval(shares[i].hits, shares[i].checked, &low, &high);
        assert_near(low, shares[i].low, shares[i].near);
        assert_near(high, shares[i].high, shares[i].near);
    }
}

static void set_raters(scene *s) {
    static char ada[] = "Ada", other_ada[] = "ada", ben[] = "Ben";
    for (size_t i = 0; i < STOPS; i++) {
        s->items[i].rater = i % 3 == 0 ? ben : i % 3 == 1 ? ada : other_ada;
        s->items[i].used = i != 4;
        s->items[i].pooled_into = FOCI_NOT_POOLED;
        if (i >= 20)
            snprintf(s->items[i].date, sizeof s->items[i].date, "2026-08-17");
    }
    s->items[7].rater = NULL;
}

static void stops_are_gathered_by_day_and_rater(void **state) {
    (void)state;
    scene s;
    foci_reading_groups groups = {0};
    scene_make(&s);
    set_raters(&s);
    assert_done(foci_reading_groups_by_day(&groups, &s.stops, &s.err), s.err);
    assert_int_equal(groups.count, 2);
    assert_string_equal(groups.items[0].name, "2026-08-17");
    assert_int_equal(groups.items[0].stops, 10);
    assert_int_equal(groups.items[1].stops, 19); /* stop 5 is not used */
    double hits = 0;
    for (size_t i = 20; i < STOPS; i++)
        hits += s.items[i].hits;
    assert_near(groups.items[0].hits, hits, 0);
    assert_near(groups.items[0].checked, 400, 0);
    assert_near(groups.items[0].mean, 100 * hits / 400, 1e-12);
    foci_reading_groups_free(&groups);
    assert_done(foci_reading_groups_by_rater(&groups, &s.stops, &s.err), s.err);
    assert_int_equal(groups.count, 3);
    assert_true(foci_text_same(groups.items[0].name, "Ada"));
    assert_string_equal(groups.items[1].name, "Ben");
    assert_string_equal(groups.items[2].name, "");
    assert_int_equal(groups.items[2].stops, 1);
    assert_int_equal(groups.items[0].stops + groups.items[1].stops, 28);
    foci_reading_groups_free(&groups);
    for (size_t i = 0; i < STOPS; i++)
        s.items[i].rater = NULL;
    assert_done(foci_reading_groups_by_rater(&groups, &s.stops, &s.err), s.err);
    assert_int_equal(groups.count, 0);
    foci_reading_groups_free(&groups);
}

static void the_highest_come_first(void **state) {
    (void)state;
    scene s;
    size_t *order = NULL, count = 0;
    scene_make(&s);
    set_raters(&s);
    assert_done(foci_stops_ranked(&order, &count, &s.stops, false, &s.err), s.err);
    assert_int_equal(count, STOPS - 1);
    assert_int_equal(order[0], 9); /* stop 5, with as much, is not used; equal ones in the order of the file */
    assert_int_equal(order[count - 1], 25);
    for (size_t i = 1; i < count; i++)
        assert_true(s.items[order[i - 1]].value >= s.items[order[i]].value);
    free(order);
    assert_done(foci_stops_ranked(&order, &count, &s.stops, true, &s.err), s.err);
    assert_int_equal(order[0], 0);
    assert_int_equal(order[1], 5);
    assert_int_equal(order[count - 1], 29);
    free(order);
}

static bool attempt(foci_error *err) {
    scene s;
    foci_reading_groups groups = {0};
    size_t *order = NULL, count = 0;
    scene_make(&s);
    set_raters(&s);
    bool ok =
        foci_reading_groups_by_rater(&groups, &s.stops, err) && foci_stops_ranked(&order, &count, &s.stops, true, err);
    foci_reading_groups_free(&groups);
    free(order);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shares_have_the_published_intervals),
        cmocka_unit_test(stops_are_gathered_by_day_and_rater),
        cmocka_unit_test(the_highest_come_first),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

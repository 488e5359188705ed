#include "decide/pattern/join_counts.h"

#include "decide/pattern/sample_links.h"

static foci_pattern_test judged(const foci_links *links, const bool *infected) {
    foci_error err = {0};
    foci_pattern_test test;
    assert_done(foci_join_counts_test(&test, links, infected, &err), err);
    return test;
}

static double other_joins(const foci_links *links, const bool *infected) {
    bool healthy[COLUMBUS];
    for (size_t i = 0; i < links->count; i++)
        healthy[i] = !infected[i];
    return judged(links, healthy).value;
}

/* Crime above 35 in Columbus: 24 areas. High with high and low with low as published with the data. */
static void test_columbus(void **state) {
    (void)state;
    foci_links links = sample_links_columbus();
    bool high[COLUMBUS], low[COLUMBUS];
    for (size_t i = 0; i < COLUMBUS; i++) {
        high[i] = columbus_crime[i] > 35;
        low[i] = !high[i];
    }
    foci_pattern_test of_high = judged(&links, high), of_low = judged(&links, low);
    assert_near(of_high.value, 54, 0);
    assert_near(of_high.expectation, 27.22449, 5e-6);
    assert_near(of_high.variance, 17.88838, 5e-6);
    assert_near(of_high.z, 6.3307, 5e-5);
    assert_near(of_low.value, 34, 0);
    assert_near(of_low.expectation, 29.59184, 5e-6);
    assert_near(of_low.variance, 18.89550, 5e-6);
    assert_near(of_low.z, 1.0141, 5e-5);
    assert_near((double)links.first[COLUMBUS] / 2 - of_high.value - of_low.value, 28, 0);
    foci_links_free(&links);
}

/* 6 x 6 boards after O'Sullivan & Unwin 2010, Geographic Information Analysis: counts published (from memory), moments
 * without replacement computed from Cliff & Ord's formula by a separate program. */
static void test_boards(void **state) {
    (void)state;
    foci_links links = sample_links_grid(6, 6);
    bool chess[36], half[36], patches[36];
    const char *map = "110000111000010000000000000011000011";
    for (size_t i = 0; i < 36; i++) {
        chess[i] = (i + i / 6) % 2;
        half[i] = i % 6 < 3;
        patches[i] = map[i] == '1';
    }
    assert_near(judged(&links, chess).value, 0, 0);
    assert_near(other_joins(&links, chess), 0, 0);
    foci_pattern_test test = judged(&links, half);
    assert_near(test.value, 27, 0);
    assert_near(other_joins(&links, half), 27, 0);
    assert_near(test.expectation, 14.571429, 5e-7);
    assert_near(test.variance, 4.592950, 5e-7);
    test = judged(&links, patches);
    assert_near(test.value, 10, 0);
    assert_near(other_joins(&links, patches), 38, 0);
    assert_near(test.expectation, 4.285714, 5e-7);
    assert_near(test.variance, 2.458220, 5e-7);
    assert_near(test.z, 3.644615, 5e-7);
    foci_links_free(&links);
}

static void test_an_order_moves_the_disease(void **state) {
    (void)state;
    foci_links links = sample_links_within(six_places, SIX, 15);
    static const bool infected[SIX] = {true, true, false, false, false, false};
    static const size_t order[SIX] = {2, 0, 3, 4, 5, 1};
    assert_near(foci_join_counts_count(&links, infected, NULL), 1, 0);
    assert_near(foci_join_counts_count(&links, infected, order), 0, 0); /* now the second and the last */
    foci_links_free(&links);
}

static void test_what_has_no_answer(void **state) {
    (void)state;
    foci_links links = sample_links_within(six_places, SIX, 15);
    static const bool none[SIX] = {false}, all[SIX] = {true, true, true, true, true, true};
    assert_true(isnan(judged(&links, none).value) && isnan(judged(&links, all).z));
    foci_links_free(&links);
    links = sample_links_within(six_places, 3, 100);
    assert_true(isnan(judged(&links, (const bool[]){true, false, true}).value));
    foci_links_free(&links);
}

static bool attempt(foci_error *err) {
    foci_links links = sample_links_columbus();
    foci_pattern_test test;
    static const bool infected[COLUMBUS] = {true};
    bool ok = foci_join_counts_test(&test, &links, infected, err);
    foci_links_free(&links);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_columbus),
        cmocka_unit_test(test_boards),
        cmocka_unit_test(test_an_order_moves_the_disease),
        cmocka_unit_test(test_what_has_no_answer),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Systematic draws and quantiles over levels, worked by hand. */
#include "support/support.h"

#include "estimate/fit/systematic.h"
#include "estimate/fit/ties.h"

/* Four draws at 1/8, 3/8, 5/8 and 7/8 of the sum. */
static void test_draws(void **state) {
    (void)state;
    const double weight[] = {0.1, 0.3, 0, 0.6}, doubled[] = {0.2, 0.6, 0, 1.2};
    size_t taken[4], again[4];
    assert_int_equal(foci_systematic(taken, weight, 4, 4), 2);
    const size_t expected[] = {0, 2, 0, 2};
    assert_memory_equal(taken, expected, sizeof expected);
    assert_int_equal(foci_systematic(again, doubled, 4, 4), 2);
    assert_memory_equal(again, expected, sizeof expected);
}

/* Each is drawn as often as its weight says, to one draw; none is lost where rounding leaves the sum short. */
static void test_shares(void **state) {
    (void)state;
    double weight[17], total = 0;
    size_t taken[17], all = 0;
    for (size_t i = 0; i < 17; i++)
        total += weight[i] = 1 + sin(0.7 * (double)i);
    foci_systematic(taken, weight, 17, 200);
    for (size_t i = 0; i < 17; i++) {
        all += taken[i];
        assert_near((double)taken[i], 200 * weight[i] / total, 1);
    }
    assert_int_equal(all, 200);
}

static void test_quantiles(void **state) {
    (void)state;
    const double level[] = {1, 2, 4, 8}, weight[] = {0.04, 0.46, 0.4, 0.1};
    const foci_interval levels = foci_level_interval(level, weight, 4), cells = foci_cell_interval(level, weight, 4);
    assert_near(levels.low, 2, 0);
    assert_near(levels.median, 2, 0);
    assert_near(levels.high, 8, 0);
    assert_near(cells.low, 2 * exp2(0.01 / 0.46 - 0.5), 1e-12);
    assert_near(cells.median, 2 * exp2(0.5), 1e-12);
    assert_near(cells.high, 8, 1e-12);
}

/* Two draws, three ties: the weight of each is its draw's times the tie's prior times what its likelihood gains. */
static void test_ties(void **state) {
    (void)state;
    const foci_tie ties[] = {{0, 1, 0.5}, {0.5, 1, 0.25}, {0.9, 1, 0.25}};
    const double log_likelihood[] = {-10, -10 + log(2), -10 + log(4), -12, -12, -12 + log(8)};
    const double draw_weight[] = {0.75, 0.25};
    double weight[6];
    /* 0.75 (0.5, 0.5, 1) and 0.25 (0.5, 0.25, 2): 1.5 + 0.6875 */
    assert_near(foci_ties_weigh(weight, log_likelihood, draw_weight, 2, ties, 3), log(2.1875), 1e-14);
    const double expected[] = {0.375, 0.375, 0.75, 0.125, 0.0625, 0.5};
    for (size_t i = 0; i < 6; i++)
        assert_near(weight[i], expected[i] / 2.1875, 1e-15);
    /* along the path: 0.375, 0.375, 0.75, then the second draw's backwards 0.5, 0.0625, 0.125 of 2.1875 */
    foci_drawn tied[4];
    foci_error err = {0};
    size_t count = 0;
    assert_done(foci_ties_draw(tied, &count, weight, 2, 3, 4, &err), err);
    assert_int_equal(count, 3);
    assert_true(tied[0].point == 0 && tied[1].point == 2 && tied[2].point == 3 + 2);
    assert_near(tied[0].weight, 0.25, 0);
    assert_near(tied[1].weight, 0.5, 0);
    assert_near(tied[2].weight, 0.25, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_draws),
        cmocka_unit_test(test_shares),
        cmocka_unit_test(test_quantiles),
        cmocka_unit_test(test_ties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

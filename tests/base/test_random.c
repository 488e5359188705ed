#include "base/random.h"

#include "support/support.h"

/* The first outputs of xoshiro256** from the state 1 2 3 4, as tests of several public implementations give them. */
static void test_known_outputs(void **state) {
    (void)state;
    static const uint64_t known[] = {11520,
                                     0,
                                     1509978240,
                                     1215971899390074240u,
                                     1216172134540287360u,
                                     607988272756665600u,
                                     16172922978634559625u,
                                     8476171486693032832u,
                                     10595114339597558777u,
                                     2904607092377533576u};
    foci_random draws = {{1, 2, 3, 4}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        assert_true(foci_random_next(&draws) == known[i]);
}

/* Worked out by a separate program with whole numbers of any size; its splitmix64 gives 6457827717110365317 first from
 * 1234567, as published. */
static void test_a_stream_stays_what_it_is(void **state) {
    (void)state;
    foci_random draws = foci_random_stream(20, 3);
    assert_true(foci_random_next(&draws) == 4477089248270124424u);
    assert_true(foci_random_next(&draws) == 1863420272827016407u);
    assert_true(foci_random_next(&draws) == 7612302850843293249u);
}

static void test_streams_differ(void **state) {
    (void)state;
    enum { STREAMS = 1000 };
    static uint64_t first[2 * STREAMS];
    for (uint64_t k = 0; k < STREAMS; k++) {
        foci_random a = foci_random_stream(7, k), b = foci_random_stream(8, k);
        first[2 * k] = foci_random_next(&a);
        first[2 * k + 1] = foci_random_next(&b);
        for (uint64_t j = 0; j < 2 * k; j++) {
            assert_true(first[j] != first[2 * k]);
            assert_true(first[j] != first[2 * k + 1]);
        }
    }
}

/* Chi-squared of `cells` counts that should be equal; bounds hold the middle 99.9 % for that many cells. */
static double spread_of(const int *counts, int cells, int draws) {
    double sum = 0, expected = (double)draws / cells;
    for (int i = 0; i < cells; i++)
        sum += (counts[i] - expected) * (counts[i] - expected) / expected;
    return sum;
}

static void test_draws_below_are_even(void **state) {
    (void)state;
    enum { CELLS = 7, DRAWS = 70000 };
    int by_number[CELLS] = {0}, by_share[CELLS] = {0}, first_of_stream[CELLS] = {0};
    foci_random draws = foci_random_stream(1, 0);
    for (int i = 0; i < DRAWS; i++) {
        size_t drawn = foci_random_below(&draws, CELLS);
        assert_true(drawn < CELLS);
        by_number[drawn]++;
        double share = foci_random_share(&draws);
        assert_true(share >= 0 && share < 1);
        by_share[(int)(share * CELLS)]++;
        foci_random stream = foci_random_stream(1, (uint64_t)i);
        first_of_stream[foci_random_below(&stream, CELLS)]++;
    }
    assert_in_range((int)spread_of(by_number, CELLS, DRAWS), 0, 22);
    assert_in_range((int)spread_of(by_share, CELLS, DRAWS), 0, 22);
    assert_in_range((int)spread_of(first_of_stream, CELLS, DRAWS), 0, 22);
    assert_int_equal(foci_random_below(&draws, 0), 0);
    assert_int_equal(foci_random_below(&draws, 1), 0);
}

static void test_every_order_comes_equally_often(void **state) {
    (void)state;
    enum { DRAWS = 24000 };
    int seen[24] = {0};
    for (uint64_t k = 0; k < DRAWS; k++) {
        size_t order[4] = {9, 9, 9, 9};
        foci_random draws = foci_random_stream(5, k);
        foci_random_order(&draws, order, 4);
        int rank = 0;
        static const int factorial[] = {6, 2, 1, 1};
        for (int i = 0; i < 4; i++) {
            int smaller_later = 0;
            for (int j = i + 1; j < 4; j++) {
                assert_true(order[j] != order[i]);
                smaller_later += order[j] < order[i];
            }
            assert_true(order[i] < 4);
            rank += smaller_later * factorial[i];
        }
        seen[rank]++;
    }
    assert_in_range((int)spread_of(seen, 24, DRAWS), 0, 50);
}

/* Moments of a million normal numbers within four standard errors, and no likeness between neighbours, which come from
 * one pair or from two. */
static void test_normal_draws_are_normal(void **state) {
    (void)state;
    enum { COUNT = 1000000 };
    double *normal = malloc(COUNT * sizeof *normal), sum[5] = {0}, beside = 0;
    int beyond = 0;
    foci_random draws = foci_random_stream(11, 4);
    foci_random_normal(&draws, normal, COUNT);
    for (int i = 0; i < COUNT; i++) {
        assert_true(isfinite(normal[i]));
        double power = 1;
        for (int k = 1; k < 5; k++)
            sum[k] += power *= normal[i];
        beside += i > 0 ? normal[i] * normal[i - 1] : 0;
        beyond += normal[i] > 1.6448536269514722;
    }
    const double error = 1 / sqrt((double)COUNT);
    assert_near(sum[1] / COUNT, 0, 4 * error);
    assert_near(sum[2] / COUNT, 1, 4 * sqrt(2) * error);
    assert_near(sum[3] / COUNT, 0, 4 * sqrt(15) * error);
    assert_near(sum[4] / COUNT, 3, 4 * sqrt(96) * error);
    assert_near(beside / COUNT, 0, 4 * error);
    assert_near((double)beyond / COUNT, 0.05, 4 * sqrt(0.05 * 0.95) * error);
    free(normal);
}

static void test_an_odd_count_of_normal_draws(void **state) {
    (void)state;
    double three[3], four[4];
    foci_random a = foci_random_stream(2, 9), b = a;
    foci_random_normal(&a, three, 3);
    foci_random_normal(&b, four, 4);
    for (int i = 0; i < 3; i++)
        assert_true(three[i] == four[i]);
    assert_true(foci_random_next(&a) == foci_random_next(&b));
    foci_random_normal(&a, NULL, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_outputs),
        cmocka_unit_test(test_a_stream_stays_what_it_is),
        cmocka_unit_test(test_streams_differ),
        cmocka_unit_test(test_draws_below_are_even),
        cmocka_unit_test(test_every_order_comes_equally_often),
        cmocka_unit_test(test_normal_draws_are_normal),
        cmocka_unit_test(test_an_odd_count_of_normal_draws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

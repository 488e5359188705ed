#include "support/support.h"

#include "base/chance.h"

#define TWO_SIDED_95 1.959963984540054

/* Abramowitz & Stegun, table 26.1 (from memory), and the quantile that the header states. */
static void test_normal_distribution(void **state) {
    (void)state;
    assert_near(foci_normal_cdf(0), 0.5, 1e-16);
    assert_near(foci_normal_cdf(1), 0.841344746068543, 1e-15);
    assert_near(foci_normal_cdf(2), 0.977249868051821, 1e-15);
    assert_near(foci_normal_cdf(FOCI_NORMAL_95), 0.95, 1e-15);
    assert_near(foci_normal_cdf(-FOCI_NORMAL_95), 0.05, 1e-16);
    assert_near(foci_normal_cdf(TWO_SIDED_95), 0.975, 1e-15);
}

/* The density integrated by Simpson's rule from z to far out: also the small chances must be right in every digit. */
static double tail_below(double z) {
    const int steps = 200000;
    double from = z - 12, width = 12.0 / steps, sum = 0;
    for (int i = 0; i <= steps; i++) {
        double x = from + i * width;
        sum += exp(-x * x / 2) * (i == 0 || i == steps ? 1 : i % 2 ? 4 : 2);
    }
    return sum * width / 3 / sqrt(2 * acos(-1));
}

static void test_tails_keep_their_digits(void **state) {
    (void)state;
    const double places[] = {-1.37, -4.21, -7.93, -12.6, -20.02};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        assert_near(foci_normal_cdf(places[i]) / tail_below(places[i]), 1, 1e-10);
}

/* Newcombe 1998, Statistics in Medicine 17:857-872, method 3, to the four digits printed there. */
static void test_wilson_interval_is_the_published_one(void **state) {
    (void)state;
    const struct {
        double y, n, low, high;
    } rows[] = {{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low = NAN, high = NAN;
        foci_wilson_interval(rows[i].y, rows[i].n, TWO_SIDED_95, &low, &high);
        assert_near(low, rows[i].low, 5e-5);
        assert_near(high, rows[i].high, 5e-5);
    }
}

/* Its ends are the shares whose score test just reaches z (Wilson 1927): (y/n - p)^2 = z^2 p (1 - p) / n. */
static void test_wilson_ends_solve_their_equation(void **state) {
    (void)state;
    for (int checked = 1; checked < 40; checked += 6)
        for (int halves = 0; halves <= 2 * checked; halves++) {
            double n = checked, y = halves / 2.0, ends[2] = {NAN, NAN};
            foci_wilson_interval(y, n, 1.234, &ends[0], &ends[1]);
            assert_true(ends[0] >= 0 && ends[0] <= y / n && y / n <= ends[1] && ends[1] <= 1);
            for (int i = 0; i < 2; i++)
                assert_near((y / n - ends[i]) * (y / n - ends[i]), 1.234 * 1.234 * ends[i] * (1 - ends[i]) / n, 1e-14);
        }
}

static void test_wilson_at_its_limits(void **state) {
    (void)state;
    double low = NAN, high = NAN;
    foci_wilson_interval(0, 0, TWO_SIDED_95, &low, &high);
    assert_true(low == 0 && high == 1);
    foci_wilson_interval(0, 17, TWO_SIDED_95, &low, &high);
    assert_true(low == 0);
    foci_wilson_interval(17, 17, TWO_SIDED_95, &low, &high);
    assert_near(high, 1, 1e-15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_normal_distribution),
        cmocka_unit_test(test_tails_keep_their_digits),
        cmocka_unit_test(test_wilson_interval_is_the_published_one),
        cmocka_unit_test(test_wilson_ends_solve_their_equation),
        cmocka_unit_test(test_wilson_at_its_limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The vector exp and normal distribution function against the C library's. */
#include "estimate/gaussian/fast_exp.h"

#include "support/support.h"

static void test_exp(void **state) {
    (void)state;
    double worst = 0;
    for (double x = -707; x <= 708; x += 0.00385)
        worst = fmax(worst, fabs(foci_fast_exp(x) / exp(x) - 1));
    for (double x = -3e-5; x <= 3e-5; x += 1.7e-9)
        worst = fmax(worst, fabs(foci_fast_exp(x) / exp(x) - 1));
    assert_true(worst < 1e-15);
    assert_near(foci_fast_exp(0), 1, 0);
}

static void test_exp_beyond(void **state) {
    (void)state;
    static const double far[] = {710, 745, 800, 1e5, 1e15, 3e15, 4.6e15, 1e16, 1e300, INFINITY};
    for (size_t i = 0; i < sizeof far / sizeof *far; i++) {
        assert_near(foci_fast_exp(-far[i]), 0, 0);
        assert_true(foci_fast_exp(far[i]) > 8e307 && isfinite(foci_fast_exp(far[i])));
    }
    assert_true(foci_fast_exp(-708.2) < 4e-308);
}

static void test_share(void **state) {
    (void)state;
    for (double x = -60; x <= 60; x += 0.0385)
        assert_near(foci_fast_expit(x), 1 / (1 + exp(-x)), 4e-16);
    assert_near(foci_fast_expit(-1e9), 0, 1e-300);
    assert_near(foci_fast_expit(1e9), 1, 0);
}

static void test_normal(void **state) {
    (void)state;
    for (double z = -40; z <= 40; z += 0.00385)
        assert_near(foci_fast_normal_cdf(z, foci_fast_exp(-0.5 * z * z)), 0.5 * erfc(-z * 0.70710678118654752440),
                    1e-14);
    assert_near(foci_fast_normal_cdf(-1e9, 0), 0, 0);
    assert_near(foci_fast_normal_cdf(1e9, 0), 1, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_exp),
        cmocka_unit_test(test_exp_beyond),
        cmocka_unit_test(test_share),
        cmocka_unit_test(test_normal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

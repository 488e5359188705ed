#include "support/support.h"

#include "base/bessel.h"

/* K_1/2(x) = sqrt(pi/(2x)) e^-x, K_3/2 = K_1/2 (1 + 1/x), K_5/2 = K_1/2 (1 + 3/x + 3/x^2): Abramowitz & Stegun 10.2.17.
 */
static void test_half_orders_are_closed_forms(void **state) {
    (void)state;
    const double places[] = {0.001, 0.0385, 0.417, 1.93, 2.385, 7.61, 23.4, 100.7};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        double x = places[i];
        double half = sqrt(acos(-1) / (2 * x)) * exp(-x);
        assert_near(foci_bessel_k(0.5, x) / half, 1, 1e-12);
        assert_near(foci_bessel_k(1.5, x) / (half * (1 + 1 / x)), 1, 1e-12);
        assert_near(foci_bessel_k(2.5, x) / (half * (1 + 3 / x + 3 / (x * x))), 1, 1e-12);
    }
}

/* Abramowitz & Stegun, table 9.8, whole orders (values from memory, ten digits). */
static void test_whole_orders_are_tabulated(void **state) {
    (void)state;
    assert_near(foci_bessel_k(0, 1), 0.4210244382, 5e-11);
    assert_near(foci_bessel_k(1, 1), 0.6019072302, 5e-11);
    assert_near(foci_bessel_k(0, 2), 0.1138938727, 5e-11);
    assert_near(foci_bessel_k(1, 2), 0.1398658818, 5e-11);
    assert_near(foci_bessel_k(2, 2), 0.2537597546, 5e-11);
}

/* K_nu(x) = integral over t > 0 of exp(-x cosh t) cosh(nu t) (Abramowitz & Stegun 9.6.24); the trapezoid rule converges
 * faster than any power here. */
static double integral(double order, double x) {
    double step = 1.0 / 256, sum = 0.5 * exp(-x);
    for (int i = 1; i < 256 * 12; i++)
        sum += exp(-x * cosh(i * step)) * cosh(order * i * step);
    return step * sum;
}

static void test_any_order_is_the_integral(void **state) {
    (void)state;
    const double orders[] = {0.13, 0.77, 1.0, 1.86, 3.41, 5.9}, places[] = {0.031, 0.52, 1.999, 2.001, 4.7, 31.3};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++)
        for (size_t j = 0; j < sizeof places / sizeof *places; j++)
            assert_near(foci_bessel_k(orders[i], places[j]) / integral(orders[i], places[j]), 1, 1e-11);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_half_orders_are_closed_forms),
        cmocka_unit_test(test_whole_orders_are_tabulated),
        cmocka_unit_test(test_any_order_is_the_integral),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

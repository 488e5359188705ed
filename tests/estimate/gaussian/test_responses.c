/* The rows of the catalog of responses: derivatives against differences, known values, and refusals. */
#include "estimate/gaussian/responses.h"

#include "support/support.h"

/* Each derivative against the central difference of the one before; sums and vectors against the terms. */
static void test_derivatives_are_the_differences(void **state) {
    (void)state;
    static const double eta[] = {-6.1, -2.385, -0.3, 0.2, 1.7, 4.4};
    enum { COUNT = sizeof eta / sizeof *eta };
    for (const foci_response *row = foci_responses; row->name; row++) {
        const double step = 1e-4;
        double reading[COUNT], detail[COUNT], slope[COUNT], weight[COUNT], sum = 0;
        for (size_t i = 0; i < COUNT; i++) {
            reading[i] = row->counts ? 3 : 0.7;
            detail[i] = row->counts ? 30 : 0.45;
            const foci_response_terms at = row->terms(reading[i], detail[i], eta[i]),
                                      up = row->terms(reading[i], detail[i], eta[i] + step),
                                      down = row->terms(reading[i], detail[i], eta[i] - step);
            assert_near((up.value - down.value) / (2 * step), at.slope, 1e-6);
            assert_near((up.slope - down.slope) / (2 * step), -at.weight, 1e-6);
            assert_near((up.weight - down.weight) / (2 * step), -at.third, 1e-6);
            assert_near((up.third - down.third) / (2 * step), at.fourth, 1e-6);
            sum += at.value;
        }
        assert_near(row->sum(reading, detail, eta, COUNT), sum, 1e-12);
        row->derivatives(slope, weight, reading, detail, eta, COUNT);
        for (size_t i = 0; i < COUNT; i++) {
            const foci_response_terms at = row->terms(reading[i], detail[i], eta[i]);
            assert_near(slope[i], at.slope, 1e-13);
            assert_near(weight[i], at.weight, 1e-13);
        }
    }
}

/* The binomial probability of 3 of 30 at a share of 0.1, and the normal density, by their formulas. */
static void test_known_values(void **state) {
    (void)state;
    const foci_response *counts = foci_response_binomial, *scores = foci_response_normal;
    const double eta = log(0.1 / 0.9), probability = 4060 * pow(0.1, 3) * pow(0.9, 27);
    assert_near(counts->terms(3, 30, eta).value + counts->constant(3, 30), log(probability), 1e-12);
    assert_near(scores->terms(1.2, 0.49, 0.5).value, log(exp(-0.5) / (0.7 * sqrt(2 * acos(-1)))), 1e-12);
    assert_near(scores->constant(1.2, 0), 0, 0);
    assert_near(counts->alone(0, 30), log(0.5 / 30.5), 1e-14);
    assert_near(scores->alone(1.2, 0.49), 1.2, 0);
    assert_true(counts->terms(30, 30, 300).weight > 0);
    assert_true(isfinite(counts->terms(0, 30, 300).value) && isfinite(counts->terms(30, 30, -300).value));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_derivatives_are_the_differences),
        cmocka_unit_test(test_known_values),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The mixture against plain sums over its density. */
#include "support/support.h"

#include "base/probability.h"
#include "estimate/predict/mixture.h"

enum { PARTS = 3, STEPS = 200000 };

static const double weights[PARTS] = {0.5, 0.3125, 0.1875}, means[PARTS] = {1.7, 2.1, 0.9};
static const double deviations[PARTS] = {0.4, 0.7, 0.25};

typedef struct {
    double estimate, variance, low, high, chance;
} answer;

static answer told(size_t parts, const foci_box_cox *scale, double threshold) {
    answer a = {0};
    double mean[PARTS], deviation[PARTS];
    memcpy(mean, means, sizeof mean);
    memcpy(deviation, deviations, sizeof deviation);
    foci_mixture mixture = {parts, parts == 1 ? &(double){1} : weights, mean, deviation};
    foci_score_layers out = {
        .estimate = &a.estimate, .variance = &a.variance, .low = &a.low, .high = &a.high, .chance = &a.chance};
    foci_mixture_tell_score(&out, 0, &mixture, scale, threshold);
    return a;
}

/* Midpoint sums over -5 ... 8 on the scale of kriging. */
static answer twin(size_t parts, const foci_box_cox *scale, double threshold) {
    answer a = {0};
    double below = 0, square = 0, step = 13.0 / STEPS;
    a.low = a.high = NAN;
    for (size_t i = 0; i < STEPS; i++) {
        double z = -5 + ((double)i + 0.5) * step, density = 0;
        for (size_t k = 0; k < parts; k++) {
            double apart = (z - means[k]) / deviations[k];
            density += (parts == 1 ? 1 : weights[k]) * exp(-0.5 * apart * apart) / (deviations[k] * 2.5066282746310002);
        }
        double reading = foci_box_cox_back(scale, z);
        a.estimate += reading * density * step;
        square += reading * reading * density * step;
        a.chance += (reading >= threshold) * density * step;
        below += density * step;
        if (isnan(a.low) && below >= 0.05)
            a.low = reading;
        if (isnan(a.high) && below >= 0.95)
            a.high = reading;
    }
    a.variance = square - a.estimate * a.estimate;
    return a;
}

static void compare(size_t parts, const foci_box_cox *scale, double threshold, double tolerance) {
    answer found = told(parts, scale, threshold), wanted = twin(parts, scale, threshold);
    assert_near(found.estimate, wanted.estimate, tolerance * wanted.estimate);
    assert_near(found.variance, wanted.variance, 10 * tolerance * wanted.variance);
    assert_near(found.low, wanted.low, 1e-3 * wanted.estimate);
    assert_near(found.high, wanted.high, 1e-3 * wanted.high);
    assert_near(found.chance, wanted.chance, 1e-3);
}

static void test_against_sums(void **state) {
    (void)state;
    for (int quarter = 0; quarter <= 6; quarter++) {
        foci_box_cox scale = {
            .transformed = true, .lambda = 0.25 * quarter, .shift = 0.25, .least = 0, .most = INFINITY};
        compare(PARTS, &scale, 3.4, 1e-5);
        compare(1, &scale, 3.4, 1e-5);
    }
    foci_box_cox plain = {0};
    compare(PARTS, &plain, 2.2, 1e-7);
}

/* In the mean no reading counts for more than the highest one, in the plain sum too; all else is as without. The
 * quadrature meets a kink there. */
static void test_tail_beyond_the_highest(void **state) {
    (void)state;
    for (int quarter = -1; quarter <= 4; quarter++) {
        foci_box_cox scale = {.transformed = true,
                              .lambda = 0.25 * quarter,
                              .shift = 0.25,
                              .least = 0,
                              .most = quarter < 0 ? 90 : INFINITY};
        const answer free = told(PARTS, &scale, 3.4);
        for (double highest = 3.1; highest < 12; highest *= 1.7) {
            scale.highest = highest;
            const answer held = told(PARTS, &scale, 3.4);
            foci_box_cox cut = scale;
            cut.most = highest; /* the sum's readings are held by it */
            assert_near(held.estimate, twin(PARTS, &cut, 3.4).estimate, 0.01 * held.estimate);
            assert_true(held.estimate <= highest && held.estimate <= free.estimate);
            assert_near(held.variance, free.variance, 0);
            assert_near(held.low, free.low, 0);
            assert_near(held.high, free.high, 0);
            assert_near(held.chance, free.chance, 0);
        }
    }
}

/* Where a limit cuts into the distribution the quadrature meets a kink: 1 % is what it holds. */
static void test_bounded(void **state) {
    (void)state;
    foci_box_cox narrow = {.transformed = true, .lambda = 0.5, .shift = 0, .least = 1, .most = 5};
    answer found = told(PARTS, &narrow, 2.5), wanted = twin(PARTS, &narrow, 2.5);
    assert_near(found.estimate, wanted.estimate, 0.01 * wanted.estimate);
    assert_near(found.high, 5, 0);
    assert_true(found.low >= 1);
    assert_near(told(PARTS, &narrow, 1).chance, 1, 0);
    assert_near(told(PARTS, &narrow, 5.01).chance, 0, 0);
    assert_near(told(PARTS, &narrow, NAN).chance, NAN, 0);
}

/* The mean of a lognormal is exp(m + v / 2), its variance (exp(v) - 1) times the mean squared. */
static void test_lognormal(void **state) {
    (void)state;
    foci_box_cox scale = {.transformed = true, .lambda = 0, .shift = 0, .least = 0, .most = INFINITY};
    answer found = told(1, &scale, NAN);
    double mean = exp(1.7 + 0.08);
    assert_near(found.estimate, mean, 1e-12 * mean);
    assert_near(found.variance, expm1(0.16) * mean * mean, 1e-10 * mean * mean);
    assert_near(found.low, exp(1.7 - 0.4 * FOCI_NORMAL_95), 1e-12);
    assert_near(found.high, exp(1.7 + 0.4 * FOCI_NORMAL_95), 1e-12);
}

/* One normal, nothing transformed: what kriging says. */
static void test_one_normal(void **state) {
    (void)state;
    answer found = told(1, &(foci_box_cox){0}, 2);
    assert_near(found.estimate, 1.7, 0);
    assert_near(found.variance, 0.16, 1e-16);
    assert_near(found.low, 1.7 - 0.4 * FOCI_NORMAL_95, 1e-15);
    assert_near(found.chance, foci_normal_cdf(-0.75), 1e-15);
}

/* Bounds do not suffer where the values are large against their spread. */
static void test_far_from_zero(void **state) {
    (void)state;
    double mean[PARTS], deviation[PARTS], low = 0, high = 0;
    for (size_t k = 0; k < PARTS; k++) {
        mean[k] = means[k] * 1e-3 + 4e6;
        deviation[k] = deviations[k] * 1e-3;
    }
    foci_mixture mixture = {PARTS, weights, mean, deviation};
    foci_score_layers out = {.low = &low, .high = &high};
    foci_mixture_tell_score(&out, 0, &mixture, &(foci_box_cox){0}, NAN);
    answer near = told(PARTS, &(foci_box_cox){0}, NAN);
    assert_near(low, 4e6 + 1e-3 * near.low, 1e-8);
    assert_near(high, 4e6 + 1e-3 * near.high, 1e-8);
}

/* On a stop nothing is unknown, whatever the weights add up to. */
static void test_known(void **state) {
    (void)state;
    double mean[PARTS] = {0.3, 0.3, 0.3}, deviation[PARTS] = {0};
    const double thirds[PARTS] = {1 / 3.0, 1 / 3.0, 1 - 2 / 3.0};
    for (int transformed = 0; transformed < 2; transformed++) {
        foci_box_cox scale = {.transformed = transformed, .lambda = 0.5, .most = INFINITY};
        double reading = transformed ? 1.3225 : 0.3; /* (1 + 0.15)^2 */
        answer a = {0};
        foci_mixture mixture = {PARTS, thirds, mean, deviation};
        foci_score_layers out = {
            .estimate = &a.estimate, .variance = &a.variance, .low = &a.low, .high = &a.high, .chance = &a.chance};
        foci_mixture_tell_score(&out, 0, &mixture, &scale, 0.2);
        assert_near(a.estimate, reading, 1e-15);
        assert_near(a.variance, 0, 0);
        assert_near(a.low, reading, 1e-15);
        assert_near(a.high, reading, 1e-15);
        assert_near(a.chance, 1, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_sums),
        cmocka_unit_test(test_bounded),
        cmocka_unit_test(test_tail_beyond_the_highest),
        cmocka_unit_test(test_known),
        cmocka_unit_test(test_lognormal),
        cmocka_unit_test(test_one_normal),
        cmocka_unit_test(test_far_from_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

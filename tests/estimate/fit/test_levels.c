/* The grid of parameters as counts use it: levels, priors, numbers, the snake, weights, draws. */
#include "estimate/counts_cases.h"

#include "estimate/fit/counts_search.h"

#define SPACING 53.0

static void test_priors(void **state) {
    (void)state;
    static const double range[] = {.021515645, .081143247, .155961947, .196710513,
                                   .190672541, .156776521, .116307193, .080912394};
    static const double sigma[] = {.090630431, .117450108, .144703128, .165679142,
                                   .170568024, .150520343, .106228510, .054220315};
    static const double ratio[] = {.333333333, .207946535, .228825330, .159487385, .070407416};
    foci_levels grid = foci_counts_levels(SPACING, true);
    for (size_t i = 0; i < FOCI_COUNTS_LEVELS; i++) {
        assert_near(grid.prior[FOCI_AXIS_RANGE][i], range[i], 5e-10);
        assert_near(grid.prior[FOCI_AXIS_SIGMA][i], sigma[i], 5e-10);
    }
    for (size_t i = 0; i < FOCI_STRETCHES; i++)
        assert_near(grid.prior[FOCI_AXIS_STRETCH][i], ratio[i], 5e-10);
    assert_near(grid.level[FOCI_AXIS_SIGMA][4], 1.1051265625, 1e-14);
    assert_near(grid.level[FOCI_AXIS_RANGE][4], 163.84, 1e-11);
}

/* Continuous priors: P(range < 40 m) = 0.05 and P(sigma > 3) = 0.05; the first by summing a fine copy of the formula
 * that the levels follow. */
static void test_prior_shapes(void **state) {
    (void)state;
    const foci_levels grid = foci_counts_levels(SPACING, true);
    const double rate = 40 * log(20), *range = grid.level[FOCI_AXIS_RANGE], *sigma = grid.level[FOCI_AXIS_SIGMA];
    double below = 0, all = 0;
    for (double log_range = log(0.5); log_range < log(1e7); log_range += 1e-4) {
        double weight = exp(-log_range - rate / exp(log_range));
        all += weight;
        below += exp(log_range) < 40 ? weight : 0;
    }
    assert_near(below / all, 0.05, 1e-4);
    for (size_t i = 1; i < FOCI_COUNTS_LEVELS; i++) {
        double by_range = range[0] / range[i] * exp(rate / range[0] - rate / range[i]);
        double by_sigma = sigma[i] / sigma[0] * exp(log(0.05) / 3 * (sigma[i] - sigma[0]));
        assert_near(grid.prior[FOCI_AXIS_RANGE][i] / grid.prior[FOCI_AXIS_RANGE][0], by_range, 1e-12);
        assert_near(grid.prior[FOCI_AXIS_SIGMA][i] / grid.prior[FOCI_AXIS_SIGMA][0], by_sigma, 1e-12);
    }
}

static void test_scales_with_spacing(void **state) {
    (void)state;
    foci_levels near = foci_counts_levels(SPACING, true), far = foci_counts_levels(3 * SPACING, true);
    for (size_t i = 0; i < FOCI_COUNTS_MOST; i++)
        assert_near(far.level[FOCI_AXIS_RANGE][i], 3 * near.level[FOCI_AXIS_RANGE][i],
                    1e-10 * far.level[FOCI_AXIS_RANGE][i]);
    for (size_t i = 0; i < FOCI_COUNTS_LEVELS; i++)
        assert_near(far.prior[FOCI_AXIS_RANGE][i], near.prior[FOCI_AXIS_RANGE][i], 1e-14);
}

static void use(foci_levels *levels, size_t ranges, size_t sigmas, size_t taus) {
    foci_levels_use(levels, FOCI_AXIS_RANGE, ranges);
    foci_levels_use(levels, FOCI_AXIS_SIGMA, sigmas);
    foci_levels_use(levels, FOCI_AXIS_REST, taus);
}

static void test_priors_sum_to_one(void **state) {
    (void)state;
    for (size_t added = 0; added <= FOCI_COUNTS_EXTRA; added++)
        for (size_t taus = 1; taus <= FOCI_COUNTS_TAUS; taus++) {
            foci_levels grid = foci_counts_levels(23.85, added % 2 == 0);
            double sum = 0;
            use(&grid, FOCI_COUNTS_LEVELS + added, FOCI_COUNTS_LEVELS + added / 2, taus);
            for (size_t k = 0; k < foci_levels_points(&grid); k++)
                if (foci_levels_has(&grid, foci_levels_index(&grid, k)))
                    sum += exp(foci_levels_log_prior(&grid, foci_levels_index(&grid, k)));
            assert_near(sum, 1, 1e-12);
        }
}

static void test_index_and_back(void **state) {
    (void)state;
    const foci_levels grid = foci_counts_levels(SPACING, true);
    assert_int_equal(foci_levels_points(&grid), CASE_FAMILIES * FOCI_COUNTS_POINTS);
    for (size_t k = 0; k < foci_levels_points(&grid); k++)
        assert_int_equal(foci_levels_point(&grid, foci_levels_index(&grid, k)), k);
}

/* Along the snake each point is a neighbor of the one before: one digit differs, by one step. */
static void test_snake_takes_single_steps(void **state) {
    (void)state;
    static foci_level_index at[CASE_FAMILIES * FOCI_COUNTS_POINTS];
    for (size_t taus = 1; taus <= FOCI_COUNTS_TAUS; taus += 3) {
        foci_levels grid = foci_counts_levels(SPACING, true);
        use(&grid, 9, 8, taus);
        size_t count = CASE_FAMILIES * FOCI_STRETCHES * 9 * 8 * taus, seen = 0;
        for (size_t k = 0; k < foci_levels_points(&grid); k++) {
            foci_level_index index = foci_levels_index(&grid, k);
            if (!foci_levels_has(&grid, index))
                continue;
            assert_true(foci_levels_snake(&grid, index) < count);
            at[foci_levels_snake(&grid, index)] = index;
            seen++;
        }
        assert_int_equal(seen, count);
        for (size_t i = 1; i < count; i++) {
            size_t steps = 0;
            for (size_t axis = 0; axis < FOCI_AXES; axis++)
                steps += (size_t)labs((long)at[i].at[axis] - (long)at[i - 1].at[axis]);
            assert_int_equal(steps, 1);
        }
    }
}

/* Two families, one stretch, three ranges: prior x likelihood by hand; what is not in use has no weight. */
static void test_weights_and_draws(void **state) {
    (void)state;
    foci_error err = {0};
    const foci_correlation_family families[] = {support_family("exponential"), support_family("matern")};
    foci_levels levels = foci_levels_make(families, 2, SPACING, false, 4);
    foci_levels_use(&levels, FOCI_AXIS_RANGE, 3);
    double weight[8] = {0, log(2), log(3), 50, -INFINITY, 0, 0, 50}, sums[FOCI_LEVELS_MOST], expected[8] = {0}, sum = 0;
    const double likelihood[8] = {1, 2, 3, 0, 0, 1, 1, 0}, *prior = levels.prior[FOCI_AXIS_RANGE];
    assert_int_equal(foci_levels_points(&levels), 8);
    for (size_t k = 0; k < 8; k++)
        sum += expected[k] = k % 4 < 3 ? 0.5 * prior[k % 4] * likelihood[k] : 0;
    assert_near(foci_levels_weigh(weight, &levels), log(sum), 1e-14);
    for (size_t k = 0; k < 8; k++)
        assert_near(weight[k], expected[k] / sum, 1e-15);
    foci_levels_marginal(sums, &levels, FOCI_AXIS_RANGE, weight);
    for (size_t i = 0; i < 3; i++)
        assert_near(sums[i], (expected[i] + expected[4 + i]) / sum, 1e-15);
    foci_drawn drawn[40];
    size_t distinct = 0;
    double all = 0;
    assert_done(foci_levels_draw(drawn, &distinct, &levels, weight, 40, &err), err);
    for (size_t i = 0; i < distinct; i++) {
        assert_near(drawn[i].weight, weight[drawn[i].point], 1.0 / 40);
        all += drawn[i].weight;
    }
    assert_near(all, 1, 1e-14);
    for (size_t k = 0; k < 8; k++)
        weight[k] = -INFINITY;
    assert_true(foci_levels_weigh(weight, &levels) == -INFINITY);
}

/* Known values of (family, q = c h / range): 0.05 at the range, and one in between, exp(-2.385) and 3.385 exp(-2.385).
 */
static void test_families(void **state) {
    (void)state;
    static const struct {
        double q, correlation;
    } known[CASE_FAMILIES] = {{2.385, 0.0920889795792812}, {2.385, 0.311721195875867}};
    const foci_levels grid = foci_counts_levels(SPACING, true);
    assert_int_equal(grid.count[FOCI_AXIS_FAMILY], CASE_FAMILIES);
    for (size_t k = 0; k < CASE_FAMILIES; k++) {
        double distance[3] = {0, 77.5, 2.385}, correlation[3] = {0};
        foci_parameters point = {.family = grid.family[k], .stretch = 1, .range = 77.5};
        foci_covariance_correlate(correlation, distance, 2, &point);
        assert_near(correlation[0], 1, 0);
        assert_near(correlation[1], 0.05, 1e-12);
        point.range = grid.family[k].practical;
        foci_covariance_correlate(correlation, distance, 3, &point);
        assert_near(correlation[2], known[k].correlation, 1e-14);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_priors),
        cmocka_unit_test(test_prior_shapes),
        cmocka_unit_test(test_scales_with_spacing),
        cmocka_unit_test(test_priors_sum_to_one),
        cmocka_unit_test(test_index_and_back),
        cmocka_unit_test(test_snake_takes_single_steps),
        cmocka_unit_test(test_weights_and_draws),
        cmocka_unit_test(test_families),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

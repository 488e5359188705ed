/* The parameter grid and its priors, and the families of correlation. */
#include "estimate/counts_cases.h"

#include "estimate/gaussian/latent.h"

#define SPACING 53.0

static void test_priors(void **state) {
    (void)state;
    static const double range[] = {.021515645, .081143247, .155961947, .196710513,
                                   .190672541, .156776521, .116307193, .080912394};
    static const double sigma[] = {.090630431, .117450108, .144703128, .165679142,
                                   .170568024, .150520343, .106228510, .054220315};
    static const double ratio[] = {.333333333, .207946535, .228825330, .159487385, .070407416};
    foci_counts_grid grid = foci_counts_grid_make(SPACING, true);
    for (size_t i = 0; i < FOCI_COUNTS_LEVELS; i++) {
        assert_near(grid.range_prior[i], range[i], 5e-10);
        assert_near(grid.sigma_prior[i], sigma[i], 5e-10);
    }
    for (size_t i = 0; i < FOCI_COUNTS_RATIOS; i++)
        assert_near(grid.ratio_prior[i], ratio[i], 5e-10);
    assert_near(grid.sigma[4], 1.1051265625, 1e-14);
    assert_near(grid.range[4], 163.84, 1e-11);
}

/* Continuous priors: P(range < 40 m) = 0.05 and P(sigma > 3) = 0.05, recovered by summing a fine copy of the formula.
 */
static void test_prior_shapes(void **state) {
    (void)state;
    foci_counts_grid grid = foci_counts_grid_make(SPACING, true);
    double below = 0, all = 0;
    for (double log_range = log(0.5); log_range < log(1e7); log_range += 1e-4) {
        double weight = exp(-log_range - grid.range_rate / exp(log_range));
        all += weight;
        below += exp(log_range) < 40 ? weight : 0;
    }
    assert_near(below / all, 0.05, 1e-4);
    for (size_t i = 1; i < FOCI_COUNTS_LEVELS; i++) {
        double expected = grid.sigma[i] / grid.sigma[0] * exp(log(0.05) / 3 * (grid.sigma[i] - grid.sigma[0]));
        assert_near(grid.sigma_prior[i] / grid.sigma_prior[0], expected, 1e-12);
    }
}

static void test_scales_with_spacing(void **state) {
    (void)state;
    foci_counts_grid near = foci_counts_grid_make(SPACING, true), far = foci_counts_grid_make(3 * SPACING, true);
    for (size_t i = 0; i < FOCI_COUNTS_MOST; i++)
        assert_near(far.range[i], 3 * near.range[i], 1e-10 * far.range[i]);
    for (size_t i = 0; i < FOCI_COUNTS_LEVELS; i++)
        assert_near(far.range_prior[i], near.range_prior[i], 1e-14);
}

static void test_priors_sum_to_one(void **state) {
    (void)state;
    for (size_t added = 0; added <= FOCI_COUNTS_EXTRA; added++)
        for (size_t taus = 1; taus <= FOCI_COUNTS_TAUS; taus++) {
            foci_counts_grid grid = foci_counts_grid_make(23.85, added % 2 == 0);
            double sum = 0;
            foci_counts_grid_use(&grid, FOCI_COUNTS_LEVELS + added, FOCI_COUNTS_LEVELS + added / 2, taus);
            for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++)
                if (foci_counts_grid_has(&grid, foci_counts_grid_index(k)))
                    sum += exp(foci_counts_grid_prior(&grid, foci_counts_grid_index(k)));
            assert_near(sum, 1, 1e-12);
        }
}

static void test_index_and_back(void **state) {
    (void)state;
    for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++)
        assert_int_equal(foci_counts_grid_point(foci_counts_grid_index(k)), k);
}

static size_t difference(size_t a, size_t b) {
    return a > b ? a - b : b - a;
}

/* Along the snake each point is a neighbour of the one before: one digit differs, by one step. */
static void test_snake_takes_single_steps(void **state) {
    (void)state;
    static foci_counts_index at[CASE_FAMILIES * FOCI_COUNTS_POINTS];
    for (size_t taus = 1; taus <= FOCI_COUNTS_TAUS; taus += 3) {
        foci_counts_grid grid = foci_counts_grid_make(SPACING, true);
        foci_counts_grid_use(&grid, 9, 8, taus);
        size_t count = CASE_FAMILIES * FOCI_COUNTS_RATIOS * 9 * 8 * taus, seen = 0;
        for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++) {
            foci_counts_index index = foci_counts_grid_index(k);
            if (!foci_counts_grid_has(&grid, index))
                continue;
            assert_true(foci_counts_grid_snake(&grid, index) < count);
            at[foci_counts_grid_snake(&grid, index)] = index;
            seen++;
        }
        assert_int_equal(seen, count);
        for (size_t i = 1; i < count; i++)
            assert_int_equal(difference(at[i].family, at[i - 1].family) + difference(at[i].ratio, at[i - 1].ratio) +
                                 difference(at[i].range, at[i - 1].range) + difference(at[i].sigma, at[i - 1].sigma) +
                                 difference(at[i].tau, at[i - 1].tau),
                             1);
    }
}

/* Known values of (family, q = c h / range): 0.05 at the range, and one in between, exp(-2.385) and 3.385 exp(-2.385).
 */
static void test_families(void **state) {
    (void)state;
    static const struct {
        double q, correlation;
    } known[CASE_FAMILIES] = {{2.385, 0.0920889795792812}, {2.385, 0.311721195875867}};
    const foci_counts_grid grid = foci_counts_grid_make(SPACING, true);
    assert_int_equal(grid.families, CASE_FAMILIES);
    assert_int_equal(foci_counts_grid_count(&grid), CASE_FAMILIES * FOCI_COUNTS_POINTS);
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
        cmocka_unit_test(test_families),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include "support/simulated_scores.h"

#include "estimate/fit/likelihood_fit.h"

/* What one fit needs; the grid's values are kept. */
typedef struct {
    foci_readings stops;
    foci_likelihood likelihood;
    foci_likelihood_grid grid;
    foci_likelihood_value *values;
} scene;

static scene scene_make(const foci_variogram *truth, const foci_correlation *kind, size_t count, double heading,
                        uint64_t seed, bool restricted) {
    scene s = {.stops = support_simulated(truth, 12.5, 500, count, &seed)};
    foci_error err = {0};
    foci_linear_single_thread();
    s.grid = foci_likelihood_grid_make(s.stops.places, count, kind, 0, heading, 0);
    assert_done(foci_likelihood_make(&s.likelihood, s.stops.places, s.stops.values, count, 1, 0, restricted, &err),
                err);
    s.values = calloc(foci_likelihood_grid_count(&s.grid), sizeof *s.values);
    assert_done(foci_likelihood_grid_run(s.values, &s.grid, &s.likelihood, HOW, &err), err);
    return s;
}

static void scene_free(scene *s) {
    support_readings_free(&s->stops);
    foci_likelihood_free(&s->likelihood);
    free(s->values);
}

static double value_at(const foci_likelihood *likelihood, foci_variogram model) {
    foci_likelihood_work work = {0};
    foci_likelihood_value value = {0};
    foci_error err = {0};
    assert_done(foci_likelihood_work_make(&work, likelihood, &err), err);
    foci_likelihood_correlate(&work, likelihood, &model);
    foci_likelihood_at(&value, likelihood, &work, model.nugget / (model.nugget + model.partial_sill));
    foci_likelihood_work_free(&work);
    return value.log;
}

static foci_variogram truth_of(double ratio, double heading) {
    return (foci_variogram){.kind = foci_correlation_find("exponential"),
                            .nugget = 0.9,
                            .partial_sill = 4.1,
                            .range = 70,
                            .heading = heading,
                            .ratio = ratio};
}

/* The grid's own point, evaluated alone, is the grid's value; and the fit is at least as good as every point. */
static void test_grid(void **state) {
    (void)state;
    foci_variogram truth = truth_of(1, 0);
    scene s = scene_make(&truth, NULL, 50, 30, 311, true);
    size_t count = foci_likelihood_grid_count(&s.grid);
    assert_int_equal(s.grid.families, 3);
    assert_int_equal(count, s.grid.families * s.grid.ratios * s.grid.ranges * FOCI_LIKELIHOOD_SHARES);
    double prior = 0;
    foci_likelihood_fit best = {0};
    foci_error err = {0};
    assert_done(foci_likelihood_best(&best, &s.grid, s.values, &s.likelihood, HOW, &err), err);
    for (size_t i = 0; i < count; i++) {
        prior += exp(foci_likelihood_grid_log_prior(&s.grid, i));
        assert_true(!(s.values[i].log > best.log));
        if (i % 97 == 0)
            assert_near(value_at(&s.likelihood, foci_likelihood_grid_shape(&s.grid, i)), s.values[i].log, 1e-9);
    }
    assert_near(prior, 1, 1e-12);
    assert_near(value_at(&s.likelihood, best.variogram), best.log, 1e-9);
    assert_string_equal(best.variogram.fit, "restricted-likelihood");
    scene_free(&s);
}

/* In units of the spacing d: P(R < 40/53 d) = 5 % for the density R^-2 exp(-rate / R), whose distribution function is
 * exp(-rate / R); levels from 25/53 d up by 1.6 until the largest distance is passed. */
static void test_prior_of_range(void **state) {
    (void)state;
    foci_point places[] = {{0, 0}, {1000, 0}, {0, 600}};
    foci_likelihood_grid grid = foci_likelihood_grid_make(places, 3, NULL, 0, NAN, 53);
    assert_near(grid.range[0], 25, 1e-12);
    assert_near(grid.range[3], 25 * 1.6 * 1.6 * 1.6, 1e-9);
    assert_true(grid.range[grid.ranges - 1] >= hypot(1000, 600) && grid.range[grid.ranges - 2] < hypot(1000, 600));
    double rate = -40 * log(0.05);
    assert_near(log(grid.range_prior[1] / grid.range_prior[0]), rate / 25 - rate / 40 - log(1.6), 1e-10);
    assert_int_equal(grid.ratios, 1);
}

/* At an optimum inside the bounds the slope, by finite differences, is nothing; around it the value falls. */
static void test_slope_at_the_best(void **state) {
    (void)state;
    foci_variogram truth = truth_of(0.4, 30);
    truth.range = 160;
    for (int restricted = 0; restricted < 2; restricted++) {
        scene s = scene_make(&truth, truth.kind, 90, 30, 11, restricted);
        foci_likelihood_fit best = {0};
        foci_error err = {0};
        assert_done(foci_likelihood_best(&best, &s.grid, s.values, &s.likelihood, HOW, &err), err);
        double sill = best.variogram.nugget + best.variogram.partial_sill;
        double share = best.variogram.nugget / sill;
        assert_true(share > 0.01 && share < 0.99 && best.variogram.ratio > 0.11 && best.variogram.ratio < 0.99);
        for (int parameter = 0; parameter < 3; parameter++) {
            double sides[2];
            for (int side = 0; side < 2; side++) {
                double step = side ? 1e-3 : -1e-3;
                foci_variogram moved = best.variogram;
                moved.range *= parameter == 0 ? exp(step) : 1;
                moved.ratio *= parameter == 1 ? exp(step) : 1;
                moved.nugget = parameter == 2 ? share + step : share;
                moved.partial_sill = 1 - moved.nugget;
                sides[side] = value_at(&s.likelihood, moved);
            }
            assert_near((sides[1] - sides[0]) / 2e-3, 0, 2e-3);
            assert_true(sides[0] < best.log && sides[1] < best.log);
        }
        scene_free(&s);
    }
}

/* Many stops, one model: the parameters come back. Tolerances are about two standard errors of 250 stops. */
static void test_parameters_come_back(void **state) {
    (void)state;
    foci_variogram truth = truth_of(0.4, 30);
    scene s = scene_make(&truth, truth.kind, 250, 30, 5, true);
    foci_likelihood_fit best = {0};
    foci_error err = {0};
    assert_done(foci_likelihood_best(&best, &s.grid, s.values, &s.likelihood, HOW, &err), err);
    assert_ptr_equal(best.variogram.kind, truth.kind);
    assert_near(log(best.variogram.range / 70), 0, 0.5);
    assert_near(log(best.variogram.ratio / 0.4), 0, 0.5);
    assert_near(best.variogram.nugget, 0.9, 0.6);
    assert_near(best.variogram.nugget + best.variogram.partial_sill, 5, 1.5);
    scene_free(&s);
}

/* A field stretched along 120 degrees shows it, and where there is none little is gained. */
static void test_headings(void **state) {
    (void)state;
    for (int stretched = 0; stretched < 2; stretched++) {
        foci_variogram truth = truth_of(stretched ? 0.25 : 1, 120);
        truth.range = stretched ? 220 : 70; /* the shorter one is about the spacing */
        scene s = scene_make(&truth, NULL, 120, NAN, 4242, true);
        foci_likelihood_fit isotropic = {0}, best = {0}, again = {0};
        foci_error err = {0};
        assert_done(foci_likelihood_best_isotropic(&isotropic, &s.grid, s.values, &s.likelihood, HOW, &err), err);
        assert_done(foci_likelihood_best_heading(&best, &s.grid, &isotropic, &s.likelihood, HOW, &err), err);
        support_threads = 2;
        assert_done(foci_likelihood_best_heading(&again, &s.grid, &isotropic, &s.likelihood, HOW, &err), err);
        support_threads = 1;
        assert_near(again.log, best.log, 0);
        assert_near(isotropic.variogram.ratio, 1, 0);
        assert_near(value_at(&s.likelihood, best.variogram), best.log, 1e-9);
        if (stretched) {
            assert_true(best.log - isotropic.log > 6);
            assert_near(best.variogram.heading, 120, 15);
            assert_near(log(best.variogram.ratio / 0.25), 0, 0.7);
        } else {
            assert_true(best.log >= isotropic.log && best.log - isotropic.log < 4.6);
        }
        scene_free(&s);
    }
}

/* Systematic draws: weights in 24ths, sum 1, and about the mean of the whole grid. */
static void test_draws(void **state) {
    (void)state;
    foci_variogram truth = truth_of(1, 0);
    scene s = scene_make(&truth, NULL, 60, NAN, 17, true);
    size_t count = foci_likelihood_grid_count(&s.grid), distinct = 0;
    double *weights = calloc(count, sizeof *weights), sum = 0, drawn = 0, whole = 0;
    foci_likelihood_draw draws[24];
    foci_error err = {0};
    assert_done(foci_likelihood_grid_weigh(weights, &s.grid, s.values, &err), err);
    assert_done(foci_likelihood_grid_draw(draws, &distinct, 24, &s.grid, weights, &err), err);
    assert_true(distinct > 8 && distinct <= 24);
    for (size_t k = 0; k < distinct; k++) {
        sum += draws[k].weight;
        assert_near(24 * draws[k].weight, round(24 * draws[k].weight), 1e-12);
        drawn += draws[k].weight * foci_likelihood_share[foci_likelihood_grid_index(&s.grid, draws[k].point).share];
    }
    for (size_t i = 0; i < count; i++)
        whole += weights[i] * foci_likelihood_share[foci_likelihood_grid_index(&s.grid, i).share];
    assert_near(sum, 1, 1e-12);
    assert_near(drawn, whole, 0.02);
    for (size_t i = 0; i < count; i++)
        s.values[i].log = -INFINITY;
    assert_fails(foci_likelihood_grid_weigh(weights, &s.grid, s.values, &err), err, FOCI_NO_FIT, "no covariance");
    free(weights);
    scene_free(&s);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    foci_likelihood likelihood = {0};
    foci_likelihood_grid grid =
        foci_likelihood_grid_make(seven.places, SEVEN, foci_correlation_find("exponential"), 0, 0, 0);
    foci_likelihood_value *values = NULL;
    foci_likelihood_fit best = {0}, other = {0};
    foci_likelihood_draw draws[4];
    size_t distinct = 0, count = foci_likelihood_grid_count(&grid);
    double *weights = calloc(count, sizeof *weights);
    values = calloc(count, sizeof *values);
    bool ok = foci_likelihood_make(&likelihood, seven.places, seven.values, SEVEN, 1, 0, true, err) &&
              foci_likelihood_grid_run(values, &grid, &likelihood, HOW, err) &&
              foci_likelihood_best(&best, &grid, values, &likelihood, HOW, err) &&
              foci_likelihood_best_heading(&other, &grid, &best, &likelihood, HOW, err) &&
              foci_likelihood_grid_weigh(weights, &grid, values, err) &&
              foci_likelihood_grid_draw(draws, &distinct, 4, &grid, weights, err);
    free(values);
    free(weights);
    foci_likelihood_free(&likelihood);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_grid),
        cmocka_unit_test(test_prior_of_range),
        cmocka_unit_test(test_slope_at_the_best),
        cmocka_unit_test(test_parameters_come_back),
        cmocka_unit_test(test_headings),
        cmocka_unit_test(test_draws),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

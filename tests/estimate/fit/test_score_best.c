#include "support/likelihood_at.h"

#include "estimate/fit/score_best.h"

/* What one fit needs; the grid's values are kept. */
typedef struct {
    foci_readings stops;
    foci_observations observed;
    foci_likelihood likelihood;
    foci_score_grid grid;
    foci_likelihood_value *values;
    bool restricted;
} scene;

static foci_score_search search_of(const scene *s) {
    return (foci_score_search){&s->grid, &s->likelihood, s->values, 0};
}

static void scene_make(scene *s, const foci_variogram *truth, const foci_correlation *kind, size_t count,
                       double heading, uint64_t seed, bool restricted) {
    *s = (scene){.stops = support_simulated(truth, 12.5, 500, count, &seed), .restricted = restricted};
    foci_error err = {0};
    foci_linear_single_thread();
    s->grid = foci_score_grid_make(s->stops.places, count, kind, 0, heading, 0);
    s->observed = support_observed(&s->stops, 0, s->grid.heading);
    s->values = calloc(foci_levels_points(&s->grid.levels), sizeof *s->values);
    assert_done(foci_likelihood_make(&s->likelihood, &s->observed, s->observed.readings, 1, restricted, &err), err);
    assert_done(foci_score_grid_run(s->values, &s->grid, &s->likelihood, HOW, &err), err);
}

static void scene_free(scene *s) {
    support_readings_free(&s->stops);
    foci_observations_free(&s->observed);
    free(s->values);
}

static double value_at(const scene *s, foci_variogram model) {
    return support_likelihood_at(&s->stops, &model, 0, s->restricted).log;
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
    scene s;
    scene_make(&s, &truth, NULL, 50, 30, 311, true);
    size_t count = foci_levels_points(&s.grid.levels);
    assert_int_equal(s.grid.levels.count[FOCI_AXIS_FAMILY], 3);
    assert_int_equal(count, 3 * 5 * s.grid.levels.count[FOCI_AXIS_RANGE] * 12);
    double prior = 0;
    foci_score_best best = {0};
    foci_error err = {0};
    const foci_score_search search = search_of(&s);
    assert_done(foci_score_best_find(&best, &search, HOW, &err), err);
    const foci_variogram found = foci_score_best_variogram(&best, s.restricted);
    for (size_t i = 0; i < count; i++) {
        prior += exp(foci_levels_log_prior(&s.grid.levels, foci_levels_index(&s.grid.levels, i)));
        assert_true(!(s.values[i].log > best.log));
        const foci_covariance_shape shape = foci_score_grid_shape(&s.grid, i);
        const foci_variogram point = foci_covariance_shape_variogram(&shape, 1);
        if (i % 97 == 0)
            assert_near(value_at(&s, point), s.values[i].log, 1e-9);
    }
    assert_near(prior, 1, 1e-12);
    assert_near(value_at(&s, found), best.log, 1e-9);
    assert_string_equal(found.fit, "restricted-likelihood");
    scene_free(&s);
}

/* In units of the spacing d: P(R < 40/53 d) = 5 % for the density R^-2 exp(-rate / R), whose distribution function is
 * exp(-rate / R); levels from 25/53 d up by 1.6 until the largest distance is passed. */
static void test_prior_of_range(void **state) {
    (void)state;
    foci_point places[] = {{0, 0}, {1000, 0}, {0, 600}};
    foci_score_grid grid = foci_score_grid_make(places, 3, NULL, 0, NAN, 53);
    const double *range = grid.levels.level[FOCI_AXIS_RANGE], *prior = grid.levels.prior[FOCI_AXIS_RANGE];
    const size_t ranges = grid.levels.count[FOCI_AXIS_RANGE];
    assert_near(range[0], 25, 1e-12);
    assert_near(range[3], 25 * 1.6 * 1.6 * 1.6, 1e-9);
    assert_true(range[ranges - 1] >= hypot(1000, 600) && range[ranges - 2] < hypot(1000, 600));
    double rate = -40 * log(0.05);
    assert_near(log(prior[1] / prior[0]), rate / 25 - rate / 40 - log(1.6), 1e-10);
    assert_int_equal(grid.levels.count[FOCI_AXIS_STRETCH], 1);
}

/* At an optimum inside the bounds the slope, by finite differences, is nothing; around it the value falls. */
static void test_slope_at_the_best(void **state) {
    (void)state;
    foci_variogram truth = truth_of(0.4, 30);
    truth.range = 160;
    for (int restricted = 0; restricted < 2; restricted++) {
        scene s;
        scene_make(&s, &truth, truth.kind, 90, 30, 11, restricted);
        foci_score_best best = {0};
        foci_error err = {0};
        const foci_score_search search = search_of(&s);
        assert_done(foci_score_best_find(&best, &search, HOW, &err), err);
        const foci_variogram found = foci_score_best_variogram(&best, s.restricted);
        double sill = found.nugget + found.partial_sill;
        double share = found.nugget / sill;
        assert_true(share > 0.01 && share < 0.99 && found.ratio > 0.11 && found.ratio < 0.99);
        for (int parameter = 0; parameter < 3; parameter++) {
            double sides[2];
            for (int side = 0; side < 2; side++) {
                double step = side ? 1e-3 : -1e-3;
                foci_variogram moved = found;
                moved.range *= parameter == 0 ? exp(step) : 1;
                moved.ratio *= parameter == 1 ? exp(step) : 1;
                moved.nugget = parameter == 2 ? share + step : share;
                moved.partial_sill = 1 - moved.nugget;
                sides[side] = value_at(&s, moved);
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
    scene s;
    scene_make(&s, &truth, truth.kind, 250, 30, 5, true);
    foci_score_best best = {0};
    foci_error err = {0};
    const foci_score_search search = search_of(&s);
    assert_done(foci_score_best_find(&best, &search, HOW, &err), err);
    const foci_variogram found = foci_score_best_variogram(&best, s.restricted);
    assert_ptr_equal(found.kind, truth.kind);
    assert_near(log(found.range / 70), 0, 0.5);
    assert_near(log(found.ratio / 0.4), 0, 0.5);
    assert_near(found.nugget, 0.9, 0.6);
    assert_near(found.nugget + found.partial_sill, 5, 1.5);
    scene_free(&s);
}

/* A field stretched along 120 degrees shows it, and where there is none little is gained. */
static void test_headings(void **state) {
    (void)state;
    for (int stretched = 0; stretched < 2; stretched++) {
        foci_variogram truth = truth_of(stretched ? 0.25 : 1, 120);
        truth.range = stretched ? 220 : 70; /* the shorter one is about the spacing */
        scene s;
        scene_make(&s, &truth, NULL, 120, NAN, 4242, true);
        foci_score_best isotropic = {0}, best = {0}, again = {0};
        foci_error err = {0};
        const foci_score_search search = search_of(&s);
        assert_done(foci_score_best_find(&isotropic, &search, HOW, &err), err);
        assert_done(foci_score_best_heading(&best, &search, &isotropic, HOW, &err), err);
        const foci_variogram found = foci_score_best_variogram(&best, true);
        support_threads = 2;
        assert_done(foci_score_best_heading(&again, &search, &isotropic, HOW, &err), err);
        support_threads = 1;
        assert_near(again.log, best.log, 0);
        assert_near(isotropic.shape.ratio, 1, 0);
        assert_near(value_at(&s, found), best.log, 1e-9);
        if (stretched) {
            assert_true(best.log - isotropic.log > 6);
            assert_near(found.heading, 120, 15);
            assert_near(log(found.ratio / 0.25), 0, 0.7);
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
    scene s;
    scene_make(&s, &truth, NULL, 60, NAN, 17, true);
    size_t count = foci_levels_points(&s.grid.levels), distinct = 0;
    double *weights = calloc(count, sizeof *weights), sum = 0, drawn = 0, whole = 0;
    foci_drawn draws[24];
    foci_error err = {0};
    assert_done(foci_score_grid_weigh(weights, &s.grid, s.values, &err), err);
    assert_done(foci_levels_draw(draws, &distinct, &s.grid.levels, weights, 24, &err), err);
    assert_true(distinct > 8 && distinct <= 24);
    for (size_t k = 0; k < distinct; k++) {
        sum += draws[k].weight;
        assert_near(24 * draws[k].weight, round(24 * draws[k].weight), 1e-12);
        drawn += draws[k].weight * foci_score_grid_shape(&s.grid, draws[k].point).share;
    }
    for (size_t i = 0; i < count; i++)
        whole += weights[i] * foci_score_grid_shape(&s.grid, i).share;
    assert_near(sum, 1, 1e-12);
    assert_near(drawn, whole, 0.02);
    for (size_t i = 0; i < count; i++)
        s.values[i].log = -INFINITY;
    assert_fails(foci_score_grid_weigh(weights, &s.grid, s.values, &err), err, FOCI_NO_FIT, "no covariance");
    free(weights);
    scene_free(&s);
}

static bool attempt(foci_error *err) {
    foci_readings seven = support_seven();
    const foci_season_readings season = {seven.places, seven.values, NULL, SEVEN};
    const foci_columns drift = foci_columns_drift(0, 1);
    foci_observations observed = {0};
    foci_likelihood likelihood = {0};
    foci_score_grid grid = foci_score_grid_make(seven.places, SEVEN, foci_correlation_find("exponential"), 0, 0, 0);
    foci_likelihood_value *values = NULL;
    foci_score_best best = {0}, other = {0};
    foci_drawn draws[4];
    size_t distinct = 0, count = foci_levels_points(&grid.levels);
    double *weights = calloc(count, sizeof *weights);
    values = calloc(count, sizeof *values);
    const foci_score_search search = {&grid, &likelihood, values, 0};
    bool ok = foci_observations_make(&observed, foci_response_normal, &season, 1, &drift, 0, err) &&
              foci_likelihood_make(&likelihood, &observed, observed.readings, 1, true, err) &&
              foci_score_grid_run(values, &grid, &likelihood, HOW, err) &&
              foci_score_best_find(&best, &search, HOW, err) &&
              foci_score_best_heading(&other, &search, &best, HOW, err) &&
              foci_score_grid_weigh(weights, &grid, values, err) &&
              foci_levels_draw(draws, &distinct, &grid.levels, weights, 4, err);
    free(values);
    free(weights);
    foci_observations_free(&observed);
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

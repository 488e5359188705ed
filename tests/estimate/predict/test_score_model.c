#include "support/kriging_twin.h"
#include "support/likelihood_at.h"
#include "support/score_answers.h"

#include "base/probability.h"

enum { ASKED = 40 };

/* All stops but one, for kriging and likelihood anew. */
static foci_readings without(const foci_readings *stops, size_t i) {
    foci_readings others = support_random_readings(stops->count, 1);
    memcpy(others.places, stops->places, stops->count * sizeof *stops->places);
    memcpy(others.values, stops->values, stops->count * sizeof *stops->values);
    others.count--;
    others.places[i] = others.places[others.count];
    others.values[i] = others.values[others.count];
    return others;
}

/* With a given variogram and nothing transformed it is ordinary kriging, whole, near and left out. */
static void test_given_is_kriging(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(31, 2385), asked = support_random_readings(ASKED, 11);
    foci_variogram variogram = given("spherical", 3.7, 41, 230);
    asked.places[3] = stops.places[17];
    for (size_t neighbours = 0; neighbours <= 9; neighbours += 9) {
        foci_surface_options options = options_of();
        options.variogram = &variogram;
        options.neighbours = neighbours;
        foci_score_model model = fitted(&stops, &options);
        answers a;
        double estimate = 0, variance = 0;
        ask(&a, &model, asked.places, ASKED, 22.5);
        for (size_t i = 0; i < ASKED; i++) {
            twin_krige(&estimate, &variance, &stops, &variogram, asked.places[i], neighbours);
            assert_near(a.estimate[i], estimate, 1e-8);
            assert_near(a.variance[i], variance, 1e-8);
            assert_near(a.low[i], a.estimate[i] - FOCI_NORMAL_95 * sqrt(a.variance[i]), 1e-10);
            assert_near(a.chance[i], foci_exceedance(a.estimate[i], a.variance[i], 22.5), 1e-12);
        }
        assert_near(a.estimate[3], stops.values[17], 0);
        assert_near(a.variance[3], 0, 0);
        leave(&a, &model, NAN);
        for (size_t i = 0; i < stops.count; i++) {
            foci_readings others = without(&stops, i);
            twin_krige(&estimate, &variance, &others, &variogram, stops.places[i], neighbours);
            double apart = stops.values[i] - estimate;
            assert_near(a.estimate[i], estimate, 1e-8);
            assert_near(a.variance[i], variance, 1e-8);
            assert_near(a.log_score[i], -0.5 * (log(6.283185307179586 * variance) + apart * apart / variance), 1e-8);
            support_readings_free(&others);
        }
        foci_score_model_free(&model);
        foci_score_model_free(&model);
    }
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* testdata/reference/uk_log_zinc.csv, drift x + y, all nodes. */
static void test_meuse_with_trend(void **state) {
    (void)state;
    foci_readings meuse = support_meuse(true);
    reference_table used = reference_read("models_used.csv"), table = reference_read("uk_log_zinc.csv");
    foci_variogram variogram = {.kind = foci_correlation_find("spherical"),
                                .nugget = reference_column(&used, "nugget")[4],
                                .partial_sill = reference_column(&used, "psill")[4],
                                .range = reference_column(&used, "range")[4],
                                .ratio = 1};
    foci_surface_options options = options_of();
    options.variogram = &variogram;
    options.trend = 1;
    foci_score_model model = fitted(&meuse, &options);
    assert_near(variogram.range, 1099, 0);
    assert_int_equal(table.rows, 3103);
    foci_point *places = calloc(table.rows + 1, sizeof *places);
    double *estimate = calloc(table.rows + 1, sizeof *estimate), *variance = calloc(table.rows + 1, sizeof *variance);
    for (size_t i = 0; i < table.rows; i++)
        places[i] = (foci_point){reference_column(&table, "x")[i], reference_column(&table, "y")[i]};
    foci_score_layers out = {.estimate = estimate, .variance = variance};
    foci_error err = {0};
    assert_done(foci_score_model_at(&out, &model, places, table.rows, NAN, HOW, &err), err);
    for (size_t i = 0; i < table.rows; i++) {
        assert_near(estimate[i], reference_column(&table, "pred_trend_xy")[i], 1e-8);
        assert_near(variance[i], reference_column(&table, "var_trend_xy")[i], 1e-8);
    }
    free(places);
    free(estimate);
    free(variance);
    foci_score_model_free(&model);
    reference_free(&used);
    reference_free(&table);
    support_readings_free(&meuse);
}

/* [gamma F; F' 0] [weights; multipliers] = [gamma_0; f_0], without stop `leave`. */
static void twin_with_trend(double *estimate, double *variance, const foci_readings *stops, const foci_variogram *model,
                            int order, foci_point place, size_t leave) {
    static double a[TWIN + 1][TWIN + 1];
    double b[TWIN + 1], right[TWIN + 1], values[TWIN];
    size_t p = foci_columns_drift(order, 1).count, n = 0, chosen[TWIN];
    for (size_t i = 0; i < stops->count; i++)
        if (i != leave)
            chosen[n++] = i;
    memset(a, 0, sizeof a);
    for (size_t i = 0; i <= n; i++) {
        foci_point at = i < n ? stops->places[chosen[i]] : place;
        double x = at.x / 300 - 1, y = at.y / 300;
        const double functions[] = {1, x, y, x * x, x * y, y * y};
        for (size_t k = 0; k < p && i < n; k++)
            a[i][n + k] = a[n + k][i] = functions[k];
        for (size_t k = 0; k < p && i == n; k++)
            b[n + k] = right[n + k] = functions[k];
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < n; k++)
            a[i][k] = foci_variogram_at(model, stops->places[chosen[i]], stops->places[chosen[k]]);
        b[i] = right[i] = foci_variogram_at(model, stops->places[chosen[i]], place);
        values[i] = stops->values[chosen[i]];
    }
    twin_solve(a, b, n + p);
    *estimate = *variance = 0;
    for (size_t i = 0; i < n + p; i++)
        *variance += b[i] * right[i];
    for (size_t i = 0; i < n; i++)
        *estimate += b[i] * values[i];
}

/* Each order against the bordered system, off the stops and each left out. */
static void test_trend_against_twin(void **state) {
    (void)state;
    foci_readings stops = support_random_readings(29, 777), asked = support_random_readings(6, 15);
    foci_variogram variogram = given("exponential", 2.5, 30, 140);
    for (int order = 0; order <= 2; order++) {
        foci_surface_options options = options_of();
        options.variogram = &variogram;
        options.trend = order;
        foci_score_model model = fitted(&stops, &options);
        answers a;
        ask(&a, &model, asked.places, asked.count, NAN);
        double estimate = 0, variance = 0;
        for (size_t i = 0; i < asked.count; i++) {
            twin_with_trend(&estimate, &variance, &stops, &variogram, order, asked.places[i], stops.count);
            assert_near(a.estimate[i], estimate, 1e-8);
            assert_near(a.variance[i], variance, 1e-8);
        }
        leave(&a, &model, NAN);
        for (size_t i = 0; i < stops.count; i++) {
            twin_with_trend(&estimate, &variance, &stops, &variogram, order, stops.places[i], i);
            assert_near(a.estimate[i], estimate, 1e-8);
            assert_near(a.variance[i], variance, 1e-7);
        }
        foci_score_model_free(&model);
    }
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* One component without stop i: its sill from the likelihood of the others. */
static void leave_component(double *mean, double *deviation, const foci_readings *stops, size_t i,
                            const foci_variogram *variogram) {
    foci_readings others = without(stops, i);
    const double sill = variogram->nugget + variogram->partial_sill;
    const foci_likelihood_value value = support_likelihood_at(&others, variogram, 0, true);
    double variance = 0;
    foci_variogram anew = *variogram;
    anew.nugget *= value.sill / sill;
    anew.partial_sill *= value.sill / sill;
    twin_krige(mean, &variance, &others, &anew, stops->places[i], 0);
    double freedom = (double)others.count - 1;
    *deviation = sqrt(variance * freedom / (freedom - 2));
    support_readings_free(&others);
}

/* The closed form against kriging from the others, sill and weights taken anew. */
static void test_left_out_anew(void **state) {
    (void)state;
    uint64_t seed = 3;
    foci_variogram truth = given("exponential", 0.8, 3, 90);
    foci_readings stops = support_simulated(&truth, 20, 400, 26, &seed);
    foci_surface_options options = options_of();
    foci_score_model model = fitted(&stops, &options);
    answers a;
    leave(&a, &model, NAN);
    assert_true(model.count > 3);
    for (size_t i = 0; i < stops.count; i++) {
        double mean[32], deviation[32], weight[32], sum = 0, estimate = 0, square = 0, density = 0;
        for (size_t k = 0; k < model.count; k++) {
            leave_component(&mean[k], &deviation[k], &stops, i, &model.components[k].variogram);
            double z = (stops.values[i] - mean[k]) / deviation[k];
            weight[k] = model.components[k].weight / (exp(-0.5 * z * z) / deviation[k]);
            sum += weight[k];
        }
        for (size_t k = 0; k < model.count; k++) {
            double z = (stops.values[i] - mean[k]) / deviation[k];
            weight[k] /= sum;
            estimate += weight[k] * mean[k];
            square += weight[k] * (deviation[k] * deviation[k] + mean[k] * mean[k]);
            density += weight[k] * exp(-0.5 * z * z) / (deviation[k] * 2.5066282746310002);
        }
        assert_near(a.estimate[i], estimate, 1e-7);
        assert_near(a.variance[i], square - estimate * estimate, 1e-6);
        assert_near(a.log_score[i], log(density), 1e-7);
    }
    foci_score_model_free(&model);
    support_readings_free(&stops);
}

/* The mixture is that of its components, each kriged alone. */
static void test_mixture_of_components(void **state) {
    (void)state;
    uint64_t seed = 41;
    foci_variogram truth = given("matern", 0.8, 3, 60);
    foci_readings stops = support_simulated(&truth, 20, 400, 40, &seed), asked = support_random_readings(9, 5);
    foci_surface_options options = options_of();
    options.row_heading = 20;
    foci_score_model model = fitted(&stops, &options);
    answers a;
    ask(&a, &model, asked.places, asked.count, 21);
    for (size_t i = 0; i < asked.count; i++) {
        double estimate = 0, square = 0, chance = 0, below = 0, weights = 0;
        for (size_t k = 0; k < model.count; k++) {
            const foci_score_component *component = &model.components[k];
            double mean = 0, variance = 0;
            twin_krige(&mean, &variance, &stops, &component->variogram, asked.places[i], 0);
            variance *= 39.0 / 37;
            weights += component->weight;
            estimate += component->weight * mean;
            square += component->weight * (variance + mean * mean);
            chance += component->weight * foci_normal_cdf((mean - 21) / sqrt(variance));
            below += component->weight * foci_normal_cdf((a.low[i] - mean) / sqrt(variance));
        }
        assert_near(weights, 1, 1e-12);
        assert_near(a.estimate[i], estimate, 1e-9);
        assert_near(a.variance[i], square - estimate * estimate, 1e-8);
        assert_near(a.chance[i], chance, 1e-9);
        assert_near(below, 0.05, 1e-8);
    }
    foci_score_model_free(&model);
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* Not a digit depends on the number of threads. */
static void test_threads(void **state) {
    (void)state;
    uint64_t seed = 8;
    foci_variogram truth = given("exponential", 0.8, 3, 90);
    foci_readings stops = support_simulated(&truth, 20, 400, 50, &seed), asked = support_random_readings(900, 5);
    double layers[2][5][900];
    for (int threads = 1; threads <= 2; threads++) {
        foci_surface_options options = options_of();
        double(*to)[900] = layers[threads - 1];
        foci_score_layers out = {to[0], to[1], to[2], to[3], to[4], NULL};
        support_threads = threads;
        options.scale = FOCI_SCALE_AUTO;
        options.row_heading = 20;
        foci_score_model model = fitted(&stops, &options);
        foci_error err = {0};
        assert_done(foci_score_model_at(&out, &model, asked.places, 900, 21, HOW, &err), err);
        foci_score_model_free(&model);
    }
    support_threads = 1;
    assert_memory_equal(layers[0], layers[1], sizeof layers[0]);
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* Percent, skewed: the scale is found, everything stays within 0 and 100, chance and bounds agree. */
static void test_percent(void **state) {
    (void)state;
    uint64_t seed = 2024;
    foci_variogram truth = {
        .kind = foci_correlation_find("exponential"), .nugget = 0.3, .partial_sill = 1.2, .range = 80, .ratio = 1};
    foci_readings stops = support_simulated(&truth, 1.5, 500, 90, &seed), asked = support_random_readings(200, 5);
    for (size_t i = 0; i < stops.count; i++)
        stops.values[i] = fmin(exp(stops.values[i]), 100);
    stops.values[4] = stops.values[9] = 0;
    foci_surface_options options = options_of();
    options.scale = FOCI_SCALE_AUTO;
    options.least = 0;
    options.most = 100;
    foci_score_model model = fitted(&stops, &options);
    answers a;
    assert_true(model.scale.transformed);
    assert_near(model.scale.lambda, 0, 0.3);
    assert_true(model.scale.shift > 0);
    ask(&a, &model, asked.places, 200, 12);
    for (size_t i = 0; i < 200; i++) {
        assert_true(a.low[i] >= 0 && a.high[i] <= 100 && a.low[i] < a.high[i]);
        assert_true(a.estimate[i] > a.low[i] && a.estimate[i] < 100 && a.variance[i] > 0);
        assert_true((a.high[i] >= 12) == (a.chance[i] >= 0.05));
        assert_true((a.low[i] >= 12) == (a.chance[i] >= 0.95));
    }
    foci_score_model_free(&model);
    support_readings_free(&stops);
    support_readings_free(&asked);
}

/* Along a heading the ratio is fitted; without one a better heading is told and not used. */
static void test_directions(void **state) {
    (void)state;
    uint64_t seed = 4242;
    foci_variogram truth = {.kind = foci_correlation_find("exponential"),
                            .nugget = 0.5,
                            .partial_sill = 4,
                            .range = 220,
                            .heading = 120,
                            .ratio = 0.2};
    foci_readings stops = support_simulated(&truth, 20, 500, 120, &seed);
    foci_surface_options options = options_of();
    foci_score_model blind = fitted_with(&stops, &options, true);
    assert_near(blind.facts.ratio.low, 1, 0);
    assert_near(blind.facts.variogram.ratio, 1, 0);
    assert_true(blind.facts.suggested_gain > 4 && blind.facts.suggested_p < 0.05);
    assert_near(blind.facts.suggested_heading, 120, 15);
    options.row_heading = 120;
    foci_score_model along = fitted_with(&stops, &options, true);
    assert_true(isnan(along.facts.suggested_gain));
    assert_true(along.facts.variogram.ratio < 0.6 && along.facts.ratio.median < 0.7);
    assert_true(along.facts.log_likelihood - blind.facts.log_likelihood > 3);
    foci_score_model_free(&blind);
    foci_score_model_free(&along);
    support_readings_free(&stops);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_given_is_kriging),
        cmocka_unit_test(test_meuse_with_trend),
        cmocka_unit_test(test_trend_against_twin),
        cmocka_unit_test(test_left_out_anew),
        cmocka_unit_test(test_mixture_of_components),
        cmocka_unit_test(test_threads),
        cmocka_unit_test(test_percent),
        cmocka_unit_test(test_directions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

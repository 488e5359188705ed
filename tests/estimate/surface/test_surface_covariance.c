/* What a surface says of several places together, against one place at a time, plain twins, and one stop more. */
#include "estimate/predict/counts_model.h"
#include "estimate/predict/score_model.h"
#include "estimate/space/pools.h"

#include "base/random.h"
#include "support/support.h"

enum { STOPS = 40, PLACES = 7, MANY = 1300 };

static const foci_point asked[PLACES] = {{512031, 4205017}, {512044, 4205025}, {512120, 4205090}, {512197, 4205133},
                                         {512260, 4205020}, {512090, 4205150}, {512091, 4205151}};

/* Invented stops in a field of 300 x 160 m, or twice as long and wide where they are many. */
typedef struct {
    foci_point places[MANY];
    double values[MANY], hits[MANY], checked[MANY];
} survey;

static void invent(survey *s, size_t count, uint64_t seed) {
    foci_random draws = foci_random_stream(seed, count);
    double size = count == MANY ? 2 : 1;
    for (size_t i = 0; i < count; i++) {
        s->places[i].x = 512000 + size * 300 * foci_random_share(&draws);
        s->places[i].y = 4205000 + size * 160 * foci_random_share(&draws);
        double height = sin(s->places[i].x / 40) * cos(s->places[i].y / 31);
        s->values[i] = 5.385 + 3 * height + 1.5 * (foci_random_share(&draws) - 0.5);
        s->checked[i] = 15 + (double)(i % 6);
        s->hits[i] = floor(s->checked[i] / (1 + exp(1.5 - 2 * height)) + foci_random_share(&draws) - 0.5);
        s->hits[i] = fmin(fmax(s->hits[i], 0), s->checked[i]);
    }
}

/* ---- counts ---- */

static foci_counts_model counts_model(const survey *s, size_t count) {
    const foci_counts_options options = {
        .row_heading = 25, .spacing = 35, .plain = true, .stop_variation = FOCI_STOP_VARIATION_ON};
    foci_error err = {0};
    foci_counts_model model = {0};
    assert_done(foci_counts_fit(&model, s->places, s->hits, s->checked, count, &options, HOW, &err), err);
    return model;
}

static size_t likeliest(const foci_counts_model *model) {
    size_t best = 0;
    for (size_t d = 0; d < model->draw_count; d++)
        best = model->draws[d].weight > model->draws[best].weight ? d : best;
    return best;
}

static double prior(const foci_counts_model *model, const foci_parameters *point, foci_point a, foci_point b) {
    double ua = 0, va = 0, ub = 0, vb = 0, correlation = 0;
    foci_frame_turn(&model->stops.frame, &a, 1, &ua, &va);
    foci_frame_turn(&model->stops.frame, &b, 1, &ub, &vb);
    double distance = hypot(ua - ub, point->stretch * (va - vb));
    foci_covariance_correlate(&correlation, &distance, 1, point);
    return point->sigma[0] * point->sigma[0] * correlation + FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD;
}

/* Gauss's elimination; A is n x n and lost. */
static void solve(double *a, double *b, size_t n) {
    for (size_t c = 0; c < n; c++)
        for (size_t r = c + 1; r < n; r++) {
            double factor = a[r * n + c] / a[c * n + c];
            for (size_t k = c; k < n; k++)
                a[r * n + k] -= factor * a[c * n + k];
            b[r] -= factor * b[c];
        }
    for (size_t c = n; c-- > 0;) {
        for (size_t k = c + 1; k < n; k++)
            b[c] -= a[c * n + k] * b[k];
        b[c] /= a[c * n + c];
    }
}

/* Newton's method by weighted readings z = f + (y - n p) / W until it stands; then C = k** - k' (K + W^-1)^-1 k. */
static void plain_counts(double covariance[PLACES * PLACES], const foci_counts_model *model, const survey *s) {
    const foci_parameters *point = &model->draws[likeliest(model)].point;
    double f[STOPS] = {0}, weight[STOPS], a[STOPS * STOPS], b[STOPS], k[STOPS * STOPS];
    for (size_t i = 0; i < STOPS * STOPS; i++)
        k[i] = prior(model, point, s->places[i / STOPS], s->places[i % STOPS]) +
               (i / STOPS == i % STOPS ? point->tau * point->tau : 0);
    for (int step = 0; step < 60; step++) {
        for (size_t i = 0; i < STOPS; i++) {
            double p = 1 / (1 + exp(-FOCI_COUNTS_CENTRE - f[i]));
            weight[i] = s->checked[i] * p * (1 - p);
            b[i] = f[i] + (s->hits[i] - s->checked[i] * p) / weight[i];
        }
        for (size_t i = 0; i < STOPS * STOPS; i++)
            a[i] = k[i] + (i / STOPS == i % STOPS ? 1 / weight[i / STOPS] : 0);
        solve(a, b, STOPS);
        for (size_t i = 0; i < STOPS; i++) {
            double next = 0;
            for (size_t j = 0; j < STOPS; j++)
                next += k[i * STOPS + j] * b[j];
            f[i] += 0.5 * (next - f[i]); /* half steps cannot overshoot far */
        }
    }
    for (size_t c = 0; c < PLACES; c++) {
        for (size_t i = 0; i < STOPS * STOPS; i++)
            a[i] = k[i] + (i / STOPS == i % STOPS ? 1 / weight[i / STOPS] : 0);
        for (size_t i = 0; i < STOPS; i++)
            b[i] = prior(model, point, s->places[i], asked[c]);
        solve(a, b, STOPS);
        for (size_t d = 0; d < PLACES; d++) {
            covariance[d + c * PLACES] = prior(model, point, asked[c], asked[d]);
            for (size_t i = 0; i < STOPS; i++)
                covariance[d + c * PLACES] -= prior(model, point, s->places[i], asked[d]) * b[i];
        }
    }
}

static void test_counts_together(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    invent(&s, STOPS, 4);
    foci_counts_model model = counts_model(&s, STOPS);
    double mean[PLACES], covariance[PLACES * PLACES], twin[PLACES * PLACES];
    assert_done(foci_counts_covariance(&model, mean, covariance, asked, PLACES, &err), err);
    plain_counts(twin, &model, &s);
    for (size_t i = 0; i < PLACES * PLACES; i++) {
        assert_near(covariance[i], twin[i], 1e-7);
        assert_near(covariance[i], covariance[i % PLACES * PLACES + i / PLACES], 1e-12);
    }
    assert_true(covariance[5 + 6 * PLACES] > 0.9 * covariance[5 + 5 * PLACES]);

    /* one place at a time, as the surface is worked */
    size_t best = likeliest(&model), draws = model.draw_count;
    double turned[3 * PLACES];
    double *means = foci_new_array(draws, PLACES * sizeof *means, &err);
    double *deviations = foci_new_array(draws, PLACES * sizeof *deviations, &err);
    assert_true(means && deviations);
    const foci_targets places = foci_targets_fill(turned, &model.stops, asked, PLACES, 0);
    assert_done(foci_counts_posterior_at(means, deviations, &model.posterior, &model.stops, model.draws, &places, &err),
                err);
    for (size_t j = 0; j < PLACES; j++) {
        double tau = model.draws[best].point.tau, deviation = deviations[best + j * draws];
        assert_near(mean[j], means[best + j * draws], 1e-9);
        assert_near(covariance[j + j * PLACES], deviation * deviation - tau * tau, 1e-9);
    }
    free(means);
    free(deviations);
    foci_counts_free(&model);
}

/* Without a joint posterior the stops are pooled: with fewer stops than pools next to nothing changes (two of forty
 * stops may share a square), and of 1,300 stops in a larger field little. */
static void test_counts_pooled(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    invent(&s, STOPS, 4);
    foci_counts_model model = counts_model(&s, STOPS), many = {.draw_count = 1};
    double mean[PLACES], covariance[PLACES * PLACES], pooled_mean[PLACES], pooled[PLACES * PLACES];
    assert_done(foci_counts_covariance(&model, mean, covariance, asked, PLACES, &err), err);
    many.draws[0] = model.draws[likeliest(&model)];
    foci_counts_posterior_free(&model.posterior);
    assert_done(foci_counts_covariance(&model, pooled_mean, pooled, asked, PLACES, &err), err);
    for (size_t i = 0; i < PLACES; i++)
        assert_near(pooled_mean[i], mean[i], 0.05 * sqrt(covariance[i + i * PLACES]));
    foci_counts_free(&model);

    invent(&s, MANY, 5);
    const foci_season_readings season = {s.places, s.hits, s.checked, MANY};
    const foci_columns columns = foci_counts_columns(1);
    assert_done(foci_observations_make(&many.stops, foci_response_binomial, &season, 1, &columns, 25, &err), err);
    assert_done(foci_counts_condition(&many, HOW, &err), err);
    assert_done(foci_counts_covariance(&many, mean, covariance, asked, PLACES, &err), err);
    foci_counts_posterior_free(&many.posterior);
    assert_done(foci_counts_covariance(&many, pooled_mean, pooled, asked, PLACES, &err), err);
    for (size_t i = 0; i < PLACES; i++) {
        double deviation = sqrt(covariance[i + i * PLACES]), pooled_deviation = sqrt(pooled[i + i * PLACES]);
        assert_near(pooled_mean[i], mean[i], 0.5 * deviation);
        assert_near(pooled_deviation / deviation, 1, 0.2);
    }
    foci_counts_free(&many);
}

/* ---- scores ---- */

static foci_variogram given(void) {
    foci_variogram model = {.nugget = 0.31, .partial_sill = 4.7, .range = 52, .heading = 30, .ratio = 0.6};
    model.kind = foci_correlation_find("exponential");
    return model;
}

static foci_score_model score_model(const survey *s, size_t count, int trend, size_t neighbours, foci_readings *r) {
    static foci_variogram variogram;
    variogram = given();
    const foci_surface_options options = {.variogram = &variogram,
                                          .trend = trend,
                                          .row_heading = NAN,
                                          .least = -INFINITY,
                                          .most = INFINITY,
                                          .neighbours = neighbours};
    foci_error err = {0};
    foci_score_model model = {0};
    *r = (foci_readings){.count = count, .places = (foci_point *)s->places, .values = (double *)s->values};
    assert_done(foci_score_model_fit(&model, r, NULL, &options, false, HOW, &err), err);
    return model;
}

/* One place at a time the variance is that of a new reading: with the nugget. And a stop more at place x, whose reading
 * does not matter to variances, takes C(c, x)^2 / (C(x, x) + nugget) from that of c, under every trend. */
static void test_scores_together(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    invent(&s, STOPS, 9);
    for (int trend = 0; trend <= 2; trend++) {
        foci_readings readings;
        foci_score_model model = score_model(&s, STOPS, trend, 0, &readings);
        double mean[PLACES], covariance[PLACES * PLACES], estimate[PLACES], variance[PLACES], after[PLACES];
        const foci_score_layers one_by_one = {.estimate = estimate, .variance = variance},
                                one_more = {.variance = after};
        assert_done(foci_score_covariance(&model, mean, covariance, asked, PLACES, &err), err);
        assert_done(foci_score_model_at(&one_by_one, &model, asked, PLACES, NAN, HOW, &err), err);
        foci_score_model_free(&model);
        for (size_t j = 0; j < PLACES; j++) {
            assert_near(mean[j], estimate[j], 1e-9);
            assert_near(covariance[j + j * PLACES] + 0.31, variance[j], 1e-9);
        }
        for (size_t x = 0; x < PLACES; x++) {
            s.places[STOPS] = asked[x];
            s.values[STOPS] = 17;
            model = score_model(&s, STOPS + 1, trend, 0, &readings);
            assert_done(foci_score_model_at(&one_more, &model, asked, PLACES, NAN, HOW, &err), err);
            for (size_t c = 0; c < PLACES; c++) {
                double shared = covariance[c + x * PLACES];
                double taken = shared * shared / (covariance[x + x * PLACES] + 0.31);
                if (c != x)
                    assert_near(variance[c] - after[c], taken, 1e-8);
            }
            foci_score_model_free(&model);
        }
    }
}

/* With neighbours there is no whole system: one is made, of all stops up to 1,000, of pools above. */
static void test_scores_pooled(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    static const struct {
        size_t stops;
        double mean, spread;
    } rows[] = {{STOPS, 1e-9, 1e-9}, {MANY, 0.5, 0.2}}; /* in deviations; relative */
    for (size_t k = 0; k < 2; k++) {
        foci_readings whole_readings, near_readings;
        double mean[PLACES], covariance[PLACES * PLACES], pooled_mean[PLACES], pooled[PLACES * PLACES];
        invent(&s, rows[k].stops, 9);
        foci_score_model whole = score_model(&s, rows[k].stops, 0, 0, &whole_readings);
        foci_score_model near_ones = score_model(&s, rows[k].stops, 0, 12, &near_readings);
        assert_done(foci_score_covariance(&whole, mean, covariance, asked, PLACES, &err), err);
        assert_done(foci_score_covariance(&near_ones, pooled_mean, pooled, asked, PLACES, &err), err);
        for (size_t i = 0; i < PLACES; i++) {
            double deviation = sqrt(covariance[i + i * PLACES]);
            assert_near(pooled_mean[i], mean[i], rows[k].mean * deviation);
            assert_near(sqrt(pooled[i + i * PLACES]) / deviation, 1, rows[k].spread);
        }
        foci_score_model_free(&whole);
        foci_score_model_free(&near_ones);
    }
}

/* ---- as rows of the catalogue ---- */

static void test_thresholds_on_the_scale(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    invent(&s, STOPS, 9);
    foci_readings readings = {
        .count = STOPS, .places = s.places, .values = s.values, .hits = s.hits, .checked = s.checked};
    static const struct {
        const char *method;
        double lambda, threshold, on_scale;
    } rows[] = {{"kriging", 1, 7.25, 6.25},    {"kriging", 0, 7.25, 1.9810014688665833}, /* log */
                {"kriging", 0, -1, -INFINITY}, {"counts", 1, 20, -1.3862943611198906},   /* log(0.2 / 0.8) */
                {"counts", 1, 0, -INFINITY},   {"counts", 1, 100, INFINITY}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        const foci_surface_options options = {.method = foci_surface_method_find(rows[k].method),
                                              .area = 48000,
                                              .row_heading = NAN,
                                              .most = 100,
                                              .scale = FOCI_SCALE_BOX_COX,
                                              .lambda = rows[k].lambda,
                                              .threshold = rows[k].threshold};
        foci_surface_model model = {0};
        double mean[PLACES], covariance[PLACES * PLACES], threshold = 0;
        assert_done(foci_surface_fit(&model, &readings, NULL, &options, HOW, &err), err);
        assert_done(foci_surface_covariance(&model, mean, covariance, &threshold, asked, PLACES, &err), err);
        if (isinf(rows[k].on_scale))
            assert_true(threshold == rows[k].on_scale);
        else
            assert_near(threshold, rows[k].on_scale, 1e-12);
        for (size_t j = 0; j < PLACES; j++)
            assert_true(covariance[j + j * PLACES] > 0);
        foci_surface_model_free(&model);
    }
    const foci_surface_model none = {.method = foci_surface_method_find("idw")}, unfitted = {0};
    double mean[PLACES], covariance[PLACES * PLACES], threshold = 0;
    assert_false(foci_surface_has_covariance(&none));
    assert_fails(foci_surface_covariance(&none, mean, covariance, &threshold, asked, PLACES, &err), err, FOCI_NO_FIT,
                 "knows no covariance");
    assert_fails(foci_surface_covariance(&unfitted, mean, covariance, &threshold, asked, PLACES, &err), err,
                 FOCI_TOO_EARLY, "foci_surface_fit first");
}

static void test_equal_readings(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_point places[] = {{0, 0}, {10, 0}, {0, 10}};
    double values[] = {3.5, 3.5, 3.5}, mean[PLACES], covariance[PLACES * PLACES];
    foci_readings readings = {.count = 3, .places = places, .values = values};
    foci_score_model model = {0};
    const foci_surface_options options = {.row_heading = NAN, .most = INFINITY};
    assert_done(foci_score_model_fit(&model, &readings, NULL, &options, false, HOW, &err), err);
    assert_done(foci_score_covariance(&model, mean, covariance, asked, PLACES, &err), err);
    for (size_t i = 0; i < PLACES * PLACES; i++)
        assert_near(covariance[i], 0, 0);
    assert_near(mean[2], 3.5, 0);
    foci_score_model_free(&model);
}

/* ---- pools ---- */

/* Stops of one pool lie within one square's diagonal of each other; no pool is empty. */
static void test_pools(void **unused) {
    (void)unused;
    foci_error err = {0};
    static survey s;
    size_t pool[MANY], pools = 0;
    invent(&s, MANY, 2);
    static const size_t most[] = {1, 3, 60, 400};
    for (size_t k = 0; k < 4; k++) {
        bool filled[MANY] = {false};
        assert_done(foci_pools_make(pool, &pools, s.places, MANY, most[k], &err), err);
        assert_true(pools <= most[k] && 2 * pools >= most[k]);
        double side = sqrt(600.0 * 320 / (double)most[k]) * 1.6, reach = k == 0 ? INFINITY : side * sqrt(2);
        for (size_t i = 0; i < MANY; i++) {
            assert_true(pool[i] < pools);
            filled[pool[i]] = true;
            for (size_t j = 0; j < i; j++)
                if (pool[i] == pool[j])
                    assert_true(hypot(s.places[i].x - s.places[j].x, s.places[i].y - s.places[j].y) <= reach);
        }
        for (size_t p = 0; p < pools; p++)
            assert_true(filled[p]);
    }
    for (size_t i = 0; i < MANY; i++)
        s.places[i] = (foci_point){512000, 4205000 + (double)(i % 5)};
    assert_done(foci_pools_make(pool, &pools, s.places, MANY, 4, &err), err);
    assert_true(pools > 1 && pools <= 4);
    assert_done(foci_pools_make(pool, &pools, s.places, 1, 4, &err), err);
    assert_int_equal(pools, 1);
}

/* ---- memory ---- */

static survey small;
static foci_counts_model counts;
static foci_score_model scores;

static bool attempt_counts(foci_error *err) {
    double mean[PLACES], covariance[PLACES * PLACES];
    return foci_counts_covariance(&counts, mean, covariance, asked, PLACES, err);
}

static bool attempt_scores(foci_error *err) {
    double mean[PLACES], covariance[PLACES * PLACES];
    return foci_score_covariance(&scores, mean, covariance, asked, PLACES, err);
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    foci_readings readings;
    invent(&small, STOPS, 4);
    counts = counts_model(&small, STOPS);
    support_fail_each_allocation(attempt_counts);
    foci_counts_posterior_free(&counts.posterior);
    support_fail_each_allocation(attempt_counts);
    foci_counts_free(&counts);
    scores = score_model(&small, STOPS, 1, 12, &readings);
    support_fail_each_allocation(attempt_scores);
    foci_score_model_free(&scores);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counts_together),
        cmocka_unit_test(test_counts_pooled),
        cmocka_unit_test(test_scores_together),
        cmocka_unit_test(test_scores_pooled),
        cmocka_unit_test(test_thresholds_on_the_scale),
        cmocka_unit_test(test_equal_readings),
        cmocka_unit_test(test_pools),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Every row of the catalogue of surface methods through the same door: fitted, asked at places, stops left out, freed.
 */
#include "support/surface_model.h"

#include "estimate/counts_cases.h"

enum { MOST = 12, PLACES = 3 };

/* What a row is asked: the twelve stops of counts_cases.h where it needs counts, else the seven samples. */
typedef struct {
    foci_readings readings;
    foci_surface_options options;
    foci_point places[PLACES];
    foci_point stops[MOST];
    double hits[MOST], checked[MOST], values[MOST];
} question;

static void ask_about_counts(question *q) {
    case_fill(q->stops, q->places);
    for (size_t i = 0; i < CASE_STOPS; i++) {
        q->hits[i] = case_hits[i];
        q->checked[i] = case_checked[i];
        q->values[i] = 100 * case_hits[i] / case_checked[i];
    }
    q->readings = support_readings(q->stops, q->values, CASE_STOPS);
    q->readings.hits = q->hits;
    q->readings.checked = q->checked;
    q->options.row_heading = 0;
    q->options.area = 53.0 * 53 * CASE_STOPS;
    q->options.stop_variation = FOCI_STOP_VARIATION_OFF;
    q->options.most = 100;
    q->options.threshold = 10;
}

/* C(h) = 10000 exp(-0.3 h): weights and estimates as with a sill of 10, variances a thousand times. */
static const foci_variogram *exponential(void) {
    static foci_variogram model = {.partial_sill = 10000, .range = 1 / 0.3, .ratio = 1};
    model.kind = foci_correlation_find("exponential");
    return &model;
}

/* Percent squared. */
static const foci_variogram *of_shares(void) {
    static foci_variogram model = {.partial_sill = 100, .range = 40, .ratio = 1};
    model.kind = foci_correlation_find("exponential");
    return &model;
}

static void ask_about_scores(question *q) {
    q->readings = support_seven();
    q->places[0] = seven_target;
    q->places[1] = (foci_point){70.5, 131};
    q->places[2] = q->readings.places[3];
    q->options.row_heading = NAN;
    q->options.area = 216;
    q->options.most = INFINITY;
    q->options.threshold = 600;
}

static void ask(question *q, const foci_surface_method *method) {
    *q = (question){.options = {.method = method, .power = 2}};
    if (method->needs_variogram)
        q->options.variogram = method->needs_counts ? of_shares() : exponential();
    if (method->needs_counts)
        ask_about_counts(q);
    else
        ask_about_scores(q);
}

static foci_surface_model fitted(const question *q) {
    foci_error err = {0};
    foci_surface_model model = {0};
    assert_done(foci_surface_fit(&model, &q->readings, NULL, &q->options, HOW, &err), err);
    assert_ptr_equal(model.method, q->options.method);
    return model;
}

typedef struct {
    double estimate[PLACES], variance[PLACES], low[PLACES], high[PLACES], chance[PLACES];
} told;

static told told_at(const foci_surface_model *model, const foci_point *places) {
    foci_error err = {0};
    told t;
    const foci_prediction out = {t.estimate, t.variance, t.low, t.high, t.chance};
    assert_done(foci_surface_at(model, places, PLACES, &out, HOW, &err), err);
    return t;
}

typedef struct {
    double estimate[MOST], variance[MOST], log_score[MOST];
    bool inside[MOST];
} left;

static left left_out_of(const foci_surface_model *model) {
    foci_error err = {0};
    left l = {0};
    const foci_leave_one_out out = {l.estimate, model->method->gives_variance ? l.variance : NULL,
                                    model->method->gives_variance ? l.log_score : NULL,
                                    model->method->gives_variance ? l.inside : NULL};
    assert_done(foci_surface_leave_one_out(model, &out, HOW, &err), err);
    return l;
}

typedef enum { ESTIMATE, VARIANCE, LOW, HIGH, CHANCE, LEFT_OUT } kind;

/* At the first place, or of the first stop left out.
 * counts: worked by a program in another language from all points of the grid (counts_cases.h), here in percent; the
 * row takes 256 draws of them. moments: the bordered equations solved by another program. kriging: Isaaks & Srivastava
 * 1989, chapter 12 (tests/estimate/surface/test_kriging.c); bounds and chance are those of the normal distribution.
 * indicator: the sum of the same weights over the five samples at or above 600, .317794 + .086397
 * + .151128 + .057235 + .085776. idw: the same samples (tests/estimate/surface/test_inverse_distance.c); left out,
 * worked out anew. */
static const struct {
    const char *method;
    kind what;
    double value, tolerance;
} known[] = {
    {"counts", ESTIMATE, 13.6784682, 0.06},    {"counts", LOW, 2.0093229, 0.06},
    {"counts", HIGH, 34.9026035, 0.2},         {"counts", CHANCE, 0.549086357, 0.003},
    {"moments", ESTIMATE, 14.116184692, 1e-8}, {"moments", VARIANCE, 70.777095214, 1e-8},
    {"kriging", ESTIMATE, 592.728943, 1e-6},   {"kriging", VARIANCE, 8956.053, 1e-3},
    {"kriging", LOW, 437.065876, 1e-5},        {"kriging", HIGH, 748.392010, 1e-5},
    {"kriging", CHANCE, 0.469378802, 1e-8},    {"kriging", LEFT_OUT, 653.402, 6e-4},
    {"indicator", CHANCE, 0.698330, 3e-6},     {"idw", ESTIMATE, 597.620376, 1e-6},
    {"idw", LEFT_OUT, 676.535450, 1e-6},
};

static double told_of(const told *t, const left *l, kind what) {
    const double *const where[] = {t->estimate, t->variance, t->low, t->high, t->chance, l->estimate};
    return where[what][0];
}

static void test_known_value_of_each_row(void **state) {
    (void)state;
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++) {
        question q;
        size_t compared = 0;
        ask(&q, method);
        foci_surface_model model = fitted(&q);
        told t = told_at(&model, q.places);
        left l = left_out_of(&model);
        for (size_t i = 0; i < sizeof known / sizeof *known; i++)
            if (strcmp(known[i].method, method->name) == 0) {
                assert_near(told_of(&t, &l, known[i].what), known[i].value, known[i].tolerance);
                compared++;
            }
        if (compared == 0)
            fail_msg("%s has no known value", method->name);
        foci_surface_model_free(&model);
    }
}

/* Bounds round the estimate, chances within 0 and 1; nothing where the row says that it gives none. */
static void assert_sensible(const foci_surface_method *method, const told *t) {
    for (size_t i = 0; i < PLACES; i++) {
        assert_true(isfinite(t->estimate[i]));
        if (!method->gives_variance) {
            assert_true(isnan(t->variance[i]) && isnan(t->low[i]) && isnan(t->high[i]) && isnan(t->chance[i]));
            continue;
        }
        assert_true(t->variance[i] >= 0);
        assert_true(t->low[i] <= t->estimate[i] && t->estimate[i] <= t->high[i]);
        assert_true(t->chance[i] >= 0 && t->chance[i] <= 1);
    }
}

/* What is not asked for changes nothing; no place is no question; a model is freed twice. */
static void test_each_row_answers_what_is_asked(void **state) {
    (void)state;
    foci_error err = {0};
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++) {
        question q;
        double estimate[PLACES], high[PLACES];
        const foci_prediction few = {.estimate = estimate, .high = high}, one = {.estimate = estimate};
        ask(&q, method);
        foci_surface_model model = fitted(&q);
        told t = told_at(&model, q.places);
        assert_sensible(method, &t);
        assert_done(foci_surface_at(&model, q.places, PLACES, &few, HOW, &err), err);
        assert_memory_equal(estimate, t.estimate, sizeof estimate);
        for (size_t i = 0; i < PLACES; i++)
            assert_near(high[i], t.high[i], 0);
        memset(estimate, 0, sizeof estimate);
        assert_done(foci_surface_at(&model, q.places, PLACES, &one, HOW, &err), err);
        assert_memory_equal(estimate, t.estimate, sizeof estimate);
        assert_done(foci_surface_at(&model, q.places, 0, &one, HOW, &err), err);
        assert_memory_equal(estimate, t.estimate, sizeof estimate);
        foci_surface_model_free(&model);
        foci_surface_model_free(&model);
        assert_null(model.state);
    }
}

static void test_threads_do_not_matter(void **state) {
    (void)state;
    enum { MANY = 700 };
    static foci_point many[MANY];
    static double one[2][MANY], more[2][MANY];
    foci_error err = {0};
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++) {
        question q;
        ask(&q, method);
        for (size_t i = 0; i < MANY; i++)
            many[i] = (foci_point){q.places[0].x + 0.0385 * (double)i, q.places[0].y - 0.021 * (double)i};
        const foci_prediction first = {.estimate = one[0], .high = one[1]},
                              second = {.estimate = more[0], .high = more[1]};
        foci_surface_model model = fitted(&q);
        left l = left_out_of(&model);
        assert_done(foci_surface_at(&model, many, MANY, &first, HOW, &err), err);
        foci_surface_model_free(&model);
        support_threads = 3;
        model = fitted(&q);
        left again = left_out_of(&model);
        assert_done(foci_surface_at(&model, many, MANY, &second, HOW, &err), err);
        foci_surface_model_free(&model);
        support_threads = 1;
        assert_memory_equal(one, more, sizeof one);
        assert_memory_equal(l.estimate, again.estimate, sizeof l.estimate);
        assert_memory_equal(l.variance, again.variance, sizeof l.variance);
    }
}

/* ---- counts ---- */

static foci_counts_model kernel_of(const question *q) {
    foci_error err = {0};
    foci_counts_model kernel = {0};
    const foci_counts_options options = {.row_heading = 0, .spacing = 53, .stop_variation = FOCI_STOP_VARIATION_OFF};
    assert_done(foci_counts_fit(&kernel, q->readings.places, q->hits, q->checked, CASE_STOPS, &options, HOW, &err),
                err);
    return kernel;
}

static void test_counts_are_the_kernel_in_percent(void **state) {
    (void)state;
    foci_error err = {0};
    question q;
    told share;
    ask(&q, foci_surface_method_find("counts"));
    foci_surface_model model = fitted(&q);
    foci_counts_model kernel = kernel_of(&q);
    told percent = told_at(&model, q.places);
    const foci_prediction out = {share.estimate, share.variance, share.low, share.high, share.chance};
    assert_done(foci_counts_predict(&kernel, q.places, PLACES, 0.1, &out, HOW, &err), err);
    for (size_t i = 0; i < PLACES; i++) {
        assert_near(percent.estimate[i], 100 * share.estimate[i], 1e-12);
        assert_near(percent.variance[i], 10000 * share.variance[i], 1e-10);
        assert_near(percent.low[i], 100 * share.low[i], 1e-12);
        assert_near(percent.high[i], 100 * share.high[i], 1e-12);
        assert_near(percent.chance[i], share.chance[i], 0);
    }
    foci_counts_free(&kernel);
    foci_surface_model_free(&model);
}

/* Variance of y / n, where y of n is binomial with a share of this mean and variance. It hangs on no other property of
 * the share's distribution, so one of two values stands for it, the lower a tenth of the mean: the sums written out
 * over y. */
static double variance_of_a_count(double mean, double variance, double n) {
    const double lower = 0.1 * mean, upper = mean + variance / (mean - lower),
                 weight = (mean - lower) / (upper - lower);
    const double shares[] = {lower, upper}, weights[] = {1 - weight, weight};
    double first = 0, second = 0;
    assert_true(upper < 1);
    for (int side = 0; side < 2; side++)
        for (double y = 0; y <= n; y++) {
            double log_chance = lgamma(n + 1) - lgamma(y + 1) - lgamma(n - y + 1) + y * log(shares[side]) +
                                (n - y) * log(1 - shares[side]);
            first += weights[side] * exp(log_chance) * y / n;
            second += weights[side] * exp(log_chance) * y / n * y / n;
        }
    return second - first * first;
}

static void test_a_left_out_count_has_its_sampling_noise(void **state) {
    (void)state;
    foci_error err = {0};
    question q;
    double mean[MOST], variance[MOST], log_score[MOST], transform[MOST];
    ask(&q, foci_surface_method_find("counts"));
    q.hits[0] = 21; /* of 30, where the neighbours have 0 or 1: no interval holds it */
    foci_surface_model model = fitted(&q);
    foci_counts_model kernel = kernel_of(&q);
    left l = left_out_of(&model);
    const foci_counts_leave_one_out_result out = {
        .mean = mean, .variance = variance, .log_score = log_score, .transform = transform};
    assert_done(foci_counts_leave_one_out(&kernel, &out, HOW, &err), err);
    size_t inside = 0;
    for (size_t i = 0; i < CASE_STOPS; i++) {
        assert_near(l.estimate[i], 100 * mean[i], 1e-12);
        assert_near(l.variance[i], 1e4 * variance_of_a_count(mean[i], variance[i], case_checked[i]), 1e-8);
        assert_true(l.variance[i] > 1e4 * variance[i]);
        assert_near(l.log_score[i], log_score[i], 0);
        assert_int_equal(l.inside[i], transform[i] >= 0.05 && transform[i] <= 0.95);
        inside += l.inside[i];
    }
    assert_true(inside > 0 && inside < CASE_STOPS);
    foci_counts_free(&kernel);
    foci_surface_model_free(&model);
}

/* ---- scores ---- */

/* One given model: a normal distribution about the estimate. */
static void test_a_left_out_score_is_normal(void **state) {
    (void)state;
    question q;
    size_t inside = 0;
    ask(&q, foci_surface_method_find("kriging"));
    foci_surface_model model = fitted(&q);
    left l = left_out_of(&model);
    for (size_t i = 0; i < SEVEN; i++) {
        double z = (q.readings.values[i] - l.estimate[i]) / sqrt(l.variance[i]);
        assert_near(l.log_score[i], -0.5 * z * z - 0.5 * log(2 * acos(-1) * l.variance[i]), 1e-9);
        assert_int_equal(l.inside[i], fabs(z) <= 1.6448536269514722);
        inside += l.inside[i];
    }
    assert_true(inside > 0 && inside < SEVEN);
    foci_surface_model_free(&model);
}

/* Severity as kriging of the scores says, the chance as kriging of their indicators does. */
static void test_indicator_is_two_krigings(void **state) {
    (void)state;
    question q, scores, ones;
    double indicators[SEVEN];
    ask(&q, foci_surface_method_find("indicator"));
    ask(&scores, foci_surface_method_find("kriging"));
    scores.options.variogram = NULL;
    ask(&ones, foci_surface_method_find("kriging"));
    for (size_t i = 0; i < SEVEN; i++)
        indicators[i] = q.readings.values[i] >= 600;
    ones.readings.values = indicators;
    foci_surface_model both = fitted(&q), severity = fitted(&scores), chance = fitted(&ones);
    told t = told_at(&both, q.places), s = told_at(&severity, q.places), c = told_at(&chance, q.places);
    left l = left_out_of(&both), ls = left_out_of(&severity);
    for (size_t i = 0; i < PLACES; i++) {
        assert_near(t.estimate[i], s.estimate[i], 0);
        assert_near(t.variance[i], s.variance[i], 0);
        assert_near(t.low[i], s.low[i], 0);
        assert_near(t.high[i], s.high[i], 0);
        assert_near(t.chance[i], fmin(fmax(c.estimate[i], 0), 1), 0);
    }
    assert_memory_equal(l.estimate, ls.estimate, sizeof l.estimate);
    assert_memory_equal(l.variance, ls.variance, sizeof l.variance);
    assert_near(both.facts.variogram.range, 1 / 0.3, 0);
    foci_surface_model_free(&both);
    foci_surface_model_free(&severity);
    foci_surface_model_free(&chance);
}

/* ---- facts ---- */

static void test_facts(void **state) {
    (void)state;
    question q;
    ask(&q, foci_surface_method_find("counts"));
    foci_surface_model model = fitted(&q);
    const foci_fit_summary *facts = &model.facts;
    assert_true(facts->logit);
    assert_false(facts->stop_variation);
    assert_near(facts->log_likelihood, -26.616698529, 5e-9); /* as in tests/estimate/predict/test_counts_model.c */
    assert_true(facts->components > 64 && facts->components <= 256);
    assert_int_equal(facts->fitted_on, CASE_STOPS);
    assert_near(facts->ratio.median, 1 / 1.5, 1e-15); /* across / along */
    assert_true(facts->ratio.low <= facts->ratio.median && facts->ratio.median <= facts->ratio.high);
    assert_near(facts->range.median, foci_variogram_practical_range(&facts->variogram), 1e-9);
    assert_near(facts->nugget_share.median, NAN, 0);
    assert_near(facts->suggested_gain, NAN, 0);
    assert_near(model.spacing, 53, 1e-12);
    foci_surface_model_free(&model);

    ask(&q, foci_surface_method_find("kriging"));
    model = fitted(&q);
    assert_false(model.facts.logit);
    assert_near(model.facts.lambda, 1, 0);
    assert_near(model.facts.variogram.range, 1 / 0.3, 0);
    assert_int_equal(model.facts.components, 1);
    assert_near(model.facts.no_pattern, NAN, 0);
    assert_near(model.facts.sigma.median, NAN, 0);
    foci_surface_model_free(&model);

    ask(&q, foci_surface_method_find("idw"));
    model = fitted(&q);
    assert_null(model.facts.variogram.kind);
    assert_near(model.facts.range.median, NAN, 0);
    foci_surface_model_free(&model);
}

/* ---- refusals ---- */

static void test_each_row_refuses(void **state) {
    (void)state;
    foci_error err = {0};
    for (const foci_surface_method *method = foci_surface_methods; method->name; method++) {
        question q;
        foci_surface_model model = {0};
        ask(&q, method);
        q.readings.count = 0;
        assert_fails(foci_surface_fit(&model, &q.readings, NULL, &q.options, HOW, &err), err, FOCI_BAD_INPUT,
                     "no stops");
        assert_null(model.state);
    }
    question q;
    foci_surface_model model = {0};
    ask(&q, foci_surface_method_find("counts"));
    q.hits[4] = 26;
    assert_fails(foci_surface_fit(&model, &q.readings, NULL, &q.options, HOW, &err), err, FOCI_BAD_INPUT,
                 "26 infected");
    assert_int_equal(err.row, 5);
    ask(&q, foci_surface_method_find("indicator"));
    q.options.threshold = NAN;
    assert_fails(foci_surface_fit(&model, &q.readings, NULL, &q.options, HOW, &err), err, FOCI_BAD_SETTING,
                 "{threshold}");
    assert_null(model.state);
}

static const foci_surface_method *tried;

static bool attempt(foci_error *err) {
    question q;
    told t;
    left l;
    const foci_prediction at = {t.estimate, t.variance, t.low, t.high, t.chance};
    const foci_leave_one_out out = {l.estimate, l.variance, l.log_score, l.inside};
    foci_surface_model model = {0};
    ask(&q, tried);
    q.readings.count = 4;
    bool ok = foci_surface_fit(&model, &q.readings, NULL, &q.options, HOW, err) &&
              foci_surface_at(&model, q.places, PLACES, &at, HOW, err) &&
              foci_surface_leave_one_out(&model, &out, HOW, err);
    foci_surface_model_free(&model);
    return ok;
}

static void test_each_allocation(void **state) {
    (void)state;
    for (tried = foci_surface_methods; tried->name; tried++)
        support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_value_of_each_row),
        cmocka_unit_test(test_each_row_answers_what_is_asked),
        cmocka_unit_test(test_threads_do_not_matter),
        cmocka_unit_test(test_counts_are_the_kernel_in_percent),
        cmocka_unit_test(test_a_left_out_count_has_its_sampling_noise),
        cmocka_unit_test(test_a_left_out_score_is_normal),
        cmocka_unit_test(test_indicator_is_two_krigings),
        cmocka_unit_test(test_facts),
        cmocka_unit_test(test_each_row_refuses),
        cmocka_unit_test(test_each_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

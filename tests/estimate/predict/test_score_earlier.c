/* Maps of scores with an earlier season: what becomes of them. */
#include "estimate/predict/score_model.h"

#include "estimate/surface/surface_methods.h"
#include "support/places.h"
#include "support/simulated_scores.h"

enum { STOPS = 45, BEFORE = 55, PLACES = 50, ALL = STOPS + BEFORE + PLACES };

/* One Gaussian field of sill 1 asked at the stops of both seasons and at places; each season has its own mean and
 * scale. Where `unlike` the earlier season is another field. */
typedef struct {
    foci_readings field, other;
    double values[STOPS], before[BEFORE], truth[PLACES];
} seasons;

static seasons invent(bool unlike) {
    uint64_t seed = 4057;
    seasons s = {.truth = {0}};
    const foci_variogram model = {.kind = foci_correlation_find("matern"),
                                  .nugget = 0.1,
                                  .partial_sill = 0.9,
                                  .range = 30,
                                  .ratio = 1,
                                  .smoothness = 1.5};
    s.field = support_simulated(&model, 0, 300, ALL, &seed);
    s.other = support_simulated(&model, 0, 300, ALL, &seed);
    for (size_t i = 0; i < STOPS; i++)
        s.values[i] = 40 + 8 * s.field.values[i];
    for (size_t i = 0; i < BEFORE; i++)
        s.before[i] = 90 + 20 * (unlike ? s.other.values : s.field.values)[STOPS + i];
    for (size_t i = 0; i < PLACES; i++)
        s.truth[i] = 40 + 8 * s.field.values[STOPS + BEFORE + i];
    return s;
}

static void forget(seasons *s) {
    support_readings_free(&s->field);
    support_readings_free(&s->other);
}

static foci_readings readings_of(seasons *s) {
    return support_readings(s->field.places, s->values, STOPS);
}

static foci_readings earlier_of(seasons *s) {
    return support_readings(s->field.places + STOPS, s->before, BEFORE);
}

static const foci_point *asked_of(const seasons *s) {
    return s->field.places + STOPS + BEFORE;
}

static foci_surface_options options_of(void) {
    return (foci_surface_options){.method = foci_surface_method_find("kriging"),
                                  .area = 300 * 300,
                                  .row_heading = 0,
                                  .most = INFINITY,
                                  .threshold = 50,
                                  .scale = FOCI_SCALE_NONE};
}

typedef struct {
    double estimate[PLACES], variance[PLACES], low[PLACES], high[PLACES], chance[PLACES];
} answers;

static foci_surface_model fit(const foci_readings *readings, const foci_readings *earlier, answers *out,
                              const foci_point *places) {
    foci_surface_options options = options_of();
    foci_surface_model model = {0};
    foci_error err = {0};
    const foci_prediction arrays = {out->estimate, out->variance, out->low, out->high, out->chance};
    assert_done(foci_surface_fit(&model, readings, earlier, &options, HOW, &err), err);
    assert_done(foci_surface_at(&model, places, PLACES, &arrays, HOW, &err), err);
    return model;
}

static double error_of(const answers *out, const seasons *s) {
    double squares = 0;
    for (size_t i = 0; i < PLACES; i++)
        squares += pow(out->estimate[i] - s->truth[i], 2);
    return sqrt(squares / PLACES);
}

static double mean_of(const double *numbers) {
    double sum = 0;
    for (size_t i = 0; i < PLACES; i++)
        sum += numbers[i] / PLACES;
    return sum;
}

static void test_a_like_season_helps(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    answers one = {.low = {0}}, two = {.low = {0}};
    foci_surface_model alone = fit(&readings, NULL, &one, asked_of(&s)),
                       together = fit(&readings, &earlier, &two, asked_of(&s));
    assert_true(together.facts.earlier.used);
    assert_int_equal(together.facts.earlier.stops, BEFORE);
    assert_true(together.facts.earlier.rho > 0.75);
    assert_true(together.facts.earlier.log_score_with > together.facts.earlier.log_score_without + 0.1);
    assert_true(mean_of(two.variance) < 0.7 * mean_of(one.variance));
    assert_true(error_of(&two, &s) < 0.85 * error_of(&one, &s));
    assert_true(isnan(alone.facts.earlier.rho) && isnan(alone.facts.earlier.log_score_without));
    foci_surface_model_free(&alone);
    foci_surface_model_free(&together);
    forget(&s);
}

static void test_an_unlike_season_is_not_used(void **state) {
    (void)state;
    seasons s = invent(true);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    answers one = {.low = {0}}, two = {.low = {0}};
    for (size_t i = 0; i < BEFORE; i++)
        s.before[i] = i % 2 ? 7.5 + (double)(i % 5) : 160; /* no two neighbours alike */
    foci_surface_model alone = fit(&readings, NULL, &one, asked_of(&s)),
                       tried = fit(&readings, &earlier, &two, asked_of(&s));
    assert_false(tried.facts.earlier.used);
    assert_string_equal(tried.facts.earlier.why_not, "");
    assert_true(tried.facts.earlier.log_score_with <= tried.facts.earlier.log_score_without);
    assert_memory_equal(&one, &two, sizeof one);
    foci_surface_model_free(&alone);
    foci_surface_model_free(&tried);
    forget(&s);
}

static void test_another_field_shares_little(void **state) {
    (void)state;
    seasons s = invent(true);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_surface_options options = {.row_heading = NAN, .area = 45.0 * 45 * (double)readings.count, .most = INFINITY};
    foci_score_model model = {0};
    foci_error err = {0};
    assert_done(foci_score_model_fit(&model, &readings, &earlier, &options, false, HOW, &err), err);
    assert_true(model.facts.earlier.rho < 0.2);
    foci_score_model_free(&model);
    foci_score_model_free(&model);
    forget(&s);
}

/* The log scores that the choice goes by are those of each stop foretold by a model without it, sills as they are. */
static void test_left_out_stops_are_of_this_season(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    answers out = {.low = {0}};
    foci_surface_model model = fit(&readings, &earlier, &out, asked_of(&s));
    double estimate[STOPS], variance[STOPS], score[STOPS], mean = 0, squares = 0;
    bool inside[STOPS];
    foci_error err = {0};
    const foci_leave_one_out left = {estimate, variance, score, inside};
    assert_done(foci_surface_leave_one_out(&model, &left, HOW, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        mean += score[i] / STOPS;
        squares += pow(s.values[i] - estimate[i], 2) / STOPS;
    }
    assert_near(mean, model.facts.earlier.log_score_with, 1e-12);
    assert_true(squares < 64); /* better than the field's own spread */
    foci_surface_model_free(&model);
    forget(&s);
}

static void test_threads_do_not_matter(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    answers one = {.low = {0}}, three = {.low = {0}};
    foci_surface_model first = fit(&readings, &earlier, &one, asked_of(&s));
    support_threads = 3;
    foci_surface_model second = fit(&readings, &earlier, &three, asked_of(&s));
    support_threads = 1;
    assert_memory_equal(&one, &three, sizeof one);
    assert_true(first.facts.earlier.log_score_with == second.facts.earlier.log_score_with);
    foci_surface_model_free(&first);
    foci_surface_model_free(&second);
    forget(&s);
}

/* Several places together: the diagonal is one place's variance without the nugget, at the likeliest component. */
static void test_covariance_of_places(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    answers out = {.low = {0}};
    foci_surface_model model = fit(&readings, &earlier, &out, asked_of(&s));
    double mean[3], covariance[9], threshold = 0;
    foci_error err = {0};
    assert_done(foci_surface_covariance(&model, mean, covariance, &threshold, asked_of(&s), 3, &err), err);
    assert_near(threshold, 50, 0);
    foci_surface_options options = {.row_heading = 0, .area = 300.0 * 300, .most = INFINITY};
    foci_score_model kernel = {0};
    assert_done(foci_score_model_fit(&kernel, &readings, &earlier, &options, false, HOW, &err), err);
    const foci_score_component *best = kernel.components;
    for (size_t k = 1; k < kernel.count; k++)
        best = kernel.components[k].weight > best->weight ? &kernel.components[k] : best;
    for (size_t i = 0; i < 3; i++) {
        double estimate = 0, variance = 0, places[16];
        foci_conditional_room room = {0};
        assert_true(foci_targets_room(&kernel.stops, 1) <= 16);
        const foci_targets one = foci_targets_fill(places, &kernel.stops, &asked_of(&s)[i], 1, 0);
        assert_done(foci_conditional_room_make(&room, STOPS + BEFORE, kernel.stops.columns.count, 1, &err), err);
        assert_done(
            foci_conditional_at(&estimate, &variance, &best->given, &kernel.stops, &best->at, &one, &room, &err), err);
        assert_near(mean[i], estimate, 1e-8);
        assert_near(covariance[4 * i], best->widen * variance, 1e-8);
        foci_conditional_room_free(&room);
    }
    foci_score_model_free(&kernel);
    foci_surface_model_free(&model);
    forget(&s);
}

static void test_skewed_readings_with_zeros(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_surface_options options = options_of();
    foci_surface_model model = {0};
    foci_error err = {0};
    options.scale = FOCI_SCALE_AUTO;
    for (size_t i = 0; i < STOPS; i++)
        s.values[i] = exp((s.values[i] - 40) / 8);
    for (size_t i = 0; i < BEFORE; i++)
        s.before[i] = s.before[i] < 85 ? 0 : exp((s.before[i] - 90) / 20); /* zeros only here */
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_string_equal(model.facts.earlier.why_not, "");
    assert_true(isfinite(model.facts.earlier.log_score_with));
    foci_surface_model_free(&model);
    s.before[3] = -2.385; /* no scale takes it */
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_false(model.facts.earlier.used);
    assert_true(*model.facts.earlier.why_not);
    foci_surface_model_free(&model);
    forget(&s);
}

static void test_what_does_not_go_together(void **state) {
    (void)state;
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    const foci_variogram given = {.kind = foci_correlation_find("exponential"),
                                  .nugget = 0.1,
                                  .partial_sill = 0.9,
                                  .range = 31.5,
                                  .ratio = 1,
                                  .smoothness = 0.5};
    double kept[STOPS];
    foci_surface_model model = {0};
    foci_error err = {0};
    foci_surface_options options = options_of();
    options.variogram = &given;
    assert_fails(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "leave out {variogram}");
    options = options_of();
    options.neighbours = 12;
    assert_fails(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "leave out {neighbors}");
    options = options_of();
    options.fit = foci_fit_method_find("weighted-squares");
    assert_fails(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err, FOCI_BAD_SETTING,
                 "leave out {fit}");
    options = options_of();
    options.method = foci_surface_method_find("idw");
    options.power = 2;
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_string_equal(model.facts.earlier.why_not, "inverse-distance weighting reads one season only");
    foci_surface_model_free(&model);
    options = options_of();
    for (size_t i = 0; i < BEFORE; i++)
        s.before[i] = 20.45;
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_string_equal(model.facts.earlier.why_not, "all its readings are equal");
    foci_surface_model_free(&model);
    for (size_t i = 0; i < BEFORE; i++)
        s.before[i] = (double)i;
    memcpy(kept, s.values, sizeof kept);
    for (size_t i = 0; i < STOPS; i++)
        s.values[i] = 12.25;
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_string_equal(model.facts.earlier.why_not, "left-out stops of this season have no score to go by");
    foci_surface_model_free(&model);
    memcpy(s.values, kept, sizeof kept);
    earlier.count = 2;
    s.before[0] = 30.45;
    assert_done(foci_surface_fit(&model, &readings, &earlier, &options, HOW, &err), err);
    assert_non_null(strstr(model.facts.earlier.why_not, "2 stops are too few"));
    foci_surface_model_free(&model);
    forget(&s);
}

static bool attempt(foci_error *err) {
    seasons s = invent(false);
    foci_readings readings = readings_of(&s), earlier = earlier_of(&s);
    foci_surface_options options = options_of();
    foci_surface_model model = {0};
    readings.count = 9;
    earlier.count = 7;
    options.row_heading = NAN;
    options.trend = 1;
    options.kind = foci_correlation_find("exponential");
    bool ok = foci_surface_fit(&model, &readings, &earlier, &options, HOW, err);
    foci_surface_model_free(&model);
    forget(&s);
    return ok;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_place(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_like_season_helps),
        cmocka_unit_test(test_an_unlike_season_is_not_used),
        cmocka_unit_test(test_another_field_shares_little),
        cmocka_unit_test(test_left_out_stops_are_of_this_season),
        cmocka_unit_test(test_threads_do_not_matter),
        cmocka_unit_test(test_covariance_of_places),
        cmocka_unit_test(test_skewed_readings_with_zeros),
        cmocka_unit_test(test_what_does_not_go_together),
        cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

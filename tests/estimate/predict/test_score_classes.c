/* Readings that are classes: where the drawing begins, what is drawn, and whether the bounds hold. */
#include "estimate/predict/score_classes.h"

#include "estimate/predict/score_model.h"
#include "support/simulated_scores.h"

enum { STOPS = 64, PLACES = 100, ALL = STOPS + PLACES, FIELDS = 3, CLASSES = 5 };

/* The limits of src/data/scales/root-rot-0-4.json, in percent: the widest classes that are built in. */
static const double limits[CLASSES + 1] = {0, 0, 25.5, 50.5, 75.5, 100};
static const double middles[CLASSES] = {0, 12.5, 38, 63, 88};

static size_t class_of(double percent) {
    size_t k = 1;
    while (k + 1 < CLASSES && percent > limits[k + 1])
        k++;
    return k;
}

typedef struct {
    foci_readings all, stops; /* the stops first in all; stops own low and high only */
} field;

/* Percents whose logit is a Gaussian field; the stops' are rated by class. */
static field make_field(uint64_t seed) {
    const foci_variogram model = {
        .kind = foci_correlation_find("exponential"), .nugget = 0.25, .partial_sill = 1.2, .range = 45, .ratio = 1};
    field f = {.all = support_simulated(&model, -1.2, 260, ALL, &seed)};
    f.stops = f.all;
    f.stops.count = STOPS;
    f.stops.values = calloc(STOPS, sizeof(double));
    f.stops.low = calloc(STOPS, sizeof(double));
    f.stops.high = calloc(STOPS, sizeof(double));
    for (size_t i = 0; i < ALL; i++)
        f.all.values[i] = 100 / (1 + exp(-f.all.values[i]));
    for (size_t i = 0; i < STOPS; i++) {
        const size_t k = class_of(f.all.values[i]);
        f.stops.values[i] = middles[k];
        f.stops.low[i] = limits[k];
        f.stops.high[i] = limits[k + 1];
    }
    return f;
}

static void free_field(field *f) {
    free(f->stops.values);
    free(f->stops.low);
    free(f->stops.high);
    support_readings_free(&f->all);
}

static foci_surface_options options_of(void) {
    foci_surface_options options = foci_surface_options_make();
    options.area = 260 * 260;
    options.row_heading = NAN;
    options.neighbours = 0;
    options.scale = FOCI_SCALE_AUTO;
    options.least = 0;
    options.most = 100;
    options.kind = foci_correlation_find("exponential");
    return options;
}

static void it_begins_spread_over_each_class(void **state) {
    (void)state;
    foci_error err = {0};
    field f = make_field(11);
    double values[STOPS], sum[CLASSES] = {0}, count[CLASSES] = {0};
    assert_done(foci_score_classes_start(values, &f.stops, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        const size_t k = class_of(f.all.values[i]);
        assert_true(values[i] > limits[k] && values[i] < limits[k + 1]);
        sum[k] += values[i];
        count[k]++;
    }
    for (size_t k = 0; k < CLASSES; k++)
        if (count[k] > 0)
            assert_near(sum[k] / count[k], (limits[k] + limits[k + 1]) / 2, 1e-9);
    free_field(&f);
}

/* The share of the places inside the 5 % and 95 % bounds. */
static double inside(const field *f, const foci_readings *readings, bool *within) {
    const foci_surface_options options = options_of();
    foci_score_model model = {0};
    foci_error err = {0};
    double low[PLACES], high[PLACES], share = 0;
    const foci_score_layers out = {.low = low, .high = high};
    assert_done(foci_score_model_fit(&model, readings, NULL, &options, false, NULL, &err), err);
    assert_done(foci_score_model_at(&out, &model, f->all.places + STOPS, PLACES, NAN, NULL, &err), err);
    for (size_t i = 0; i < PLACES; i++)
        share += (low[i] <= f->all.values[STOPS + i] && f->all.values[STOPS + i] <= high[i]) / (double)PLACES;
    *within = true;
    for (size_t k = 0; k < model.count; k++)
        for (size_t i = 0; i < STOPS && model.low; i++)
            *within = *within && model.components[k].readings[i] >= model.low[i] &&
                      model.components[k].readings[i] <= model.high[i];
    foci_score_model_free(&model);
    return share;
}

/* Nominal 0.90. That class middles do not hold is why classes are drawn: with these, 300 places of three fields. */
static void bounds_hold_where_middles_fail(void **state) {
    (void)state;
    double by_class = 0, by_middle = 0;
    for (uint64_t seed = 1; seed <= FIELDS; seed++) {
        field f = make_field(1000 * seed);
        foci_readings as_amounts = f.stops;
        bool within = false;
        as_amounts.low = as_amounts.high = NULL;
        by_class += inside(&f, &f.stops, &within) / FIELDS;
        assert_true(within);
        by_middle += inside(&f, &as_amounts, &within) / FIELDS;
        free_field(&f);
    }
    print_message("inside: %.3f by class, %.3f by middle\n", by_class, by_middle);
    assert_true(by_class > 0.85 && by_class < 0.98);
    assert_true(by_middle < by_class);
}

/* On a stop what lies in its class is told, no less and no more; all in one class: that class. */
static void a_stop_says_its_class(void **state) {
    (void)state;
    field f = make_field(5000);
    const foci_surface_options options = options_of();
    foci_score_model model = {0};
    foci_error err = {0};
    double low[STOPS], high[STOPS], mean[STOPS], variance[STOPS];
    const foci_score_layers out = {.estimate = mean, .variance = variance, .low = low, .high = high};
    assert_done(foci_score_model_fit(&model, &f.stops, NULL, &options, false, NULL, &err), err);
    assert_done(foci_score_model_at(&out, &model, f.stops.places, STOPS, NAN, NULL, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        assert_true(low[i] >= f.stops.low[i] - 2 && high[i] <= f.stops.high[i] + 2);
        assert_true(mean[i] > f.stops.low[i] - 2 && mean[i] < f.stops.high[i] + 2 && variance[i] > 0);
    }
    foci_score_model_free(&model);
    for (size_t i = 0; i < STOPS; i++) {
        f.stops.values[i] = 12.5;
        f.stops.low[i] = 0;
        f.stops.high[i] = 25.5;
    }
    assert_done(foci_score_model_fit(&model, &f.stops, NULL, &options, false, NULL, &err), err);
    assert_done(foci_score_model_at(&out, &model, f.stops.places, 1, NAN, NULL, &err), err);
    assert_near(mean[0], 12.5, 1e-9);
    assert_near(variance[0], 25.5 * 25.5 / 12, 1e-9);
    foci_score_model_free(&model);
    free_field(&f);
}

/* Left-out stops are held against what lies in their class: middles of 0 to 25 percent lie outside far too often. */
static void left_out_stops_are_inside_as_often_as_said(void **state) {
    (void)state;
    double share = 0;
    for (uint64_t seed = 1; seed <= FIELDS; seed++) {
        field f = make_field(1000 * seed);
        foci_surface_options options = options_of();
        foci_surface_model model = {0};
        foci_error err = {0};
        double estimate[STOPS], variance[STOPS], log_score[STOPS];
        bool inside_bounds[STOPS];
        const foci_leave_one_out left = {estimate, variance, log_score, inside_bounds};
        options.method = foci_surface_method_find("kriging");
        assert_done(foci_surface_fit(&model, &f.stops, NULL, &options, NULL, &err), err);
        assert_done(foci_surface_leave_one_out(&model, &left, NULL, &err), err);
        for (size_t i = 0; i < STOPS; i++) {
            share += inside_bounds[i] / (double)(STOPS * FIELDS);
            assert_true(log_score[i] <= 0); /* of a chance */
        }
        foci_surface_model_free(&model);
        free_field(&f);
    }
    print_message("left-out stops inside: %.3f\n", share);
    assert_true(share > 0.82 && share < 0.97);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_begins_spread_over_each_class),
        cmocka_unit_test(bounds_hold_where_middles_fail),
        cmocka_unit_test(a_stop_says_its_class),
        cmocka_unit_test(left_out_stops_are_inside_as_often_as_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* More stops than are worked jointly: windows against the joint answer, seams, and the parameters from groups. */
#include "estimate/predict/windows.h"

#include "estimate/predict/counts_model.h"
#include "estimate/counts_cases.h"

enum { SIDE = 20, STOPS = SIDE * SIDE, MANY_SIDE = 27, MANY = MANY_SIDE * MANY_SIDE };
#define SPACING 50.0

static double eta_at(foci_point place) {
    return -2.6 + 1.1 * sin(place.x / 97) * cos(place.y / 121 + 0.4) + 0.6 * sin((place.x + place.y) / 260);
}

typedef struct {
    foci_point places[MANY];
    double hits[MANY], checked[MANY];
} scene;

/* Binomial counts of 30 over a smooth field, stops on a shaken lattice. */
static void fill_scene(scene *s, size_t side) {
    unsigned seed = 12385;
    for (size_t i = 0; i < side * side; i++) {
        foci_point at = case_lattice(i, side, SPACING, SPACING);
        at.x += (double)(i * 7 % 17);
        s->places[i] = at;
        s->checked[i] = 30;
        s->hits[i] = 0;
        for (int unit = 0; unit < 30; unit++) {
            seed = seed * 1664525u + 1013904223u;
            s->hits[i] += (double)(seed >> 8) / 16777216.0 < 1 / (1 + exp(-eta_at(at))) ? 1 : 0;
        }
    }
}

static foci_counts_model fitted(const scene *s, size_t count) {
    foci_error err = {0};
    foci_counts_options options = {.row_heading = NAN, .spacing = SPACING, .stop_variation = FOCI_STOP_VARIATION_OFF};
    foci_counts_model model = {0};
    assert_done(foci_counts_fit(&model, s->places, s->hits, s->checked, count, &options, HOW, &err), err);
    return model;
}

enum { LINE = 400 };

/* By windows and jointly along a line across many windows. */
static void test_against_joint(void **state) {
    (void)state;
    static scene s;
    static foci_point line[LINE];
    static double joint[5][LINE], window[5][LINE];
    foci_error err = {0};
    fill_scene(&s, SIDE);
    foci_counts_model model = fitted(&s, STOPS);
    for (size_t i = 0; i < LINE; i++)
        line[i] = (foci_point){20 + 2.3 * (double)i, 470 + 0.9 * (double)i};
    foci_prediction one = {joint[0], joint[1], joint[2], joint[3], joint[4]};
    foci_prediction two = {window[0], window[1], window[2], window[3], window[4]};
    assert_done(foci_counts_predict(&model, line, LINE, 0.10, &one, HOW, &err), err);
    assert_done(foci_windows_predict(&model, line, LINE, 0.10, &two, HOW, &err), err);
    double square = 0, worst_chance = 0, worst_seam = 0;
    for (size_t i = 0; i < LINE; i++) {
        double off = (window[0][i] - joint[0][i]) / sqrt(joint[1][i]);
        square += off * off / LINE;
        worst_chance = fmax(worst_chance, fabs(window[4][i] - joint[4][i]));
        assert_near(sqrt(window[1][i] / joint[1][i]), 1, 0.15);
        assert_near(log(window[2][i] / joint[2][i]), 0, 0.3);
        assert_near(log(window[3][i] / joint[3][i]), 0, 0.15);
        if (i > 0) { /* a step of the windows beyond that of the joint surface, in deviations */
            double step = (window[0][i] - window[0][i - 1]) - (joint[0][i] - joint[0][i - 1]);
            worst_seam = fmax(worst_seam, fabs(step) / sqrt(joint[1][i]));
        }
    }
    print_message("windows: rms %.4f deviations, chance %.4f, seam %.4f\n", sqrt(square), worst_chance, worst_seam);
    assert_true(sqrt(square) < 0.04);
    assert_true(worst_chance < 0.03);
    assert_true(worst_seam < 0.01);
    foci_counts_free(&model);
}

static void test_left_out_against_joint(void **state) {
    (void)state;
    static scene s;
    static double joint[3][STOPS], window[3][STOPS];
    foci_error err = {0};
    double score[2] = {0};
    fill_scene(&s, SIDE);
    foci_counts_model model = fitted(&s, STOPS);
    foci_counts_leave_one_out_result one = {.mean = joint[0], .log_score = joint[1], .transform = joint[2]};
    foci_counts_leave_one_out_result two = {.mean = window[0], .log_score = window[1], .transform = window[2]};
    assert_done(foci_counts_leave_one_out(&model, &one, HOW, &err), err);
    assert_done(foci_windows_leave_one_out(&model, &two, HOW, &err), err);
    for (size_t i = 0; i < STOPS; i++) {
        assert_near(log(window[0][i] / joint[0][i]), 0, 0.15);
        assert_near(window[2][i], joint[2][i], 0.05);
        score[0] += joint[1][i] / STOPS;
        score[1] += window[1][i] / STOPS;
    }
    assert_near(score[1], score[0], 0.005);
    foci_counts_free(&model);
}

/* 729 stops: the parameters of groups, predictions near the truth, the same whatever the threads. */
static void test_many_stops(void **state) {
    (void)state;
    static scene s;
    static foci_point at[LINE];
    static double mean[2][LINE], low[LINE], high[LINE], transform[MANY];
    foci_error err = {0};
    size_t inside = 0, covered = 0;
    fill_scene(&s, MANY_SIDE);
    foci_counts_model model = fitted(&s, MANY);
    assert_int_equal(model.summary.stops, MANY);
    assert_int_equal(model.summary.facts.fitted_on, MANY); /* 729 / 8 < 100: all of them, in eight groups */
    assert_null(model.posterior.given);
    assert_true(model.summary.facts.range.median > 100 && model.summary.facts.range.median < 1500);
    for (size_t i = 0; i < LINE; i++)
        at[i] = case_lattice(i + 22, 21, 59, 59);
    for (int threads = 1; threads <= 2; threads++) {
        support_threads = threads;
        foci_prediction out = {.estimate = mean[threads - 1], .low = low, .high = high};
        assert_done(foci_counts_predict(&model, at, LINE, NAN, &out, HOW, &err), err);
    }
    support_threads = 1;
    assert_memory_equal(mean[0], mean[1], sizeof mean[0]);
    for (size_t i = 0; i < LINE; i++) {
        double truth = 1 / (1 + exp(-eta_at(at[i])));
        covered += truth >= low[i] && truth <= high[i] ? 1 : 0;
    }
    assert_true(covered >= LINE * 80 / 100);
    assert_done(
        foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.transform = transform}, HOW, &err), err);
    for (size_t i = 0; i < MANY; i++)
        inside += transform[i] >= 0.05 && transform[i] <= 0.95 ? 1 : 0;
    assert_true(inside >= MANY * 86 / 100 && inside <= MANY * 97 / 100);
    foci_counts_free(&model);
}

/* Each stop of the groups is one of the field's, no stop is in two, and the groups are apart. */
static void test_groups(void **state) {
    (void)state;
    static scene s;
    foci_error err = {0};
    fill_scene(&s, MANY_SIDE);
    foci_observations stops = case_observed(s.places, s.hits, s.checked, MANY), groups[FOCI_COUNTS_GROUPS] = {{0}};
    size_t taken = 0, few = 0;
    for (size_t i = 0; i < MANY; i++)
        stops.constant[i] = (double)i; /* marks the stop */
    assert_done(foci_counts_groups_make(groups, &stops, &err), err);
    static bool seen[MANY];
    for (size_t g = 0; g < FOCI_COUNTS_GROUPS; g++) {
        taken += groups[g].count;
        for (size_t i = 0; i < groups[g].count; i++) {
            size_t stop = (size_t)groups[g].constant[i];
            assert_false(seen[stop]);
            seen[stop] = true;
            assert_near(groups[g].along[i], stops.along[stop], 0);
            assert_near(groups[g].readings[i], stops.readings[stop], 0);
        }
    }
    assert_int_equal(taken, MANY);
    foci_counts_groups_free(groups);
    stops.count = 9; /* fewer than two a group */
    assert_done(foci_counts_groups_make(groups, &stops, &err), err);
    for (size_t g = 0; g < FOCI_COUNTS_GROUPS; g++)
        few += groups[g].count;
    assert_int_equal(few, 9);
    foci_counts_groups_free(groups);
    foci_observations_free(&stops);
}

/* A crowd of stops on one place, and far places: answers, no failure. */
static void test_odd_layouts(void **state) {
    (void)state;
    static scene s;
    static double transform[MANY];
    static const foci_point at[4] = {{0, 0}, {1e7, -3e7}, {1350, 1350}, {-40, 20}};
    double mean[4];
    foci_error err = {0};
    fill_scene(&s, MANY_SIDE);
    for (size_t i = 0; i < 150; i++)
        s.places[i * 4] = (foci_point){300, 300};
    foci_counts_model model = fitted(&s, MANY);
    assert_done(foci_counts_predict(&model, at, 4, NAN, &(foci_prediction){.estimate = mean}, HOW, &err), err);
    for (size_t i = 0; i < 4; i++)
        assert_true(mean[i] > 0 && mean[i] < 1);
    assert_done(
        foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.transform = transform}, HOW, &err), err);
    for (size_t i = 0; i < MANY; i++)
        assert_true(transform[i] > 0 && transform[i] < 1);
    foci_counts_free(&model);
}

static bool attempt(foci_error *err) {
    static const foci_point places[9] = {{0, 0},    {50, 5},  {20, 70},  {90, 40},  {10, 120},
                                         {60, 130}, {140, 9}, {150, 90}, {170, 150}};
    static const double hits[9] = {3, 0, 1, 0, 0, 2, 0, 1, 1}, checked[9] = {10, 10, 12, 10, 10, 9, 10, 10, 10};
    foci_counts_model model = {.draw_count = 1, .spacing = SPACING};
    foci_observations groups[FOCI_COUNTS_GROUPS] = {{0}};
    double mean[2], out[9];
    model.draws[0].weight = 1;
    model.draws[0].point = case_point(0);
    model.draws[0].point.stretch = 1;
    const foci_season_readings season = {places, hits, checked, 9};
    const foci_columns columns = foci_counts_columns(1);
    bool ok = foci_observations_make(&model.stops, foci_response_binomial, &season, 1, &columns, NAN, err) &&
              foci_counts_groups_make(groups, &model.stops, err) &&
              foci_windows_predict(&model, places, 2, NAN, &(foci_prediction){.estimate = mean}, HOW, err) &&
              foci_windows_leave_one_out(&model, &(foci_counts_leave_one_out_result){.mean = out}, HOW, err);
    foci_counts_groups_free(groups);
    foci_counts_free(&model);
    return ok;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_joint), cmocka_unit_test(test_left_out_against_joint),
        cmocka_unit_test(test_many_stops),    cmocka_unit_test(test_groups),
        cmocka_unit_test(test_odd_layouts),   cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Data at the edge of sense: the surface answers, or refuses in words; it never breaks. */
#include "estimate/counts_cases.h"

enum { STOPS = 83, SIDE = 17, PLACES = SIDE * SIDE };

typedef struct {
    double mean, least, most, low, high, chance, most_chance; /* averages over the places, and extremes of the mean */
    foci_counts_summary summary;
} answer;

static answer ask(const foci_point *places, const double *hits, const double *checked, size_t count, bool plain) {
    static foci_point at[PLACES];
    static double mean[PLACES], variance[PLACES], low[PLACES], high[PLACES], chance[PLACES];
    foci_error err = {0};
    foci_counts_options options = {.row_heading = 0, .spacing = 53, .draws = plain ? 64 : 0, .plain = plain};
    options.stop_variation = plain ? FOCI_STOP_VARIATION_OFF : FOCI_STOP_VARIATION_AUTO;
    foci_counts_model model = {0};
    answer out = {.least = 1};
    for (size_t i = 0; i < PLACES; i++)
        at[i] = case_lattice(i, SIDE, 27, 31);
    foci_prediction arrays = {mean, variance, low, high, chance};
    assert_done(foci_counts_fit(&model, places, hits, checked, count, &options, HOW, &err), err);
    assert_done(foci_counts_predict(&model, at, PLACES, 0.05, &arrays, HOW, &err), err);
    for (size_t i = 0; i < PLACES; i++) {
        assert_true(low[i] > 0 && low[i] <= mean[i] * 1.2 && low[i] < high[i] && high[i] < 1);
        assert_true(variance[i] >= 0 && variance[i] <= 0.25 && chance[i] >= 0 && chance[i] <= 1);
        out.mean += mean[i] / PLACES;
        out.low += low[i] / PLACES;
        out.high += high[i] / PLACES;
        out.chance += chance[i] / PLACES;
        out.least = fmin(out.least, mean[i]);
        out.most = fmax(out.most, mean[i]);
        out.most_chance = fmax(out.most_chance, chance[i]);
    }
    double log_score[STOPS];
    assert_done(
        foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.log_score = log_score}, HOW, &err), err);
    for (size_t i = 0; i < count; i++)
        assert_true(log_score[i] <= 0 && isfinite(log_score[i]));
    out.summary = model.summary;
    foci_counts_free(&model);
    return out;
}

typedef struct {
    foci_point places[STOPS];
    double hits[STOPS], checked[STOPS];
} scene;

/* 83 stops on a lattice of 53 m, 30 units each, none infected. */
static scene clean_field(void) {
    scene made = {0};
    for (size_t i = 0; i < STOPS; i++) {
        made.places[i] = case_lattice(i, 9, 53, 53);
        made.checked[i] = 30;
    }
    return made;
}

/* The numbers of the next tests were found beforehand for another field of 83 stops, by another program: they hold for
 * this one to about a tenth. */
static void test_all_zero(void **state) {
    (void)state;
    scene s = clean_field();
    for (int plain = 0; plain < 2; plain++) {
        answer found = ask(s.places, s.hits, s.checked, STOPS, plain);
        assert_near(found.mean, .00037, .00002);
        assert_true(found.least > .00034 && found.most < .00046);
        assert_near(found.low, .00002, .00001);
        assert_near(found.high, .0013, .0001);
        assert_near(found.chance, 0, plain ? .00005 : .0001); /* 256 draws see more of the tail */
        assert_true(found.most_chance < .0003);
        assert_true(found.summary.facts.no_pattern > found.summary.no_pattern_before);
        assert_false(found.summary.facts.stop_variation || found.summary.range_open || found.summary.sigma_open);
    }
}

static void test_one_unit(void **state) {
    (void)state;
    scene s = clean_field();
    s.hits[40] = 1;
    answer found = ask(s.places, s.hits, s.checked, STOPS, true);
    assert_near(found.mean, .00071, .00004);
    assert_near(found.low, .00005, .00001);
    assert_near(found.high, .0022, .0001);
    assert_near(found.chance, .0001, .0001);
}

/* The one hot stop: plainly the scale sits at the end of its grid and the share is understated; the whole way extends
 * the grid, uses expectation propagation, and gives more. */
static void test_one_hot_stop(void **state) {
    (void)state;
    scene s = clean_field();
    s.hits[40] = 30;
    answer plain = ask(s.places, s.hits, s.checked, STOPS, true);
    answer whole = ask(s.places, s.hits, s.checked, STOPS, false);
    assert_true(plain.summary.sigma_open);
    assert_near(plain.chance, .009, .004);
    assert_true(plain.summary.largest_shift > 1.2 && plain.summary.largest_shift < 1.6);
    assert_near(plain.summary.propagated, 0, 0);
    assert_true(whole.summary.propagated > 0.5);
    assert_true(whole.summary.facts.sigma.high > 3.4);
    assert_true(whole.mean > plain.mean && whole.mean < 1.0 / STOPS);
    assert_true(whole.most > 10 * whole.mean && whole.most_chance > 0.2);
}

static void test_all_infected(void **state) {
    (void)state;
    scene s = clean_field();
    memcpy(s.hits, s.checked, sizeof s.hits);
    for (int plain = 0; plain < 2; plain++) {
        answer found = ask(s.places, s.hits, s.checked, STOPS, plain);
        assert_near(found.mean, .99931, .00002);
        assert_near(found.low, .9979, .0001);
        assert_near(found.high, .9999, .0001);
        assert_near(found.chance, 1, 1e-6);
    }
}

static void test_few_stops(void **state) {
    (void)state;
    static const foci_point places[5] = {{0, 0}, {424, 0}, {212, 212}, {0, 424}, {424, 424}};
    static const double none[5] = {0}, thirty[5] = {30, 30, 30, 30, 30}, three[1] = {3};
    answer five = ask(places, none, thirty, 5, false);
    assert_near(five.mean, .0065, .0025); /* .0090 on a larger field */
    assert_true(five.chance < 0.03);
    answer one = ask(places + 2, three, thirty, 1, false);
    assert_near(one.mean, .139, .003);
    assert_near(one.low, .006, .001);
    assert_near(one.high, .514, .02);
    assert_near(one.chance, .66, .02);
}

static void test_odd_places(void **state) {
    (void)state;
    static const foci_point line[6] = {{0, 0}, {50, 50}, {100, 100}, {150, 150}, {200, 200}, {250, 250}};
    static const foci_point same[6] = {{71, 3}, {71, 3}, {71, 3}, {71, 3}, {71, 3}, {71, 3}};
    static const foci_point far[6] = {{0, 0}, {3e7, 1}, {0, 4e7}, {-5e6, 2}, {1e-9, 1e-9}, {50, 50}};
    static const double hits[6] = {0, 3, 30, 1, 0, 12}, checked[6] = {30, 30, 30, 25, 1, 500};
    for (int plain = 0; plain < 2; plain++) {
        ask(line, hits, checked, 6, plain);
        ask(same, hits, checked, 6, plain);
        ask(far, hits, checked, 6, plain);
    }
}

/* Checked units from one to a hundred thousand. */
static void test_uneven_effort(void **state) {
    (void)state;
    scene s = clean_field();
    for (size_t i = 0; i < STOPS; i++) {
        s.checked[i] = i % 5 == 0 ? 100000 : (double)(1 + i % 7);
        s.hits[i] = floor(s.checked[i] * (0.02 + 0.4 * (i % 11 == 0)));
    }
    answer found = ask(s.places, s.hits, s.checked, STOPS, false);
    assert_true(found.mean > 0.01 && found.mean < 0.3);
}

/* A million units at each stop say all there is to know of it: the answers are the plain share and its binomial
 * deviation, and leaving a stop out asks the neighbors only. Above, the sums lose digits and are refused. */
static void test_huge_counts(void **state) {
    (void)state;
    static double mean[STOPS], variance[STOPS], left_out[STOPS];
    scene s = clean_field();
    foci_error err = {0};
    foci_counts_options options = {
        .row_heading = 0, .spacing = 53, .draws = 64, .stop_variation = FOCI_STOP_VARIATION_OFF};
    foci_counts_model model = {0};
    double off = 0, by_chance = 0;
    for (size_t i = 0; i < STOPS; i++) {
        s.checked[i] = FOCI_COUNTS_UNITS;
        s.hits[i] = floor(s.checked[i] * (0.5 + 0.45 * sin(0.37 * (double)i)));
    }
    assert_done(foci_counts_fit(&model, s.places, s.hits, s.checked, STOPS, &options, HOW, &err), err);
    assert_done(foci_counts_predict(&model, s.places, STOPS, NAN, &(foci_prediction){mean, variance, NULL, NULL, NULL},
                                    HOW, &err),
                err);
    assert_done(foci_counts_leave_one_out(&model, &(foci_counts_leave_one_out_result){.mean = left_out}, HOW, &err),
                err);
    for (size_t i = 0; i < STOPS; i++) {
        double share = s.hits[i] / s.checked[i], deviation = sqrt(share * (1 - share) / s.checked[i]);
        assert_near(mean[i], share, 0.1 * deviation);
        assert_near(sqrt(variance[i]), deviation, 0.01 * deviation);
        off += (left_out[i] - share) * (left_out[i] - share);
        by_chance += (0.5 - share) * (0.5 - share);
    }
    assert_true(off < 1.2 * by_chance);
    foci_counts_free(&model);
    s.checked[7] = FOCI_COUNTS_UNITS + 1;
    assert_fails(foci_counts_fit(&model, s.places, s.hits, s.checked, STOPS, &options, HOW, &err), err, FOCI_BAD_INPUT,
                 "more than a surface of counts can be made of");
    assert_int_equal(err.row, 8);
}

/* Counts that vary from stop to stop without any pattern, far beyond the binomial: the variation is found, and the
 * field is left alone where it is switched off. */
static void test_stop_variation(void **state) {
    (void)state;
    scene s = clean_field();
    foci_error err = {0};
    for (size_t i = 0; i < STOPS; i++)
        s.hits[i] = (i * 37) % STOPS < 20 ? (double)(10 + i % 9) : (double)(i % 2);
    foci_counts_options options = {.row_heading = NAN, .spacing = 53};
    foci_counts_model model = {0};
    assert_done(foci_counts_fit(&model, s.places, s.hits, s.checked, STOPS, &options, HOW, &err), err);
    assert_true(model.summary.facts.stop_variation);
    assert_true(model.summary.facts.stop_variation_ratio > 3);
    assert_true(model.summary.facts.tau.median >= 0.6);
    foci_counts_free(&model);
    options.stop_variation = FOCI_STOP_VARIATION_OFF;
    assert_done(foci_counts_fit(&model, s.places, s.hits, s.checked, STOPS, &options, HOW, &err), err);
    assert_false(model.summary.facts.stop_variation);
    assert_near(model.summary.facts.stop_variation_ratio, NAN, 0);
    assert_near(model.summary.facts.tau.high, 0, 0);
    foci_counts_free(&model);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_zero),      cmocka_unit_test(test_one_unit),    cmocka_unit_test(test_one_hot_stop),
        cmocka_unit_test(test_all_infected),  cmocka_unit_test(test_few_stops),   cmocka_unit_test(test_odd_places),
        cmocka_unit_test(test_uneven_effort), cmocka_unit_test(test_huge_counts), cmocka_unit_test(test_stop_variation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The whole counts surface: known values of the integrated model, thread independence, refusals. */
#include "estimate/fit/counts_search.h"
#include "estimate/fit/counts_choice.h"

#include "estimate/counts_cases.h"

#define SPACING 53.0
#define TENTH 0.10

static const foci_counts_options rows_north = {
    .row_heading = 0, .spacing = SPACING, .stop_variation = FOCI_STOP_VARIATION_OFF, .draws = 64};

/* The recipe's running number of a point: family, ratio, range, sigma on a grid of 2 x 5 x 8 x 8. */
static size_t small_number(const foci_levels *levels, size_t point) {
    foci_level_index index = foci_levels_index(levels, point);
    return ((index.at[FOCI_AXIS_FAMILY] * 5 + index.at[FOCI_AXIS_STRETCH]) * 8 + index.at[FOCI_AXIS_RANGE]) * 8 +
           index.at[FOCI_AXIS_SIGMA];
}

static foci_counts_search searched(const foci_observations *stops) {
    foci_error err = {0};
    foci_levels grid = foci_counts_levels(SPACING, true);
    foci_counts_search search = {0};
    static double weight[CASE_FAMILIES * FOCI_COUNTS_POINTS];
    double ratio = 0;
    assert_done(foci_counts_search_make(&search, &grid, stops, 1, false, HOW, &err), err);
    assert_done(foci_counts_choose_variation(&search, FOCI_STOP_VARIATION_OFF, weight, &ratio, HOW, &err), err);
    assert_near(ratio, NAN, 0);
    return search;
}

static void test_known_weights(void **state) {
    (void)state;
    static const double ratio[] = {.367622481, .217390527, .216700005, .140194194, .058092793};
    static const double range[] = {.011890058, .045818892, .101555948, .180264092,
                                   .246474722, .221441483, .131765349, .060789455};
    static const double sigma[] = {.001711715, .007403546, .042154197, .187293170,
                                   .378404749, .284481044, .086147419, .012404161};
    static double weight[CASE_FAMILIES * FOCI_COUNTS_POINTS];
    foci_observations stops = case_stops();
    foci_counts_search search = searched(&stops);
    double by_ratio[5] = {0}, by_range[8] = {0}, by_sigma[8] = {0}, exponential = 0;
    size_t top = 0;
    assert_near(foci_counts_search_weights(&search, weight), -26.616698529, 5e-9);
    for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++) {
        foci_level_index index = foci_levels_index(&search.levels, k);
        if (!foci_levels_has(&search.levels, index))
            continue;
        by_ratio[index.at[FOCI_AXIS_STRETCH]] += weight[k];
        by_range[index.at[FOCI_AXIS_RANGE]] += weight[k];
        by_sigma[index.at[FOCI_AXIS_SIGMA]] += weight[k];
        exponential += index.at[FOCI_AXIS_FAMILY] == 0 ? weight[k] : 0;
        top = weight[k] > weight[top] ? k : top;
    }
    assert_near(exponential, .479358091, 5e-9);
    for (size_t i = 0; i < 5; i++)
        assert_near(by_ratio[i], ratio[i], 5e-9);
    for (size_t i = 0; i < 8; i++) {
        assert_near(by_range[i], range[i], 5e-9);
        assert_near(by_sigma[i], sigma[i], 5e-9);
    }
    assert_int_equal(small_number(&search.levels, top), 356);
    assert_near(weight[top], 0.022538420, 5e-9);
    assert_near(search.points[top].found.laplace, -25.281753018, 5e-9);
    assert_near(search.points[top].found.log_z, -25.191654085, 5e-9);
    assert_near(foci_levels_log_prior(&search.levels, foci_levels_index(&search.levels, top)) +
                    search.points[top].found.log_z,
                -30.409232420, 5e-9);
    foci_counts_search_free(&search);
    foci_observations_free(&stops);
}

/* All 640 points at their own weights: mean, chance of 0.10, 5, 50 and 95 % bounds. */
static void test_known_predictions_of_all_points(void **state) {
    (void)state;
    static const double expected[CASE_PLACES][5] = {{0.136784682, 0.549086357, 0.020093229, 0.109467077, 0.349026035},
                                                    {0.047145265, 0.098710362, 0.004351481, 0.029376397, 0.144759782},
                                                    {0.078951482, 0.231554537, 0.004197285, 0.045599998, 0.270743098}};
    enum { ALL = 640 };
    static double weight[CASE_FAMILIES * FOCI_COUNTS_POINTS], used[ALL], mean[ALL * CASE_PLACES],
        deviation[ALL * CASE_PLACES];
    static foci_counts_draw draws[ALL];
    foci_observations stops = case_stops();
    foci_counts_search search = searched(&stops);
    double f[CASE_PLACES];
    size_t count = 0;
    foci_counts_search_weights(&search, weight);
    for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++) {
        foci_level_index index = foci_levels_index(&search.levels, k);
        if (!foci_levels_has(&search.levels, index))
            continue;
        used[count] = weight[k];
        draws[count++] =
            (foci_counts_draw){foci_counts_search_point(&search, index), weight[k], FOCI_PROPAGATE_BEYOND_LIMIT};
    }
    assert_int_equal(count, ALL);
    foci_counts_posterior posterior = case_posterior(&stops, draws, ALL);
    const foci_targets places = case_targets(f, &stops, case_place_u, case_place_v, CASE_PLACES);
    case_ask(mean, deviation, &posterior, &stops, draws, &places);
    for (size_t j = 0; j < CASE_PLACES; j++) {
        foci_mixture mixture = {ALL, used, mean + j * ALL, deviation + j * ALL};
        double share = 0, variance = 0;
        foci_mixture_share_moments(&mixture, &share, &variance);
        assert_near(share, expected[j][0], 2e-8);
        assert_near(foci_mixture_share_chance(&mixture, TENTH), expected[j][1], 2e-8);
        assert_near(foci_mixture_share(&mixture, 0.05), expected[j][2], 2e-8);
        assert_near(foci_mixture_share(&mixture, 0.50), expected[j][3], 2e-8);
        assert_near(foci_mixture_share(&mixture, 0.95), expected[j][4], 2e-8);
    }
    foci_counts_posterior_free(&posterior);
    foci_counts_search_free(&search);
    foci_observations_free(&stops);
}

static double no_correlation(double q, double smoothness) {
    (void)smoothness;
    return q > 0 ? NAN : 1;
}

/* Where Newton's method does not arrive a point has no weight, and the others are as without it; nowhere: no fit. */
static void test_points_without_a_mode(void **state) {
    (void)state;
    static const foci_correlation broken = {.name = "broken", .at = no_correlation};
    static double weight[2][CASE_FAMILIES * FOCI_COUNTS_POINTS];
    foci_error err = {0};
    foci_observations stops = case_stops();
    for (int with = 0; with < 2; with++) {
        foci_levels grid = foci_counts_levels(SPACING, true);
        foci_counts_search search = {0};
        foci_levels_use(&grid, FOCI_AXIS_FAMILY, with ? 2 : 1);
        grid.family[1] = (foci_correlation_family){&broken, 0, 1};
        assert_done(foci_counts_search_make(&search, &grid, &stops, 1, false, HOW, &err), err);
        foci_counts_search_want(&search);
        assert_done(foci_counts_search_run(&search, HOW, &err), err);
        assert_true(isfinite(foci_counts_search_weights(&search, weight[with])));
        foci_counts_search_free(&search);
    }
    for (size_t k = 0; k < FOCI_COUNTS_POINTS; k++) {
        assert_near(weight[1][k], weight[0][k], 1e-15);
        assert_near(weight[1][k + FOCI_COUNTS_POINTS], 0, 0);
    }
    foci_levels grid = foci_counts_levels(SPACING, true);
    foci_counts_search search = {0};
    grid.family[0] = grid.family[1] = (foci_correlation_family){&broken, 0, 1};
    assert_done(foci_counts_search_make(&search, &grid, &stops, 1, false, HOW, &err), err);
    foci_counts_search_want(&search);
    assert_fails(foci_counts_search_run(&search, HOW, &err), err, FOCI_NO_FIT, "no stable estimate");
    foci_counts_search_free(&search);
    foci_observations_free(&stops);
}

/* The 64 systematic draws: which points, how often, and what they predict. */
static void test_known_draws(void **state) {
    (void)state;
    static const size_t expected[] = {28,  35,  36,  37,  43,  44,  45,  52,  53,  61,  81,  83,  91,  92,  101, 108,
                                      117, 148, 154, 157, 164, 171, 180, 189, 213, 219, 237, 251, 292, 308, 331, 332,
                                      340, 341, 347, 348, 349, 350, 356, 357, 364, 365, 366, 419, 420, 429, 438, 452,
                                      476, 483, 484, 485, 492, 493, 503, 510, 546, 556, 558, 565, 589, 604, 619};
    enum { DIFFERENT = sizeof expected / sizeof *expected };
    static double weight[CASE_FAMILIES * FOCI_COUNTS_POINTS];
    foci_counts_draw draws[FOCI_COUNTS_DRAWS] = {0};
    foci_observations stops = case_stops();
    foci_counts_search search = searched(&stops);
    foci_counts_search_weights(&search, weight);
    size_t count = 0;
    foci_error err = {0};
    assert_done(foci_counts_draw_points(draws, &count, 64, &search, weight, &err), err);
    assert_int_equal(count, DIFFERENT);
    for (size_t i = 0; i < DIFFERENT; i++) {
        size_t found = 0;
        for (size_t k = 0; k < CASE_FAMILIES * FOCI_COUNTS_POINTS; k++) {
            foci_level_index index = foci_levels_index(&search.levels, k);
            if (!foci_levels_has(&search.levels, index) || small_number(&search.levels, k) != expected[i])
                continue;
            foci_parameters point = foci_counts_search_point(&search, index);
            for (size_t d = 0; d < count; d++)
                if (foci_parameters_same_correlations(&draws[d].point, &point) &&
                    draws[d].point.sigma[0] == point.sigma[0]) {
                    found++;
                    assert_near(draws[d].weight, (expected[i] == 356 ? 2 : 1) / 64.0, 1e-15);
                }
        }
        assert_int_equal(found, 1);
    }
    foci_counts_search_free(&search);
    foci_observations_free(&stops);
}

typedef struct {
    double mean[CASE_PLACES], variance[CASE_PLACES], low[CASE_PLACES], high[CASE_PLACES], chance[CASE_PLACES];
} told;

static told fit_and_predict(const foci_counts_options *options, foci_point shift, foci_counts_summary *summary) {
    foci_error err = {0};
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    foci_counts_model model = {0};
    told out;
    foci_prediction arrays = {out.mean, out.variance, out.low, out.high, out.chance};
    case_fill(stops, places);
    for (size_t i = 0; i < CASE_STOPS; i++)
        stops[i] = (foci_point){stops[i].x + shift.x, stops[i].y + shift.y};
    for (size_t i = 0; i < CASE_PLACES; i++)
        places[i] = (foci_point){places[i].x + shift.x, places[i].y + shift.y};
    assert_done(foci_counts_fit(&model, stops, case_hits, case_checked, CASE_STOPS, options, HOW, &err), err);
    assert_done(foci_counts_predict(&model, places, CASE_PLACES, TENTH, &arrays, HOW, &err), err);
    if (summary)
        *summary = model.summary;
    foci_counts_free(&model);
    foci_counts_free(&model);
    return out;
}

static void test_known_predictions(void **state) {
    (void)state;
    static const double expected[CASE_PLACES][4] = {{0.138003016, 0.552384840, 0.021457356, 0.349033284},
                                                    {0.046071423, 0.096786285, 0.004420671, 0.140364828},
                                                    {0.079059678, 0.233316638, 0.004118466, 0.271867373}};
    foci_counts_summary summary = {0};
    told found = fit_and_predict(&rows_north, (foci_point){0, 0}, &summary);
    for (size_t j = 0; j < CASE_PLACES; j++) {
        assert_near(found.mean[j], expected[j][0], 1e-8);
        assert_near(found.chance[j], expected[j][1], 1e-8);
        assert_near(found.low[j], expected[j][2], 1e-8);
        assert_near(found.high[j], expected[j][3], 1e-8);
        assert_true(found.variance[j] > 0 && found.variance[j] < found.mean[j] * (1 - found.mean[j]));
    }
    assert_near(summary.facts.log_likelihood, -26.616698529, 5e-9);
    assert_int_equal(summary.facts.components, 63);
    assert_int_equal(summary.stops, CASE_STOPS);
    assert_int_equal(summary.facts.fitted_on, CASE_STOPS);
    assert_near(summary.infected, 28, 0);
    assert_near(summary.checked, 365, 0);
    assert_near(summary.family_share[0], .479358091, 5e-9);
    assert_true(summary.facts.range.low < summary.facts.range.median &&
                summary.facts.range.median < summary.facts.range.high);
    /* half of sigma's weight: 0.616967377 of level 4 lies below where 0.238562628 lies before it */
    assert_near(summary.facts.sigma.median, 1.1051265625 * pow(1.45, (0.5 - 0.238562628) / 0.378404749 - 0.5), 1e-7);
    assert_near(summary.facts.ratio.median, 1 / 1.5, 0);
    assert_false(summary.facts.stop_variation || summary.range_open || summary.sigma_open);
    assert_near(summary.propagated, 0, 0);
    assert_true(summary.largest_shift > 0.1 && summary.largest_shift < 1);
    /* ranges of 25 and 40 m lie below 53 m; sigma 0.25 and 0.3625 are the two lowest levels; the priors are independent
     */
    assert_near(summary.no_pattern_before, 1 - (1 - .102658892) * (1 - .208080539), 5e-9);
    assert_true(summary.facts.no_pattern > 0.057 && summary.facts.no_pattern < 0.067);
}

static void test_threads_do_not_matter(void **state) {
    (void)state;
    foci_counts_options options = rows_north;
    options.stop_variation = FOCI_STOP_VARIATION_ON;
    told one = fit_and_predict(&options, (foci_point){0, 0}, NULL);
    for (support_threads = 2; support_threads <= 5; support_threads++) {
        told more = fit_and_predict(&options, (foci_point){0, 0}, NULL);
        assert_memory_equal(&one, &more, sizeof one);
    }
    support_threads = 1;
}

/* Coordinates in the millions, and a heading that is turned by the same angle as the field, change nothing. */
static void test_shift_and_turn(void **state) {
    (void)state;
    foci_error err = {0};
    foci_counts_options options = rows_north;
    told here = fit_and_predict(&rows_north, (foci_point){0, 0}, NULL);
    told far = fit_and_predict(&rows_north, (foci_point){5432109.5, 9876543.25}, NULL);
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    foci_counts_model model = {0};
    double mean[CASE_PLACES], angle = 38.5, east = sin(angle * acos(-1) / 180), north = cos(angle * acos(-1) / 180);
    for (size_t i = 0; i < CASE_STOPS; i++)
        stops[i] = (foci_point){case_u[i] * east + case_v[i] * north, case_u[i] * north - case_v[i] * east};
    for (size_t i = 0; i < CASE_PLACES; i++)
        places[i] = (foci_point){case_place_u[i] * east + case_place_v[i] * north,
                                 case_place_u[i] * north - case_place_v[i] * east};
    options.row_heading = angle;
    assert_done(foci_counts_fit(&model, stops, case_hits, case_checked, CASE_STOPS, &options, HOW, &err), err);
    assert_done(foci_counts_predict(&model, places, CASE_PLACES, NAN, &(foci_prediction){.estimate = mean}, HOW, &err),
                err);
    for (size_t j = 0; j < CASE_PLACES; j++) {
        assert_near(far.mean[j], here.mean[j], 1e-9);
        assert_near(far.high[j], here.high[j], 1e-9);
        assert_near(mean[j], here.mean[j], 1e-12);
    }
    foci_counts_free(&model);
}

static void test_isotropic_without_heading(void **state) {
    (void)state;
    foci_counts_options options = rows_north;
    foci_counts_summary summary = {0};
    options.row_heading = NAN;
    told found = fit_and_predict(&options, (foci_point){0, 0}, &summary);
    assert_near(summary.facts.ratio.low, 1, 0);
    assert_near(summary.facts.ratio.high, 1, 0);
    assert_true(fabs(found.mean[0] - 0.138003016) > 1e-4);
}

/* Every place is worked alone or among others, across the border of a tile, with the same result to rounding. */
static void test_places_do_not_depend_on_their_company(void **state) {
    (void)state;
    enum { MANY = 2 * FOCI_TILE + 3 };
    static foci_point many[MANY];
    static double together[MANY];
    foci_error err = {0};
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    foci_counts_model model = {0};
    case_fill(stops, places);
    for (size_t i = 0; i < MANY; i++)
        many[i] = (foci_point){0.385 * (double)i, 190 - 0.71 * (double)i};
    assert_done(foci_counts_fit(&model, stops, case_hits, case_checked, CASE_STOPS, &rows_north, HOW, &err), err);
    assert_done(foci_counts_predict(&model, many, MANY, NAN, &(foci_prediction){.high = together}, HOW, &err), err);
    for (size_t i = 0; i < MANY; i += 43) {
        double alone = 0;
        assert_done(foci_counts_predict(&model, &many[i], 1, NAN, &(foci_prediction){.high = &alone}, HOW, &err), err);
        assert_near(alone, together[i], 1e-12);
    }
    assert_done(foci_counts_predict(&model, many, 0, NAN, &(foci_prediction){0}, HOW, &err), err);
    foci_counts_free(&model);
}

static bool refuse(void *context, double share) {
    (void)share;
    ++*(int *)context;
    return false;
}

static void test_refusals(void **state) {
    (void)state;
    static const foci_point places[2] = {{0, 0}, {10, 5}}, nowhere[2] = {{0, 0}, {NAN, 5}};
    static const double three[2] = {3, 3}, ten[2] = {10, 10}, none[2] = {10, 0}, missing[2] = {3, NAN},
                        too_many[2] = {3, 11}, less[2] = {-1, 3};
    foci_error err = {0};
    foci_counts_model model = {0};
    foci_counts_options options = rows_north;
    int asked = 0;
    assert_fails(foci_counts_fit(&model, places, three, ten, 0, &options, HOW, &err), err, FOCI_BAD_INPUT, "no stop");
    assert_fails(foci_counts_fit(&model, nowhere, three, ten, 2, &options, HOW, &err), err, FOCI_BAD_INPUT, "no place");
    assert_int_equal(err.row, 2);
    assert_fails(foci_counts_fit(&model, places, three, none, 2, &options, HOW, &err), err, FOCI_BAD_INPUT,
                 "at least one");
    assert_fails(foci_counts_fit(&model, places, missing, ten, 2, &options, HOW, &err), err, FOCI_BAD_INPUT,
                 "impossible");
    assert_fails(foci_counts_fit(&model, places, too_many, ten, 2, &options, HOW, &err), err, FOCI_BAD_INPUT,
                 "11 infected");
    assert_fails(foci_counts_fit(&model, places, less, ten, 2, &options, HOW, &err), err, FOCI_BAD_INPUT, "impossible");
    assert_int_equal(err.row, 1);
    options.spacing = NAN;
    assert_fails(foci_counts_fit(&model, places, three, ten, 2, &options, HOW, &err), err, FOCI_NO_FIT, "boundary");
    options.spacing = 0;
    assert_fails(foci_counts_fit(&model, places, three, ten, 2, &options, HOW, &err), err, FOCI_NO_FIT, "boundary");
    assert_null(model.stops.along);
    options = rows_north;
    const foci_execution stopped = {.threads = 1, .progress = {.tell = refuse, .context = &asked}};
    assert_fails(foci_counts_fit(&model, places, three, ten, 2, &options, &stopped, &err), err, FOCI_STOPPED,
                 "stopped");
    assert_null(model.stops.along);
    assert_int_equal(asked, 1);
    asked = 0;
    err = (foci_error){0};
    assert_done(foci_counts_fit(&model, places, three, ten, 2, &options, HOW, &err), err);
    assert_fails(foci_counts_predict(&model, places, 2, NAN, &(foci_prediction){0}, &stopped, &err), err, FOCI_STOPPED,
                 "stopped");
    assert_int_equal(asked, 1);
    foci_counts_free(&model);
}

static bool attempt(foci_error *err) {
    static const foci_point places[3] = {{0, 0}, {50, 5}, {20, 70}};
    static const double hits[3] = {3, 0, 1}, checked[3] = {10, 10, 12};
    foci_counts_model model = {0};
    foci_counts_options options = rows_north;
    double mean[3];
    bool ok = foci_counts_fit(&model, places, hits, checked, 3, &options, HOW, err) &&
              foci_counts_predict(&model, places, 3, NAN, &(foci_prediction){.estimate = mean}, HOW, err);
    foci_counts_free(&model);
    return ok;
}

static void test_allocations(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_weights),
        cmocka_unit_test(test_known_predictions_of_all_points),
        cmocka_unit_test(test_points_without_a_mode),
        cmocka_unit_test(test_known_draws),
        cmocka_unit_test(test_known_predictions),
        cmocka_unit_test(test_threads_do_not_matter),
        cmocka_unit_test(test_shift_and_turn),
        cmocka_unit_test(test_isotropic_without_heading),
        cmocka_unit_test(test_places_do_not_depend_on_their_company),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Do the bounds hold what they promise? Fields of 60 stops are made up, each with another range, nugget share and
 * model; 200 readings of each that were not used are held against the 90 % bounds. */
#include "support/simulated_scores.h"

#include "estimate/predict/score_model.h"

enum { STOPS = 60, ASKED = 200, FIELDS = 60 };

typedef struct {
    double covered, width, log_score, bias, squares;
} marks;

static void add(marks *sum, const foci_score_model *model, const foci_point *places, const double *truth) {
    double estimate[ASKED], variance[ASKED], low[ASKED], high[ASKED];
    foci_error err = {0};
    foci_score_layers out = {.estimate = estimate, .variance = variance, .low = low, .high = high};
    assert_done(foci_score_model_at(&out, model, places, ASKED, NAN, HOW, &err), err);
    for (size_t i = 0; i < ASKED; i++) {
        sum->covered += (truth[i] >= low[i] && truth[i] <= high[i]) / (double)(ASKED * FIELDS);
        sum->width += (high[i] - low[i]) / (double)(ASKED * FIELDS);
        sum->bias += (estimate[i] - truth[i]) / (double)(ASKED * FIELDS);
        sum->squares += (estimate[i] - truth[i]) * (estimate[i] - truth[i]) / (double)(ASKED * FIELDS);
    }
}

/* Both fits to one made-up field. */
static void judge(marks *mixture, marks *plugged, uint64_t *seed, bool skewed) {
    static const char *const kinds[] = {"exponential", "matern", "spherical"};
    foci_error err = {0};
    foci_variogram truth = {
        .kind = foci_correlation_find(kinds[(int)(3 * support_uniform(seed))]), .ratio = 1, .smoothness = 1.5};
    double side = sqrt(STOPS), share = 0.6 * support_uniform(seed); /* the spacing is 1 */
    truth.nugget = share;
    truth.partial_sill = 1 - share;
    truth.range = 1;
    truth.range = 1.2 * exp(log(6) * support_uniform(seed)) / foci_variogram_practical_range(&truth);
    foci_readings all = support_simulated(&truth, 0, side, STOPS + ASKED, seed);
    for (size_t i = 0; skewed && i < all.count; i++)
        all.values[i] = exp(1.5 + 0.8 * all.values[i]);
    foci_readings stops = support_readings(all.places, all.values, STOPS);
    foci_surface_options options = {
        .scale = FOCI_SCALE_AUTO, .row_heading = NAN, .area = STOPS, .least = skewed ? 0 : -INFINITY, .most = INFINITY};
    foci_score_model model = {0}, plug = {0};
    assert_done(foci_score_model_fit(&model, &stops, NULL, &options, false, HOW, &err), err);
    foci_variogram best = model.facts.variogram;
    options.variogram = &best;
    options.scale = model.scale.transformed ? FOCI_SCALE_BOX_COX : FOCI_SCALE_NONE;
    options.lambda = model.scale.lambda;
    assert_done(foci_score_model_fit(&plug, &stops, NULL, &options, false, HOW, &err), err);
    add(mixture, &model, all.places + STOPS, all.values + STOPS);
    add(plugged, &plug, all.places + STOPS, all.values + STOPS);
    foci_score_model_free(&model);
    foci_score_model_free(&plug);
    support_readings_free(&all);
}

static void judge_all(uint64_t seed, bool skewed) {
    marks mixture = {0}, plugged = {0};
    for (int field = 0; field < FIELDS; field++)
        judge(&mixture, &plugged, &seed, skewed);
    print_message(
        "%s: coverage %.4f (parameters plugged in %.4f), width %.3f (%.3f), bias %.3f (%.3f), RMSE %.4f (%.4f)\n",
        skewed ? "skewed" : "normal", mixture.covered, plugged.covered, mixture.width, plugged.width, mixture.bias,
        plugged.bias, sqrt(mixture.squares), sqrt(plugged.squares));
    assert_true(mixture.covered >= 0.85 && mixture.covered <= 0.93);
    assert_true(mixture.squares < 1.02 * plugged.squares);
}

static void test_normal_fields(void **state) {
    (void)state;
    judge_all(20461, false);
}

static void test_skewed_fields(void **state) {
    (void)state;
    judge_all(90017, true);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_normal_fields),
        cmocka_unit_test(test_skewed_fields),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

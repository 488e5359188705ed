/* From the options to a fitted method: limits, scale, which method, and how it settles what was open. Heading and
 * area: test_method_ground.c. */
#include "run/steps/sample_method.h"

#include "run/settings/survey_options.h"

/* ---- limits ---- */

static void the_limits_of_the_stops_hold_for_the_surface(void **state) {
    (void)state;
    static const struct {
        double least, most, wanted;
    } rows[] = {{0, 0, INFINITY}, {0, 100, 100}, {1, 10, 10}, {-2.5, 40.25, 40.25}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        scene *s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw"));
        s->round.stops.least = rows[i].least;
        s->round.stops.most = rows[i].most;
        assert_done(fit(s), s->err);
        assert_near(s->round.method.least, rows[i].least, 0);
        assert_true(s->round.method.most == rows[i].wanted);
        assert_near(s->round.model.least, rows[i].least, 0);
        assert_true(s->round.model.most == rows[i].wanted);
        clear(s);
    }
}

/* ---- scale ---- */

static void scale_is_auto_for_a_map_and_none_for_an_estimate(void **state) {
    (void)state;
    static const struct {
        unsigned command;
        const char *word;
        foci_scale scale;
        double lambda;
    } rows[] = {
        {FOCI_FOR_MAP, NULL, FOCI_SCALE_AUTO, 0},
        {FOCI_FOR_ESTIMATE, NULL, FOCI_SCALE_NONE, 0},
        {FOCI_FOR_MAP, "none", FOCI_SCALE_NONE, 0},
        {FOCI_FOR_ESTIMATE, "auto", FOCI_SCALE_AUTO, 0},
        {FOCI_FOR_MAP, "box-cox=0.385", FOCI_SCALE_BOX_COX, 0.385},
        {FOCI_FOR_MAP, "box-cox=-5", FOCI_SCALE_BOX_COX, -5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *const words[] = {"--surface", "idw", rows[i].word ? "--scale" : NULL, rows[i].word, NULL};
        scene *s = make(FOCI_READING_VALUE, "score", 25, NO_WORDS);
        foci_settings_free(&s->settings);
        assert_done(read_words(s, rows[i].command, words), s->err);
        assert_done(fit(s), s->err);
        assert_int_equal(s->round.method.scale, rows[i].scale);
        assert_near(s->round.method.lambda, rows[i].lambda, 0);
        assert_int_equal(s->settings.survey.surface.scale, rows[i].scale);
        clear(s);
    }
    static const char *const wrong[] = {"root", "box-cox", "box-cox=", "box-cox=5.1", "box-cox=x", "Auto"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        scene s = {0};
        assert_fails(read_words(&s, FOCI_FOR_MAP, WORDS_OF("--scale", wrong[i])), s.err, FOCI_BAD_SETTING, "box-cox=L");
    }
}

/* ---- which method ---- */

static void assert_method(foci_reading_kind kind, size_t count, const char *const *words, const char *name) {
    scene *s = make(kind, "score", count, words);
    assert_done(fit(s), s->err);
    assert_string_equal(s->round.method.method->name, name);
    assert_ptr_equal(s->round.model.method, s->round.method.method);
    assert_string_equal(s->settings.survey.surface.method->name, name);
    assert_int_equal(s->round.warnings.count, 0);
    assert_null(s->round.method.variogram);
    clear(s);
}

static void the_readings_choose_the_method(void **state) {
    (void)state;
    static const char whole[] = "spherical,nugget=12,partial-sill=140,range=90";
    assert_method(FOCI_READING_COUNT, 25, NO_WORDS, "counts");
    assert_method(FOCI_READING_COUNT, 4, NO_WORDS, "counts");
    assert_method(FOCI_READING_VALUE, 20, NO_WORDS, "kriging");
    assert_method(FOCI_READING_VALUE, 19, NO_WORDS, "idw");
    assert_method(FOCI_READING_VALUE, 1, NO_WORDS, "idw");
    /* a variogram asks for kriging, however few or whatever they are */
    assert_method(FOCI_READING_VALUE, 6, WORDS_OF("--variogram", whole), "kriging");
    assert_method(FOCI_READING_COUNT, 6, WORDS_OF("--variogram", whole), "kriging");
    /* who names a method gets it */
    assert_method(FOCI_READING_COUNT, 25, WORDS_OF("--surface", "idw"), "idw");
    assert_method(FOCI_READING_VALUE, 6, WORDS_OF("--surface", "kriging", "--variogram", whole), "kriging");
    assert_method(FOCI_READING_VALUE, 25, WORDS_OF("--surface", "indicator", "--threshold", "20", "--variogram", whole),
                  "indicator");
    scene *s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "counts"));
    assert_fails(fit(s), s->err, FOCI_BAD_SETTING, "{hits} and {checked}");
    assert_null(s->round.model.state);
    clear(s);
}

/* Neither map nor pattern goes on where a map is refused; where it goes on they fit the same. */
static void too_few_stops_make_no_map(void **state) {
    (void)state;
    static const unsigned commands[] = {FOCI_FOR_MAP, FOCI_FOR_PATTERN};
    for (size_t i = 0; i < 2; i++)
        for (size_t count = 19; count < 21; count++) {
            scene *s = make(FOCI_READING_VALUE, "score", 20, NO_WORDS);
            foci_settings_free(&s->settings);
            put_stops(s, count, 5);
            assert_done(read_words(s, commands[i], WORDS_OF("--threshold", "12")), s->err);
            assert_done(fit(s), s->err);
            assert_true((s->round.model.method != NULL) == (count == 20));
            assert_near(s->settings.survey.surface.threshold, 12, 0);
            assert_string_equal(s->settings.survey.work_crs, "EPSG:32617");
            if (count == 20)
                assert_int_equal(s->settings.survey.surface.scale, FOCI_SCALE_AUTO);
            clear(s);
        }
}

static void a_whole_variogram_is_taken_as_it_is(void **state) {
    (void)state;
    scene *s = make(FOCI_READING_VALUE, "score", 25,
                    WORDS_OF("--variogram", "exponential,nugget=12,partial-sill=140,range=90,heading=30,ratio=0.6"));
    assert_done(fit(s), s->err);
    assert_near(s->round.model.facts.variogram.range, 90, 0);
    assert_near(s->round.model.facts.variogram.nugget, 12, 0);
    assert_near(s->round.model.facts.variogram.heading, 30, 0);
    assert_int_equal(s->round.model.facts.components, 1);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--variogram", "exponential"));
    assert_done(fit(s), s->err);
    assert_ptr_equal(s->round.method.kind, foci_correlation_find("exponential"));
    assert_true(s->round.model.facts.components > 1);
    clear(s);
    scene wrong = {0};
    assert_fails(read_words(&wrong, FOCI_FOR_MAP, WORDS_OF("--variogram", "exponentially")), wrong.err,
                 FOCI_BAD_SETTING, "exponential");
}

/* One distance class is too few for a fit by weighted squares. Where nobody named a method the map is made all the
 * same; where somebody did, it is refused. */
static void without_a_fit_inverse_distance_makes_the_map(void **state) {
    (void)state;
    scene *s =
        make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--fit", "weighted-squares", "--lag", "60", "--farthest", "60"));
    assert_done(fit(s), s->err);
    assert_string_equal(s->round.method.method->name, "idw");
    assert_string_equal(s->round.model.method->name, "idw");
    assert_string_equal(s->settings.survey.surface.method->name, "idw");
    assert_int_equal(s->round.findings.count, 1);
    assert_non_null(strstr(s->round.findings.items[0].text, "inverse distance is used"));
    assert_non_null(strstr(s->round.findings.items[0].trust, "a plain average of the stops near by"));
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25,
             WORDS_OF("--surface", "kriging", "--fit", "weighted-squares", "--lag", "60", "--farthest", "60"));
    assert_false(fit(s));
    assert_int_equal(s->err.status, FOCI_NO_FIT);
    assert_null(s->round.model.state);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25,
             WORDS_OF("--variogram", "spherical", "--fit", "weighted-squares", "--lag", "60", "--farthest", "60"));
    assert_false(fit(s));
    assert_int_equal(s->err.status, FOCI_NO_FIT);
    clear(s);
}

/* ---- the rest, and what is kept ---- */

static void neighbours_by_the_number_of_stops(void **state) {
    (void)state;
    static const struct {
        size_t stops;
        const char *word;
        size_t neighbours;
    } rows[] = {{1000, NULL, 0}, {1001, NULL, 64}, {1001, "0", 0}, {25, "7", 7}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *const words[] = {"--surface", "idw", rows[i].word ? "--neighbors" : NULL, rows[i].word, NULL};
        scene *s = make(FOCI_READING_VALUE, "score", rows[i].stops, words);
        assert_done(fit(s), s->err);
        assert_int_equal(s->round.method.neighbours, rows[i].neighbours);
        assert_int_equal(s->settings.survey.surface.neighbours, rows[i].neighbours);
        clear(s);
    }
}

static void threshold_is_the_settings_else_the_profiles(void **state) {
    (void)state;
    scene *s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw"));
    assert_done(fit(s), s->err);
    assert_near(s->round.threshold, NAN, 0);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw"));
    s->round.has_profile = true;
    s->round.profile.threshold = 12.385;
    assert_done(fit(s), s->err);
    assert_near(s->round.threshold, 12.385, 0);
    assert_near(s->settings.survey.surface.threshold, 12.385, 0);
    assert_near(s->round.model.threshold, 12.385, 0);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw", "--threshold", "7.25"));
    s->round.has_profile = true;
    s->round.profile.threshold = 12.385;
    assert_done(fit(s), s->err);
    assert_near(s->round.threshold, 7.25, 0);
    clear(s);
}

static void choices_are_handed_on(void **state) {
    (void)state;
    scene *s = make(FOCI_READING_VALUE, "score", 25,
                    WORDS_OF("--surface", "idw", "--trend", "2", "--fit", "likelihood", "--stop-variation", "off",
                             "--power", "2.385", "--lag", "30", "--farthest", "90", "--threads", "3"));
    assert_done(fit(s), s->err);
    const foci_surface_options *method = &s->round.method;
    assert_int_equal(method->trend, 2);
    assert_ptr_equal(method->fit, foci_fit_method_find("likelihood"));
    assert_int_equal(method->stop_variation, FOCI_STOP_VARIATION_OFF);
    assert_near(method->power, 2.385, 0);
    assert_near(method->lag, 30, 0);
    assert_near(method->farthest, 90, 0);
    assert_string_equal(s->settings.survey.work_crs, "EPSG:32617");
    clear(s);
    s = make(FOCI_READING_COUNT, "percent", 4, WORDS_OF("--stop-variation", "on"));
    assert_done(fit(s), s->err);
    assert_int_equal(s->round.method.stop_variation, FOCI_STOP_VARIATION_ON);
    assert_true(s->round.model.facts.stop_variation);
    assert_int_equal(s->round.method.trend, 0);
    assert_ptr_equal(s->round.method.fit, foci_fit_method_find("restricted-likelihood"));
    clear(s);
}

static const scene *spared;

/* The scene is made before, so that only the fit and its copy of the options meet the failing allocation. */
static bool attempt(foci_error *err) {
    foci_survey round = spared->round;
    foci_survey_options used = {0};
    bool ok =
        foci_survey_options_copy(&used, &spared->settings.survey, err) && foci_method_fit(&round, &used, NULL, err);
    if (ok)
        assert_string_equal(round.model.method->name, "idw");
    foci_surface_model_free(&round.model);
    foci_sentences_free(&round.warnings);
    foci_findings_free(&round.findings);
    foci_survey_options_free(&used);
    return ok;
}

/* Running out of memory is no reason to fall back. */
static void failing_allocations_are_reported(void **state) {
    (void)state;
    scene *s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw", "--row-heading", "30"));
    spared = s;
    support_fail_each_allocation(attempt);
    clear(s);
    spared = s =
        make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--fit", "weighted-squares", "--lag", "60", "--farthest", "60"));
    support_fail_each_allocation(attempt);
    clear(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_limits_of_the_stops_hold_for_the_surface),
        cmocka_unit_test(scale_is_auto_for_a_map_and_none_for_an_estimate),
        cmocka_unit_test(the_readings_choose_the_method),
        cmocka_unit_test(too_few_stops_make_no_map),
        cmocka_unit_test(a_whole_variogram_is_taken_as_it_is),
        cmocka_unit_test(without_a_fit_inverse_distance_makes_the_map),
        cmocka_unit_test(neighbours_by_the_number_of_stops),
        cmocka_unit_test(threshold_is_the_settings_else_the_profiles),
        cmocka_unit_test(choices_are_handed_on),
        cmocka_unit_test(failing_allocations_are_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* A long call says how far it is and can be stopped anywhere: it then ends as stopped, and never with another map or
 * another comparison. */
#include "run/seasons/sample_surveys.h"

typedef struct {
    size_t calls, stop_at; /* 0: never */
    double last;
    bool fell, beyond;
} listener;

static bool hear(void *context, double done) {
    listener *l = context;
    l->fell = l->fell || done < l->last;
    l->beyond = l->beyond || done > 1 + 1e-12;
    l->last = done;
    return ++l->calls != l->stop_at;
}

typedef bool (*long_call)(const char *const *words, const foci_execution *how, foci_error *err);

static bool map(const char *const *words, const foci_execution *how, foci_error *err) {
    foci_settings settings = foci_settings_make();
    foci_survey survey = {0};
    const char *first[] = {in_folder("b.csv"), "--field", in_folder("field.geojson"), "--threshold", "10"};
    const char *last[] = {"--cell", "12", "--digs", "6"};
    bool ok = foci_settings_parse(&settings, FOCI_FOR_MAP, 5, first, err) &&
              foci_settings_parse(&settings, FOCI_FOR_MAP, sample_words(words), words, err) &&
              foci_settings_parse(&settings, FOCI_FOR_MAP, 4, last, err) && run_map(&survey, &settings, how, err);
    assert_true(ok || !survey.model.method);
    foci_survey_free(&survey);
    foci_settings_free(&settings);
    return ok;
}

static bool seasons(const char *const *words, const foci_execution *how, foci_error *err) {
    foci_settings settings = seasons_settings(words);
    foci_seasons compared = {0};
    bool ok = foci_seasons_compare(&compared, &settings, how, err);
    assert_true(ok || compared.count == 0);
    foci_seasons_free(&compared);
    foci_settings_free(&settings);
    return ok;
}

/* At the first call, at some in between, at the last; with one thread they are the same each time. */
static void stop_everywhere(long_call call, const char *const *words) {
    foci_error err = {0};
    listener whole = {0};
    assert_done(call(words, &(foci_execution){.threads = 1, .progress = {.tell = hear, .context = &whole}}, &err), err);
    assert_false(whole.fell);
    assert_false(whole.beyond);
    assert_near(whole.last, 1, 0.02);
    assert_true(whole.calls >= 10);
    for (size_t i = 0; i <= 4; i++) {
        listener until = {.stop_at = i == 0 ? 1 : whole.calls * i / 4};
        assert_false(call(words, &(foci_execution){.threads = 1, .progress = {.tell = hear, .context = &until}}, &err));
        assert_int_equal(err.status, FOCI_STOPPED);
        assert_string_equal(err.text, "stopped");
        assert_int_equal(until.calls, until.stop_at);
        err = (foci_error){0};
    }
}

static void maps_of_counts(void **state) {
    (void)state;
    stop_everywhere(map, MORE("--hits", "infected", "--checked", "checked"));
}

/* Stopped while an earlier season is tried, it must not go on without that season. */
static void maps_with_an_earlier_season(void **state) {
    char earlier[512];
    (void)state;
    snprintf(earlier, sizeof earlier, "%s", in_folder("a"));
    stop_everywhere(map, MORE("--hits", "infected", "--checked", "checked", "--earlier", earlier));
}

/* Stopped while kriging is fitted, it must not become a map by inverse distance. */
static void maps_of_scores(void **state) {
    (void)state;
    stop_everywhere(map, MORE("--value", "score"));
}

static void comparisons_of_seasons(void **state) {
    (void)state;
    stop_everywhere(seasons, MORE(in_folder("a"), in_folder("b")));
}

static int begin(void **state) {
    if (sample_begin(state))
        return -1;
    map_survey("a", "a.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("b", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(maps_of_counts),
        cmocka_unit_test(maps_with_an_earlier_season),
        cmocka_unit_test(maps_of_scores),
        cmocka_unit_test(comparisons_of_seasons),
    };
    return cmocka_run_group_tests(tests, begin, sample_end);
}

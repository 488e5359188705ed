/* A map with an earlier season's survey: read back, judged, used or not, and said. */
#include "support/places.h"
#include "support/support.h"

#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "base/random.h"
#include "base/plain_file.h"
#include "data/files/json_file.h"
#include "fieldfoci/steps.h"
#include "run/steps/earlier.h"
#include "run/run_map.h"
#include "run/write_survey.h"

static char folder[] = "/tmp/foci-earlier-XXXXXX";

static const char *in_folder(const char *name) {
    static char paths[8][512];
    static int next = 0;
    next = (next + 1) % 8;
    snprintf(paths[next], sizeof paths[next], "%s/%s", folder, name);
    return paths[next];
}

static void write_field(const char *name, double east) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fprintf(file,
            "{\"type\":\"Feature\",\"properties\":{\"name\":\"Thistledown\"},\"geometry\":{\"type\":\"Polygon\","
            "\"coordinates\":[[[%.4f,31.5],[%.4f,31.5],[%.4f,31.504],[%.4f,31.504],[%.4f,31.5]]]}}",
            -84.502 + east, -84.498 + east, -84.498 + east, -84.502 + east, -84.502 + east);
    assert_int_equal(fclose(file), 0);
}

/* 7 x 7 stops, 30 plants each. Two patches, the same in every year; `garbage`: each stop clean or rotten by chance. */
static void write_stops(const char *name, const char *year, uint64_t stream, bool garbage) {
    foci_random draws = foci_random_stream(4099, stream);
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fprintf(file, "stop,lon,lat,infected,checked,severity,day\n");
    for (int i = 0; i < 49; i++) {
        double x = (i % 7 + 0.3 + 0.4 * foci_random_share(&draws)) / 7;
        double y = (i / 7 + 0.3 + 0.4 * foci_random_share(&draws)) / 7; // NOLINT(bugprone-integer-division)
        double height = 5 * exp(-20 * ((x - 0.3) * (x - 0.3) + (y - 0.7) * (y - 0.7))) +
                        5 * exp(-25 * ((x - 0.8) * (x - 0.8) + (y - 0.25) * (y - 0.25)));
        double share = garbage ? (foci_random_share(&draws) < 0.3 ? 0.8 : 0.01) : 1 / (1 + exp(3.8 - height));
        int infected = 0;
        for (int k = 0; k < 30; k++)
            infected += foci_random_share(&draws) < share;
        fprintf(file, "%d,%.6f,%.6f,%d,30,%.3f,%s-08-10\n", i + 1, -84.502 + 0.004 * x, 31.5 + 0.004 * y, infected,
                2 + height + sin(8 * x) * cos(6 * y) + 0.4 * foci_random_share(&draws), year);
    }
    assert_int_equal(fclose(file), 0);
}

#define WORDS_OF(...) ((const char *const[]){__VA_ARGS__, NULL})

/* Stops, field and further words; counts unless the words ask for --value. */
static foci_settings settings_of(const char *stops, const char *field, const char *const *words) {
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    const char *all[32] = {in_folder(stops), "--field", in_folder(field), "--when", "day",  "--threshold", "15",
                           "--cell",         "10",      "--digs",         "0",      "--id", "stop"};
    int count = 13;
    bool counts = true;
    for (const char *const *word = words; *word; word++) {
        counts = counts && strcmp(*word, "--value") != 0;
        all[count++] = *word;
    }
    static const char *const of_counts[] = {"--hits", "infected", "--checked", "checked"};
    for (int i = 0; counts && i < 4; i++)
        all[count++] = of_counts[i];
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, count, all, &err), err);
    return settings;
}

static bool map(foci_survey *out, const char *stops, const char *field, const char *const *words, foci_error *err) {
    foci_settings settings = settings_of(stops, field, words);
    bool ok = run_map(out, &settings, NULL, err);
    foci_settings_free(&settings);
    return ok;
}

static void write_survey(const char *name, const char *stops, const char *field, const char *const *words) {
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(map(&survey, stops, field, words, &err), err);
    write_survey_to_read(&survey, in_folder(name));
    foci_survey_free(&survey);
}

static int begin(void **state) {
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    setenv("SOURCE_DATE_EPOCH", "1786000000", 1);
    write_field("field.geojson", 0);
    write_field("next.geojson", 0.0008);
    write_stops("2025.csv", "2025", 1, false);
    write_stops("2026.csv", "2026", 2, false);
    write_stops("garbage.csv", "2024", 3, true);
    write_survey("before", "2025.csv", "field.geojson", WORDS_OF("--season", "2025"));
    write_survey("chance", "garbage.csv", "field.geojson", WORDS_OF("--season", "2024"));
    write_survey("beside", "2025.csv", "next.geojson", WORDS_OF("--season", "2025"));
    write_survey("scores", "2025.csv", "field.geojson", WORDS_OF("--value", "severity", "--threshold", "4"));
    write_survey("dug", "2025.csv", "field.geojson", WORDS_OF("--disease", "pod-rot-of-peanut"));
    write_survey("rust", "2025.csv", "field.geojson", WORDS_OF("--disease", "rust-of-peanut"));
    return 0;
}

static int end(void **state) {
    (void)state;
    foci_unfinished_remove(folder);
    return 0;
}

static void a_like_season_is_used_and_said(void **state) {
    (void)state;
    foci_survey survey = {0}, again = {0};
    foci_error err = {0};
    foci_json *root = NULL;
    foci_settings settings = foci_settings_make();
    assert_done(map(&survey, "2026.csv", "field.geojson", WORDS_OF("--earlier", in_folder("before")), &err), err);
    const foci_survey *round = &survey;
    const foci_earlier_facts *facts = &round->model.facts.earlier;
    assert_true(facts->used && facts->stops == 49 && facts->rho > 0.5);
    assert_string_equal(round->earlier.season, "2025");
    assert_int_equal(strlen(round->earlier.sha256), 64);
    assert_non_null(strstr(round->earlier.words, "The earlier survey (2025) was used: left-out stops were foretold"));
    assert_near(round->cross_validation.log_score, facts->log_score_with, 1e-12);
    assert_done(foci_survey_write(&survey, in_folder("after"), false, &err), err);
    assert_done(foci_json_read(&root, in_folder("after/survey.json"), FOCI_MOST_OF_SUMMARY, &err), err);
    const foci_json *told = foci_json_get(root, "earlier");
    double number = NAN;
    bool used = false;
    assert_true(foci_json_bool(foci_json_get(told, "used"), &used) && used);
    assert_string_equal(foci_json_text(foci_json_get(told, "season")), "2025");
    assert_string_equal(foci_json_text(foci_json_get(told, "text")), round->earlier.words);
    assert_true(foci_json_number(foci_json_get(told, "rho"), &number));
    assert_near(number, facts->rho, 1e-12);
    assert_true(foci_json_number(foci_json_get(told, "log_score_without"), &number));
    assert_near(number, facts->log_score_without, 1e-12);
    foci_json_free(root);
    /* the job alone makes it again */
    const char *words[] = {in_folder("2026.csv"), "--job", in_folder("after/survey.json")};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, 3, words, &err), err);
    assert_done(run_map(&again, &settings, NULL, &err), err);
    for (size_t i = 0; i < round->grid.rows * round->grid.columns; i++)
        assert_near(again.surface.estimate[i], round->surface.estimate[i], 0);
    foci_settings_free(&settings);
    foci_survey_free(&again);
    foci_survey_free(&survey);
}

static void garbage_is_not_used_and_changes_nothing(void **state) {
    (void)state;
    foci_survey tried = {0}, plain = {0};
    foci_error err = {0};
    assert_done(map(&tried, "2026.csv", "field.geojson", WORDS_OF("--earlier", in_folder("chance")), &err), err);
    assert_done(map(&plain, "2026.csv", "field.geojson", WORDS_OF("--cell", "10"), &err), err);
    assert_false(tried.model.facts.earlier.used);
    assert_non_null(strstr(tried.earlier.words, "The earlier survey (2024) was not used: left-out stops were not "
                                                "foretold better with it"));
    assert_int_equal(tried.warnings.count, plain.warnings.count);
    assert_null(plain.earlier.survey);
    assert_null(plain.earlier.words);
    for (size_t i = 0; i < plain.grid.rows * plain.grid.columns; i++) {
        assert_near(tried.surface.estimate[i], plain.surface.estimate[i], 0);
        assert_near(tried.surface.chance[i], plain.surface.chance[i], 0);
    }
    char *summary = foci_survey_summary(&plain, NULL, &err);
    assert_non_null(summary);
    assert_null(strstr(summary, "\"earlier\""));
    free(summary);
    foci_survey_free(&tried);
    foci_survey_free(&plain);
}

static void scores_too(void **state) {
    (void)state;
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(map(&survey, "2026.csv", "field.geojson",
                    WORDS_OF("--value", "severity", "--earlier", in_folder("scores"), "--threshold", "4"), &err),
                err);
    assert_string_equal(survey.model.method->name, "kriging");
    assert_true(survey.model.facts.earlier.used);
    foci_survey_free(&survey);
}

static void what_cannot_be_tried_is_a_warning(void **state) {
    (void)state;
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(
        map(&survey, "2026.csv", "field.geojson", WORDS_OF("--earlier", in_folder("before"), "--surface", "idw"), &err),
        err);
    bool said = false;
    for (size_t i = 0; i < survey.warnings.count; i++)
        said = said || strcmp(survey.warnings.items[i], "The earlier survey (2025) was not used: "
                                                        "inverse-distance weighting reads one season only.") == 0;
    assert_true(said);
    assert_true(isnan(survey.model.facts.earlier.log_score_with));
    foci_survey_free(&survey);
}

static void unlike_surveys_are_refused(void **state) {
    (void)state;
    static const struct {
        const char *survey, *stops, *option, *value, *why;
        foci_status status;
    } rows[] = {
        {"before", "2025.csv", "--cell", "10", "the very readings of this survey", FOCI_BAD_INPUT},
        {"beside", "2026.csv", "--cell", "10", "the boundaries have 66 % in common", FOCI_BAD_INPUT},
        {"scores", "2026.csv", "--cell", "10", "has scores, not counts", FOCI_BAD_INPUT},
        {"scores", "2026.csv", "--value", "infected", "'severity', not 'infected'", FOCI_BAD_INPUT},
        {"dug", "2026.csv", "--cell", "10", "is of Pod rot of peanut; the survey it is held against names no disease",
         FOCI_BAD_INPUT},
        {"before", "2026.csv", "--disease", "pod-rot-of-peanut",
         "names no disease; the survey it is held against is of Pod rot", FOCI_BAD_INPUT},
        {"rust", "2026.csv", "--disease", "rust-of-peanut", "does not live in the soil", FOCI_BAD_SETTING},
        {"nowhere", "2026.csv", "--cell", "10", "is no survey folder", FOCI_NO_FILE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_survey survey = {0};
        foci_error err = {0};
        const char *const words[] = {rows[i].option, rows[i].value, "--earlier", in_folder(rows[i].survey), NULL};
        assert_fails(map(&survey, rows[i].stops, "field.geojson", words, &err), err, rows[i].status, rows[i].why);
    }
}

static void a_reason_lets_what_flies_pass(void **state) {
    (void)state;
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(map(&survey, "2026.csv", "field.geojson",
                    WORDS_OF("--earlier", in_folder("rust"), "--disease", "rust-of-peanut", "--even-so", "a trial"),
                    &err),
                err);
    assert_non_null(survey.earlier.words);
    assert_true(survey.even_so.count == 2); /* zones, and seasons */
    foci_survey_free(&survey);
}

static void a_field_is_needed(void **state) {
    (void)state;
    foci_settings settings = foci_settings_make();
    foci_survey survey = {0};
    foci_error err = {0};
    const char *words[] = {in_folder("2026.csv"), "--hits",           "infected", "--checked", "checked",
                           "--earlier",           in_folder("before")};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_ESTIMATE, 7, words, &err), err);
    assert_fails(run_look(&survey, &settings, &err) && foci_survey_fit(&survey, HOW, &err), err, FOCI_BAD_SETTING,
                 "give {field}");
    foci_survey_free(&survey);
    foci_settings_free(&settings);
}

static foci_survey looked;
static foci_settings looked_settings;

static bool attempt(foci_error *err) {
    foci_readings readings = {0};
    foci_survey round = looked; /* what it owns stays with `looked` */
    bool ok = foci_earlier_read(&readings, &round, &looked_settings.survey, err) && foci_earlier_tell(&round, err);
    foci_readings_free(&readings);
    free(round.earlier.survey);
    free(round.earlier.season);
    free(round.earlier.words);
    return ok;
}

static void allocations_fail_cleanly(void **state) {
    (void)state;
    foci_error err = {0};
    looked_settings = settings_of("2026.csv", "field.geojson", WORDS_OF("--earlier", in_folder("before")));
    assert_done(run_look(&looked, &looked_settings, &err), err);
    support_fail_each_place(attempt);
    foci_survey_free(&looked);
    foci_settings_free(&looked_settings);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_like_season_is_used_and_said),
        cmocka_unit_test(garbage_is_not_used_and_changes_nothing),
        cmocka_unit_test(scores_too),
        cmocka_unit_test(what_cannot_be_tried_is_a_warning),
        cmocka_unit_test(unlike_surveys_are_refused),
        cmocka_unit_test(a_reason_lets_what_flies_pass),
        cmocka_unit_test(a_field_is_needed),
        cmocka_unit_test(allocations_fail_cleanly),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

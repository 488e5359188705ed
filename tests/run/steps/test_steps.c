/* The whole run on a small field, and the folder it leaves. */
#include "support/support.h"

#include <dirent.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/plain_file.h"
#include "base/unfinished.h"
#include "data/files/json_file.h"
#include "data/files/raster_file.h"
#include "data/files/vector_file.h"
#include "fieldfoci/steps.h"
#include "run/run_map.h"

static char folder[] = "/tmp/foci-survey-XXXXXX";

static const char *in_folder(const char *name) {
    static char paths[4][512];
    static int next = 0;
    next = (next + 1) % 4;
    snprintf(paths[next], sizeof paths[next], "%s/%s", folder, name);
    return paths[next];
}

static void write_file(const char *name, const char *text) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static const char field_text[] =
    "{\"type\":\"Feature\",\"properties\":{\"name\":\"Thistledown\"},\"geometry\":{\"type\":\"Polygon\","
    "\"coordinates\":[["
    "[-84.502,31.500],[-84.498,31.500],[-84.498,31.504],[-84.502,31.504],[-84.502,31.500]]]}}";

/* 5 x 5 stops; one warm corner in the south-west, in percent of 20 plants. */
static void make_stops(void) {
    FILE *file = fopen(in_folder("stops.csv"), "w");
    assert_non_null(file);
    fprintf(file, "stop,lon,lat,infected,checked,day\n");
    for (int row = 0; row < 5; row++)
        for (int column = 0; column < 5; column++) {
            int infected = row + column < 3 ? 9 - 2 * (row + column) : (row * 5 + column) % 2;
            fprintf(file, "%c%d,%.5f,%.5f,%d,20,2026-08-%02d\n", 'A' + row, column + 1, -84.5016 + 0.0008 * column,
                    31.5004 + 0.0008 * row, infected, 10 + row % 2);
        }
    assert_int_equal(fclose(file), 0);
}

static int begin(void **state) {
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    setenv("SOURCE_DATE_EPOCH", "1786000000", 1);
    write_file("field.geojson", field_text);
    make_stops();
    return 0;
}

static int end(void **state) {
    (void)state;
    foci_unfinished_remove(folder);
    return 0;
}

/* `surface` NULL: left to the program. */
static foci_settings settings_for(const char *surface) {
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    const char *words[] = {in_folder("stops.csv"),
                           "--hits",
                           "infected",
                           "--checked",
                           "checked",
                           "--id",
                           "stop",
                           "--when",
                           "day",
                           "--field",
                           in_folder("field.geojson"),
                           "--threshold",
                           "15",
                           "--cell",
                           "10",
                           "--surface",
                           surface};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, surface ? 17 : 15, words, &err), err);
    return settings;
}

static void the_warm_corner_is_found(void **state) {
    (void)state;
    foci_settings settings = settings_for("kriging");
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(run_map(&survey, &settings, NULL, &err), err);
    const foci_survey *round = &survey;
    assert_int_equal(round->readings.count, 25);
    assert_true(round->hotspots.count >= 1);
    assert_true(round->hotspots.items[0].centre.x < -84.5004 && round->hotspots.items[0].centre.y < 31.5016);
    double zones = 0;
    for (int code = 0; code < FOCI_ZONE_END; code++)
        zones += round->zones.items[code].area_ha;
    assert_near(zones / round->field.area_ha, 1, 1e-6);
    assert_string_equal(round->season, "2026");
    assert_string_equal(round->last_date, "2026-08-11");
    assert_true(round->has_cross_validation);
    foci_survey_free(&survey);
    foci_settings_free(&settings);
}

static double number_at(const foci_json *root, const char *a, const char *b, const char *c) {
    double number = NAN;
    const foci_json *value = foci_json_get(root, a);
    value = b ? foci_json_get(value, b) : value;
    value = c ? foci_json_get(value, c) : value;
    assert_true(value && foci_json_number(value, &number));
    return number;
}

static void the_folder_says_what_the_survey_holds(void **state) {
    (void)state;
    foci_settings settings = settings_for("kriging");
    foci_survey survey = {0};
    foci_error err = {0};
    foci_json *root = NULL;
    foci_grid grid = {0};
    double *layer = NULL;
    char out[512];
    snprintf(out, sizeof out, "%s", in_folder("survey"));
    assert_done(run_map(&survey, &settings, NULL, &err), err);
    assert_done(foci_survey_write(&survey, out, false, &err), err);
    assert_done(foci_json_read(&root, in_folder("survey/survey.json"), FOCI_MOST_OF_SUMMARY, &err), err);
    assert_near(number_at(root, "zones", "treat", "area_ha"), survey.zones.items[FOCI_ZONE_TREAT].area_ha, 1e-12);
    assert_near(number_at(root, "surface", "variogram", "range_m"), survey.model.facts.variogram.range, 1e-9);
    assert_near(number_at(root, "job", "threshold", NULL), 15, 0);
    assert_near(number_at(root, "job", "neighbors", NULL), 0, 0);
    assert_near(number_at(root, "stops", "used", NULL), 25, 0);
    assert_done(foci_raster_read(&grid, &layer, in_folder("survey/chance.tif"), &err), err);
    assert_int_equal(grid.columns, survey.grid.columns);
    for (size_t i = 0; i < grid.columns * grid.rows; i++)
        assert_near(layer[i], (float)survey.surface.chance[i], 0);

    /* refused, then replaced; what is not ours stays */
    assert_fails(foci_survey_write(&survey, out, false, &err), err, FOCI_NO_FILE, "{overwrite}");
    write_file("survey/notes.txt", "talk to the neighbour");
    err = (foci_error){0};
    assert_done(foci_survey_write(&survey, out, true, &err), err);
    assert_int_equal(access(in_folder("survey/notes.txt"), R_OK), 0);
    assert_int_equal(access(in_folder("survey/map.png"), R_OK), 0);

    /* a folder that is no survey is not replaced */
    assert_int_equal(mkdir(in_folder("diary"), 0777), 0);
    write_file("diary/monday.txt", "rain");
    snprintf(out, sizeof out, "%s", in_folder("diary"));
    err = (foci_error){0};
    assert_false(foci_survey_write(&survey, out, true, &err));
    assert_int_equal(err.status, FOCI_NO_FILE);
    assert_int_equal(access(in_folder("diary/monday.txt"), R_OK), 0);
    assert_int_not_equal(access(in_folder("diary/survey.json"), F_OK), 0);
    free(layer);
    foci_grid_free(&grid);
    foci_json_free(root);
    foci_survey_free(&survey);
    foci_settings_free(&settings);
}

static void a_job_makes_the_same_survey_again(void **state) {
    (void)state;
    foci_settings settings = settings_for("kriging"), again = foci_settings_make();
    foci_survey first = {0}, second = {0};
    foci_error err = {0};
    char job[512];
    snprintf(job, sizeof job, "%s", in_folder("job.json"));
    assert_done(run_map(&first, &settings, NULL, &err), err);
    char *text = foci_survey_summary(&first, NULL, &err);
    assert_non_null(text);
    write_file("job.json", text);
    const char *words[] = {in_folder("stops.csv"), "--job", job};
    assert_done(foci_settings_parse(&again, FOCI_FOR_MAP, 3, words, &err), err);
    assert_done(run_map(&second, &again, NULL, &err), err);
    char *repeated = foci_survey_summary(&second, NULL, &err);
    assert_non_null(repeated);
    assert_string_equal(repeated, text);
    free(repeated);
    free(text);
    foci_survey_free(&first);
    foci_survey_free(&second);
    foci_settings_free(&settings);
    foci_settings_free(&again);
}

/* Hits and checked are given, no method is: the counts surface, which the job then names. */
static void counts_are_the_default_for_counts(void **state) {
    (void)state;
    foci_settings settings = settings_for(NULL), again = foci_settings_make();
    foci_survey first = {0}, second = {0};
    foci_error err = {0};
    char job[512];
    snprintf(job, sizeof job, "%s", in_folder("counts_job.json"));
    assert_done(run_map(&first, &settings, HOW, &err), err);
    const foci_survey *round = &first;
    assert_string_equal(round->method.method->name, "counts");
    assert_true(round->model.facts.logit);
    assert_true(round->surface.min >= 0 && round->surface.max <= 100);
    assert_int_equal(round->surface.clamped, 0);
    assert_true(round->has_cross_validation && round->cross_validation.variance);
    assert_true(round->hotspots.count >= 1);
    assert_true(round->hotspots.items[0].centre.x < -84.5004 && round->hotspots.items[0].centre.y < 31.5016);
    char *text = foci_survey_summary(&first, NULL, &err);
    assert_non_null(text);
    assert_non_null(strstr(text, "\"surface\": \"counts\""));
    write_file("counts_job.json", text);
    const char *words[] = {in_folder("stops.csv"), "--job", job, "--threads", "3"};
    assert_done(foci_settings_parse(&again, FOCI_FOR_MAP, 5, words, &err), err);
    assert_done(run_map(&second, &again, NULL, &err), err);
    char *repeated = foci_survey_summary(&second, NULL, &err);
    assert_non_null(repeated);
    assert_string_equal(repeated, text);
    assert_memory_equal(second.surface.chance, round->surface.chance,
                        round->grid.columns * round->grid.rows * sizeof(double));
    free(repeated);
    free(text);
    foci_survey_free(&first);
    foci_survey_free(&second);
    foci_settings_free(&settings);
    foci_settings_free(&again);
}

static void what_is_missing_is_asked_for(void **state) {
    (void)state;
    foci_settings settings = settings_for("kriging");
    foci_survey survey = {0};
    foci_error err = {0};
    settings.survey.surface.threshold = NAN;
    assert_fails(run_map(&survey, &settings, NULL, &err), err, FOCI_BAD_SETTING, "0 over 5 (median)");
    assert_int_equal(survey.stops.count, 0);
    settings.survey.surface.threshold = 15;
    settings.survey.zones.dig_chance = 0.7;
    assert_fails(run_map(&survey, &settings, NULL, &err), err, FOCI_BAD_SETTING, "above {treat-chance}");
    settings.survey.zones.dig_chance = 0.2;
    free((void *)settings.survey.boundary);
    settings.survey.boundary = NULL;
    assert_fails(run_map(&survey, &settings, NULL, &err), err, FOCI_BAD_SETTING, "draw it");
    foci_settings_free(&settings);
}

static foci_settings with_disease(const char *disease, const char *even_so) {
    foci_settings settings = settings_for("kriging");
    foci_error err = {0};
    assert_done(foci_settings_set(&settings, "disease", disease, FOCI_FOR_MAP, &err), err);
    if (even_so)
        assert_done(foci_settings_set(&settings, "even-so", even_so, FOCI_FOR_MAP, &err), err);
    return settings;
}

static void what_does_not_live_in_the_soil_gets_no_zones(void **state) {
    (void)state;
    foci_settings settings = with_disease("rust-of-peanut", NULL);
    foci_survey survey = {0};
    foci_error err = {0};
    assert_done(run_map(&survey, &settings, NULL, &err), err);
    assert_false(survey.has_zones);
    assert_non_null(strstr(survey.no_zones_why, "does not live in the soil"));
    assert_int_equal(survey.hotspots.count, 0);
    assert_true(survey.surface.mean > 0);
    foci_survey_free(&survey);
    foci_settings_free(&settings);

    settings = with_disease("rust-of-peanut", "first pustules along the fence");
    assert_done(run_map(&survey, &settings, NULL, &err), err);
    assert_true(survey.has_zones);
    assert_int_equal(survey.even_so.count, 1);
    assert_non_null(strstr(survey.even_so.items[0], "first pustules along the fence"));
    foci_survey_free(&survey);
    foci_settings_free(&settings);
}

static void threads_change_nothing(void **state) {
    (void)state;
    foci_settings settings = settings_for("kriging");
    foci_survey one = {0}, two = {0};
    foci_error err = {0};
    assert_done(run_map(&one, &settings, HOW, &err), err);
    support_threads = 3;
    assert_done(run_map(&two, &settings, HOW, &err), err);
    support_threads = 1;
    size_t cells = one.grid.columns * one.grid.rows;
    assert_memory_equal(one.surface.chance, two.surface.chance, cells * sizeof(double));
    assert_memory_equal(one.surface.estimate, two.surface.estimate, cells * sizeof(double));
    foci_survey_free(&one);
    foci_survey_free(&two);
    foci_settings_free(&settings);
}

static foci_settings spared;

/* The settings are made before, so that only the run itself meets the failing allocation. */
static bool attempt(foci_error *err) {
    foci_survey survey = {0};
    bool ok = run_map(&survey, &spared, NULL, err);
    foci_survey_free(&survey);
    return ok;
}

static void failing_allocations_are_reported(void **state) {
    (void)state;
    spared = settings_for("idw");
    support_fail_each_allocation(attempt);
    foci_settings_free(&spared);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_warm_corner_is_found),
        cmocka_unit_test(the_folder_says_what_the_survey_holds),
        cmocka_unit_test(a_job_makes_the_same_survey_again),
        cmocka_unit_test(counts_are_the_default_for_counts),
        cmocka_unit_test(what_is_missing_is_asked_for),
        cmocka_unit_test(what_does_not_live_in_the_soil_gets_no_zones),
        cmocka_unit_test(threads_change_nothing),
        cmocka_unit_test(failing_allocations_are_reported),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

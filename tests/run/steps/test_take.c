/* The steps as a program of its own goes through them: from arrays in memory to zones, too early, and stopped. */
#include "support/places.h"
#include "support/support.h"

#include <unistd.h>

#include "base/unfinished.h"
#include "fieldfoci/export.h"
#include "fieldfoci/map.h"
#include "fieldfoci/steps.h"

enum { COLUMNS = 8, ROWS = 6, STOPS = COLUMNS * ROWS };

static foci_point places[STOPS];
static double infected[STOPS], checked[STOPS];
static foci_point corners[] = {{-84.5, 31.5}, {-84.496, 31.5}, {-84.496, 31.503}, {-84.5, 31.503}};
static foci_ring ring = {4, corners};
static foci_polygon polygon = {1, &ring};
static const foci_multipolygon boundary = {1, &polygon};
static const foci_stop_arrays stops = {.count = STOPS, .lonlat = places, .hits = infected, .checked = checked};
static char folder[] = "/tmp/foci-take-XXXXXX";

/* A warm corner in the south-west, invented. */
static int begin(void **state) {
    (void)state;
    for (int i = 0; i < STOPS; i++) {
        const double x = i % COLUMNS + 0.5, y = i / COLUMNS + 0.5;
        places[i] = (foci_point){-84.5 + 0.004 * x / COLUMNS, 31.5 + 0.003 * y / ROWS};
        checked[i] = 30;
        infected[i] = floor(14 * exp(-(x * x + y * y) / 8) + i * 7 % 3);
    }
    return mkdtemp(folder) ? 0 : -1;
}

static int end(void **state) {
    (void)state;
    foci_unfinished_remove(folder);
    return 0;
}

static const char *in_folder(const char *name) {
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static foci_survey_options options_made(void) {
    foci_survey_options options = foci_survey_options_make();
    options.surface.threshold = 15;
    options.surface.method = foci_surface_method_find("kriging");
    options.cell = 10;
    options.digs.count = 3;
    return options;
}

static void arrays_come_to_zones(void **state) {
    (void)state;
    foci_survey_options options = options_made();
    foci_survey survey = {0}, again = {0};
    foci_error err = {0};
    assert_done(foci_survey_take(&survey, &options, &stops, "North Forty", &boundary, &err), err);
    assert_done(foci_survey_check(&survey, &err), err);
    assert_int_equal(survey.readings.count, STOPS);
    assert_done(foci_survey_fit(&survey, NULL, &err), err);
    assert_done(foci_survey_estimate(&survey, NULL, &err), err);
    assert_done(foci_survey_decide(&survey, NULL, &err), err);
    assert_int_equal(survey.stage, FOCI_STAGE_DECIDED);
    assert_true(survey.hotspots.count >= 1);
    assert_true(survey.hotspots.items[0].centre.x < -84.498 && survey.hotspots.items[0].centre.y < 31.5015);
    double zones = 0;
    for (int code = 0; code < FOCI_ZONE_END; code++)
        zones += survey.zones.items[code].area_ha;
    assert_near(zones / survey.field.area_ha, 1, 1e-6);
    /* as asked, and as settled */
    assert_true(isnan(survey.options.zones.dig_chance));
    assert_near(survey.used.zones.dig_chance, 0.2, 0);
    assert_null(survey.options.work_crs);
    assert_string_equal(survey.used.work_crs, "EPSG:32616");
    assert_int_equal(survey.used.surface.neighbours, 0);
    /* what is written is read back and mapped to the same, but for the digits that degrees are written with */
    assert_done(foci_survey_write(&survey, in_folder("survey"), false, &err), err);
    assert_done(foci_survey_recall(&again, in_folder("survey"), &err), err);
    assert_done(foci_survey_map(&again, NULL, &err), err);
    assert_int_equal(again.grid.cells, survey.grid.cells);
    for (size_t i = 0; i < survey.grid.columns * survey.grid.rows; i++)
        assert_near(again.surface.estimate[i], survey.surface.estimate[i], 1e-6);
    foci_survey_free(&again);
    foci_survey_free(&survey);
}

/* Each step says which one it waits for, and nothing is written before all are done. */
static void too_early_names_the_missing_step(void **state) {
    (void)state;
    const foci_survey_options options = options_made();
    foci_survey survey = {0};
    foci_error err = {0};
    assert_fails(foci_survey_check(&survey, &err), err, FOCI_TOO_EARLY, "foci_survey_read or foci_survey_take");
    assert_done((err = (foci_error){0}, foci_survey_take(&survey, &options, &stops, NULL, &boundary, &err)), err);
    assert_fails(foci_survey_fit(&survey, NULL, &err), err, FOCI_TOO_EARLY, "call foci_survey_check");
    assert_fails(foci_survey_map(&survey, NULL, &err), err, FOCI_TOO_EARLY, "call foci_survey_check");
    assert_done((err = (foci_error){0}, foci_survey_check(&survey, &err)), err);
    assert_fails(foci_survey_estimate(&survey, NULL, &err), err, FOCI_TOO_EARLY, "call foci_survey_fit");
    assert_done((err = (foci_error){0}, foci_survey_fit(&survey, NULL, &err)), err);
    assert_fails(foci_survey_decide(&survey, NULL, &err), err, FOCI_TOO_EARLY, "call foci_survey_estimate");
    assert_fails(foci_survey_write(&survey, in_folder("early"), false, &err), err, FOCI_TOO_EARLY,
                 "foci_survey_estimate");
    assert_fails(foci_map_write_png(&survey, in_folder("early.png"), &err), err, FOCI_TOO_EARLY,
                 "foci_survey_estimate");
    assert_done((err = (foci_error){0}, foci_survey_estimate(&survey, NULL, &err)), err);
    for (const foci_export *row = foci_export_table; row->file; row++)
        assert_fails(row->write(&survey, in_folder("early"), &err), err, FOCI_TOO_EARLY, "call foci_survey_decide");
    assert_null(foci_survey_summary(&survey, NULL, &err));
    assert_int_not_equal(access(in_folder("early"), F_OK), 0);
    assert_done((err = (foci_error){0}, foci_survey_decide(&survey, NULL, &err)), err);
    assert_fails(foci_survey_fit(&survey, NULL, &err), err, FOCI_BAD_SETTING, "done already");
    foci_survey_free(&survey);
}

static void what_cannot_be_meant_is_refused(void **state) {
    (void)state;
    foci_survey_options options = options_made();
    foci_stop_arrays wrong = stops;
    foci_survey survey = {0};
    foci_error err = {0};
    const foci_survey_options nothing = {0};
    assert_fails(foci_survey_take(&survey, &nothing, &stops, NULL, &boundary, &err), err, FOCI_BAD_SETTING,
                 "foci_survey_options_make");
    wrong.values = infected;
    assert_fails(foci_survey_take(&survey, &options, &wrong, NULL, &boundary, &err), err, FOCI_BAD_SETTING,
                 "one kind of reading");
    wrong = stops;
    wrong.count = 0;
    assert_fails(foci_survey_take(&survey, &options, &wrong, NULL, &boundary, &err), err, FOCI_BAD_INPUT, "give some");
    wrong = stops;
    const char *dates[STOPS] = {"2026-08-01", "in August"};
    wrong.dates = dates;
    assert_fails(foci_survey_take(&survey, &options, &wrong, NULL, &boundary, &err), err, FOCI_BAD_INPUT, "in August");
    assert_int_equal(survey.stage, FOCI_STAGE_EMPTY);
    /* without a boundary there is no map, without a threshold nothing to decide by */
    assert_done((err = (foci_error){0}, foci_survey_take(&survey, &options, &stops, NULL, NULL, &err)), err);
    assert_done(foci_survey_check(&survey, &err), err);
    assert_fails(foci_survey_map(&survey, NULL, &err), err, FOCI_BAD_SETTING, "boundary is needed");
    foci_survey_free(&survey);
    options.surface.threshold = NAN;
    assert_done((err = (foci_error){0}, foci_survey_take(&survey, &options, &stops, NULL, &boundary, &err)), err);
    assert_done(foci_survey_check(&survey, &err), err);
    assert_fails(foci_survey_map(&survey, NULL, &err), err, FOCI_BAD_SETTING, "threshold is needed");
    foci_survey_free(&survey);
}

/* As those of a file: the data checks leave them out and say why. */
static void impossible_stops_are_left_out(void **state) {
    (void)state;
    const foci_survey_options options = options_made();
    double wrong[STOPS], none[STOPS];
    foci_stop_arrays some = stops;
    foci_survey survey = {0};
    foci_error err = {0};
    memcpy(wrong, infected, sizeof wrong);
    memcpy(none, checked, sizeof none);
    wrong[3] = 31; /* of 30 */
    none[7] = 0;
    none[9] = NAN;
    some.hits = wrong;
    some.checked = none;
    assert_done(foci_survey_take(&survey, &options, &some, NULL, &boundary, &err), err);
    assert_done(foci_survey_check(&survey, &err), err);
    assert_int_equal(survey.readings.count, STOPS - 3);
    static const size_t out[] = {3, 7, 9};
    for (size_t i = 0; i < 3; i++)
        assert_true(!survey.stops.items[out[i]].used && *survey.stops.items[out[i]].why);
    foci_survey_free(&survey);
}

/* ---- stopped by the caller ---- */

typedef struct {
    double at, heard;
} patience;

static bool tell(void *context, double done) {
    patience *p = context;
    assert_true(done >= p->heard && done <= 1);
    p->heard = done;
    return done < p->at;
}

static void the_caller_may_stop(void **state) {
    (void)state;
    static const double points[] = {0, 0.2, 0.6, 0.95};
    const foci_survey_options options = options_made();
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        patience p = {.at = points[i]};
        const foci_execution how = {.threads = 1, .progress = {tell, &p}};
        foci_survey survey = {0};
        foci_error err = {0};
        assert_done(foci_survey_take(&survey, &options, &stops, NULL, &boundary, &err), err);
        assert_done(foci_survey_check(&survey, &err), err);
        assert_false(foci_survey_map(&survey, &how, &err));
        assert_int_equal(err.status, FOCI_STOPPED);
        assert_true(p.heard >= points[i]);
        assert_true(survey.stage < FOCI_STAGE_DECIDED);
        foci_survey_free(&survey);
    }
}

static bool attempt(foci_error *err) {
    const foci_survey_options options = options_made();
    foci_survey survey = {0};
    bool ok =
        foci_survey_take(&survey, &options, &stops, "North Forty", &boundary, err) && foci_survey_check(&survey, err);
    foci_survey_free(&survey);
    return ok;
}

static void failing_allocations_are_reported(void **state) {
    (void)state;
    support_fail_each_place(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arrays_come_to_zones),
        cmocka_unit_test(too_early_names_the_missing_step),
        cmocka_unit_test(what_cannot_be_meant_is_refused),
        cmocka_unit_test(impossible_stops_are_left_out),
        cmocka_unit_test(the_caller_may_stop),
        cmocka_unit_test(failing_allocations_are_reported),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

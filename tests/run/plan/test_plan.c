/* Planning from words to forms: numbers, what is refused, and the form that comes back. */
#include "fieldfoci/planning.h"

#include <math.h>

#include "data/files/vector_file.h"
#include "fieldfoci/plan_form.h"
#include "fieldfoci/steps.h"
#include "fieldfoci/summary.h"
#include "run/run_map.h"
#include "run/write_survey.h"
#include "support/scratch.h"

enum { WORDS_MOST = 24, OF_THE_MAP = 99, USED = 97 };

/* The demo's field, and these words behind it. */
static bool plan_with(foci_plan *out, const char *const *words, foci_error *err) {
    foci_settings settings = foci_settings_make();
    const char *all[WORDS_MOST];
    int count = 0;
    while (words[count]) {
        all[count] = words[count];
        count++;
    }
    const bool ok =
        foci_settings_parse(&settings, FOCI_FOR_PLAN, count, all, err) && foci_plan_make(out, &settings, HOW, err);
    foci_settings_free(&settings);
    return ok;
}

#define WITH(...) ((const char *const[]){__VA_ARGS__, NULL})

static char field_file[512];
static char survey_folder[64 + 512];

static int begin(void **state) {
    if (scratch_open(state))
        return -1;
    snprintf(field_file, sizeof field_file, "%s", support_testdata("demo/field.geojson"));
    snprintf(survey_folder, sizeof survey_folder, "%s", scratch_path("survey"));
    foci_settings settings = foci_settings_make();
    foci_survey survey = {0};
    foci_error err = {0};
    char stops[512];
    snprintf(stops, sizeof stops, "%s", support_testdata("demo/stops-2026.csv"));
    const char *words[] = {stops,  "--field", field_file, "--hits", "infected", "--checked", "checked",
                           "--id", "stop",    "--when",   "date",   "--season", "2026",      "--threshold",
                           "10",   "--digs",  "7",        "--cell", "10"};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, (int)(sizeof words / sizeof *words), words, &err), err);
    assert_done(run_map(&survey, &settings, HOW, &err), err);
    write_survey_to_read(&survey, survey_folder);
    foci_survey_free(&survey);
    foci_settings_free(&settings);
    return 0;
}

/* 40.909 stops for CV 0.2 at p 0.10, n 10, theta 0.1 (docs/plan.md): 41. */
static void as_many_as_the_mean_needs(void **state) {
    (void)state;
    foci_plan plan = {0};
    foci_error err = {0};
    assert_done(plan_with(&plan,
                          WITH("--field", field_file, "--for-mean", "0.2", "--expect", "10", "--checked", "10",
                               "--aggregation", "0.1"),
                          &err),
                err);
    assert_int_equal(plan.layout.count, 41);
    assert_near(plan.precision.cv, 0.2 * sqrt(40.909 / 41), 1e-5);
    assert_near(plan.precision.half_width, 1.6448536 * 10 * plan.precision.cv, 1e-6);
    assert_true(plan.reading.units_stated);
    assert_string_equal(plan.names[0], "S01");
    foci_plan_free(&plan);
}

/* One fewer does not find it with that chance; what the plan says of itself is what was asked. */
static void as_many_as_the_patch_needs(void **state) {
    (void)state;
    foci_plan plan = {0}, fewer = {0};
    foci_error err = {0};
    char stops[24];
    assert_done(plan_with(&plan,
                          WITH("--field", field_file, "--for-patch", "1.5ac", "--chance", "0.7", "--threshold", "10"),
                          &err),
                err);
    assert_true(plan.detection.chance >= 0.7);
    assert_near(plan.detection.share, 30, 0);
    assert_near(plan.detection.patch_ha, 1.5 * 0.40468564224, 1e-12);
    snprintf(stops, sizeof stops, "%zu", plan.layout.count - 1);
    assert_done(plan_with(&fewer,
                          WITH("--field", field_file, "--for-patch", "1.5ac", "--chance", "0.7", "--threshold", "10",
                               "--stops", stops),
                          &err),
                err);
    assert_true(fewer.detection.chance < 0.7);
    foci_plan_free(&plan);
    foci_plan_free(&fewer);
}

static void what_cannot_be_meant_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *words[10];
        const char *key, *said;
    } rows[] = {
        {{"--stops", "20"}, "field", "boundary"},
        {{"--field", field_file}, "stops", "how many"},
        {{"--field", field_file, "--stops", "20", "--for-mean", "0.2"}, "for-mean", "two answers"},
        {{"--field", field_file, "--for-patch", "1ac", "--for-mean", "0.2"}, "for-mean", "two answers"},
        {{"--field", field_file, "--stops", "0"}, "stops", "at least 1"},
        {{"--field", field_file, "--stops", "20", "--pattern", "again"}, "pattern", "--earlier"},
        {{"--field", field_file, "--stops", "20", "--margin", "900m"}, "margin", "from all edges"},
        {{"--field", field_file, "--stops", "20", "--gate", "42.97,-39.34"}, "gate", "within 10 km"},
        {{"--field", field_file, "--stops", "20", "--hits", "lat"}, "hits", "another column"},
        {{"--field", field_file, "--stops", "20", "--checked", "2.5"}, "checked", "no number of units"},
        {{"--field", field_file, "--for-patch", "900ac"}, "for-patch", "larger than the field"},
        {{"--field", field_file, "--for-mean", "0.001"}, "for-mean", "would take"},
        {{"--digs", survey_folder, "--stops", "20"}, "digs", "leave"},
        {{"--field", field_file, "stops.csv", "--stops", "20"}, "", "reads no stops"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_plan plan = {0};
        foci_error err = {0};
        char line[1024];
        assert_false(plan_with(&plan, rows[i].words, &err));
        assert_int_equal(err.status, FOCI_BAD_SETTING);
        assert_string_equal(err.key, rows[i].key);
        foci_error_line_marked(&err, "--", line, sizeof line);
        if (!strstr(line, rows[i].said))
            fail_msg("'%s' does not say '%s'", line, rows[i].said);
    }
}

/* Types a reading into each row of a form, as a person would: hits by the longitude. */
static void fill_form(const char *form, const char *filled) {
    char line[512], name[64];
    double lon = 0, lat = 0;
    FILE *from = fopen(form, "r"), *to = fopen(filled, "w");
    assert_non_null(from);
    assert_non_null(to);
    assert_non_null(fgets(line, sizeof line, from));
    assert_string_equal(line, "lon,lat,stop,infected,checked,date,note,plan\n");
    fputs(line, to);
    while (fgets(line, sizeof line, from)) {
        assert_int_equal(sscanf(line, "%lf,%lf,%63[^,]", &lon, &lat, name), 3);
        assert_non_null(strstr(line, ",,,,,"));
        fprintf(to, "%.9f,%.9f,%s,%d,30,2026-08-20,,\n", lon, lat, name, (int)floor(fmod(fabs(lon) * 1e5, 9)));
    }
    assert_int_equal(fclose(to), 0);
    fclose(from);
}

/* The form is read as it is, alone and beside the stops of the map that its dig-checks come from. */
static void a_filled_form_is_read(void **state) {
    (void)state;
    static const struct {
        const char *name, *option;
        size_t stops;
    } forms[] = {{"digs", "--digs", 7}, {"gaps", "--earlier", 25}};
    for (size_t i = 0; i < 2; i++) {
        foci_plan plan = {0};
        foci_survey survey = {0};
        foci_settings settings = foci_settings_make();
        foci_error err = {0};
        char form[400], filled[400], stops[512];
        snprintf(form, sizeof form, "%s.csv", scratch_path(forms[i].name));
        snprintf(filled, sizeof filled, "%s-filled.csv", scratch_path(forms[i].name));
        snprintf(stops, sizeof stops, "%s", support_testdata("demo/stops-2026.csv"));
        if (i == 0)
            assert_done(plan_with(&plan, WITH("--digs", survey_folder), &err), err);
        else
            assert_done(
                plan_with(&plan,
                          WITH("--earlier", survey_folder, "--pattern", "gaps", "--stops", "25", "--season", "2026"),
                          &err),
                err);
        assert_done(foci_plan_write(&plan, form, false, &err), err);
        fill_form(form, filled);
        const char *words[] = {stops,       filled,    "--field", field_file, "--hits", "infected",
                               "--checked", "checked", "--id",    "stop",     "--when", "date"};
        assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, (int)(sizeof words / sizeof *words), words, &err),
                    err);
        assert_done(run_look(&survey, &settings, &err), err);
        assert_int_equal(survey.stops.count, OF_THE_MAP + forms[i].stops);
        size_t used = 0;
        for (size_t k = OF_THE_MAP; k < survey.stops.count; k++)
            used += survey.stops.items[k].used || survey.stops.items[k].pooled_into != FOCI_NOT_POOLED;
        assert_int_equal(used, forms[i].stops);
        assert_string_equal(survey.stops.items[OF_THE_MAP].name, i == 0 ? plan.names[0] : "S01");
        foci_survey_free(&survey);
        foci_settings_free(&settings);
        foci_plan_free(&plan);
    }
}

/* The names and the order of the map; a planned stop of this season counts what is there. */
static void surveys_are_gone_by(void **state) {
    (void)state;
    foci_plan digs = {0}, now = {0}, later = {0}, again = {0};
    foci_error err = {0};
    assert_done(plan_with(&digs, WITH("--digs", survey_folder), &err), err);
    assert_int_equal(digs.layout.count, 7);
    for (size_t i = 0; i < 7; i++) {
        char begins[8];
        snprintf(begins, sizeof begins, "D%02zu-", i + 1);
        assert_memory_equal(digs.names[i], begins, 4);
    }
    assert_done(plan_with(&now,
                          WITH("--earlier", survey_folder, "--pattern", "gaps", "--stops", "20", "--season", "2026"),
                          &err),
                err);
    assert_int_equal(now.layout.there, USED);
    assert_true(now.layout.after < now.layout.variance);
    assert_done(plan_with(&later,
                          WITH("--earlier", survey_folder, "--pattern", "gaps", "--stops", "20", "--season", "2027"),
                          &err),
                err);
    assert_int_equal(later.layout.there, 0);
    assert_true(later.layout.variance > now.layout.variance); /* a season of which nothing was read */
    assert_done(plan_with(&again,
                          WITH("--earlier", survey_folder, "--pattern", "again", "--stops", "0", "--season", "2027"),
                          &err),
                err);
    assert_int_equal(again.layout.count, USED);
    size_t named = 0;
    for (size_t i = 0; i < USED; i++)
        named += strncmp(again.notes[i], "again ", 6) == 0;
    assert_int_equal(named, USED);
    assert_string_equal(again.reading.hits, "infected"); /* as the survey's columns were called */
    foci_plan_free(&digs);
    foci_plan_free(&now);
    foci_plan_free(&later);
    foci_plan_free(&again);
}

/* A plan as the desk asks for it; what stands on the command line wins. */
static void a_job_is_a_plan(void **state) {
    (void)state;
    foci_plan plan = {0};
    foci_error err = {0};
    char job[400];
    snprintf(job, sizeof job, "%s",
             scratch_write("job.json", "{\"job\": {\"stops\": 12, \"pattern\": \"gaps\", \"earlier\": [\"survey\"], "
                                       "\"season\": \"2027\", \"seed\": 3}}"));
    assert_done(plan_with(&plan, WITH("--job", job, "--stops", "9"), &err), err);
    assert_int_equal(plan.layout.count, 9);
    assert_string_equal(plan.pattern->name, "gaps");
    assert_near(plan.rho, 0.5, 0);
    foci_plan_free(&plan);
}

static void check_table(const char *file, const foci_plan *plan) {
    foci_table table = {0};
    foci_error err = {0};
    assert_done(foci_table_read(&table, file, NULL, &err), err);
    assert_int_equal(table.row_count, plan->layout.count);
    for (size_t i = 0; i < table.row_count; i++) {
        const long name = foci_table_column(&table, strstr(file, ".gpx") ? "name" : "stop");
        assert_true(name >= 0);
        assert_string_equal(table.cells[i * table.column_count + (size_t)name].text, plan->names[i]);
        if (table.shapes[i].kind == FOCI_SHAPE_POINT) {
            assert_near(table.shapes[i].point.x, plan->layout.items[i].lonlat.x, 1e-8);
            assert_near(table.shapes[i].point.y, plan->layout.items[i].lonlat.y, 1e-8);
        }
    }
    foci_table_free(&table);
}

/* All forms hold the same stops in the same order; a PDF has the walk, two pages to write on, and one to read. */
static void forms_hold_the_same_stops(void **state) {
    (void)state;
    foci_plan plan = {0};
    foci_error err = {0};
    assert_done(plan_with(&plan,
                          WITH("--field", field_file, "--stops", "75", "--disease", "southern-stem-rot-of-peanut",
                               "--gate", "-39.3420,42.9735", "--row-heading", "12"),
                          &err),
                err);
    assert_string_equal(plan.reading.hits, "hits");
    assert_string_equal(plan.reading.checked, "sections");
    assert_true(plan.layout.at_gate);
    for (const foci_plan_form *form = foci_plan_forms; form->ending; form++) {
        char file[420];
        snprintf(file, sizeof file, "%s%s", scratch_path("form"), form->ending);
        assert_done(foci_plan_write(&plan, file, false, &err), err);
        assert_fails(foci_plan_write(&plan, file, false, &err), err, FOCI_NO_FILE, "{overwrite}");
        err = (foci_error){0};
        if (strcmp(form->ending, ".pdf") != 0) {
            check_table(file, &plan);
            continue;
        }
        char start[6] = "";
        FILE *pdf = fopen(file, "rb");
        assert_int_equal(fread(start, 1, 5, pdf), 5);
        assert_string_equal(start, "%PDF-");
        fclose(pdf);
    }
    assert_fails(foci_plan_write(&plan, "walk.txt", false, &err), err, FOCI_BAD_SETTING, ".gpx or .pdf");
    err = (foci_error){0};
    char *summary = foci_plan_summary(&plan, &err);
    assert_non_null(summary);
    assert_non_null(strstr(summary, "\"stops\": 75"));
    free(summary);
    foci_plan_free(&plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_many_as_the_mean_needs),
        cmocka_unit_test(as_many_as_the_patch_needs),
        cmocka_unit_test(what_cannot_be_meant_is_refused),
        cmocka_unit_test(a_filled_form_is_read),
        cmocka_unit_test(surveys_are_gone_by),
        cmocka_unit_test(a_job_is_a_plan),
        cmocka_unit_test(forms_hold_the_same_stops),
    };
    return cmocka_run_group_tests(tests, begin, scratch_close);
}

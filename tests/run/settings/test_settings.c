/* The table of settings: parser, ranges, units, job. */
#include "support/support.h"

#include <unistd.h>

#include "data/files/json_file.h"
#include "fieldfoci/paper.h"
#include "fieldfoci/settings.h"
#include "run/settings/job.h"
#include "keep/job_files.h"
#include "run/settings/kinds.h"
#include "run/settings/survey_options.h"

static void defaults_are_within_their_own_range(void **state) {
    (void)state;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        foci_settings settings = foci_settings_make();
        foci_error err = {0};
        assert_true(row->commands != 0);
        assert_true(strlen(row->help) > 10);
        assert_true((row->metavar == NULL) == (row->kind->is_flag));
        if (row->standard)
            assert_done(foci_settings_set(&settings, row->name, row->standard, 0, &err), err);
        foci_settings_free(&settings);
    }
}

/* A printed value is read back as the same one; what the help calls the default is what holds where nothing is said. */
static void every_kind_is_read_and_printed(void **state) {
    (void)state;
    static const struct {
        const char *name, *text, *printed;
    } rows[] = {{"value", "score", "score"},
                {"to", "2026-08-01", "2026-08-01"},
                {"threshold", "2.385", "2.385"},
                {"neighbors", "0", "0"},
                {"cell", "40ft", "12.192"},
                {"least-area", "0", "0"},
                {"cost", "38.5/ha", "38.5"},
                {"gate", "-84.5012, 31.5003", "-84.5012,31.5003"},
                {"limits", "-2.5,40.25", "-2.5,40.25"},
                {"trend", "2", "2"},
                {"stop-variation", "off", "off"},
                {"surface", "idw", "idw"},
                {"fit", "likelihood", "likelihood"},
                {"paper", "a4", "a4"},
                {"scale", "auto", "auto"},
                {"scale", "box-cox=0.385", "box-cox=0.385"},
                {"variogram", "matern", "matern"},
                {"variogram", "matern,smoothness=2.5", "matern,smoothness=2.5"},
                {"variogram", "spherical,range=95.25,nugget=1.2,partial-sill=149,ratio=0.45,heading=6",
                 "spherical,nugget=1.2,partial-sill=149,range=95.25,heading=6,ratio=0.45"},
                {"unit", "gal/ac", "gal/ac"},
                {"form", "geojson", "geojson"},
                {"form", "geojson,taskdata,geojson", "geojson,taskdata"},
                {"only", "2024", "2024"},
                {"pattern", "gaps", "gaps"},
                {"quiet", NULL, ""}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_settings settings = foci_settings_make();
        foci_error err = {0};
        const foci_setting *row = foci_setting_find(rows[i].name, 0);
        char *printed = NULL, *again = NULL;
        assert_done(foci_settings_set(&settings, rows[i].name, rows[i].text, 0, &err), err);
        assert_done(row->kind->print(&printed, (char *)&settings + row->where, row, &err), err);
        assert_string_equal(printed, rows[i].printed);
        foci_settings_free(&settings);
        settings = foci_settings_make();
        assert_done(foci_settings_set(&settings, rows[i].name, row->kind->is_flag ? NULL : printed, 0, &err), err);
        assert_done(row->kind->print(&again, (char *)&settings + row->where, row, &err), err);
        assert_string_equal(again, printed);
        free(printed);
        free(again);
        foci_settings_free(&settings);
    }
}

static void what_help_calls_the_default_holds(void **state) {
    (void)state;
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    size_t left_to_the_steps = 0;
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        char *printed = NULL;
        assert_done(row->kind->print(&printed, (char *)&settings + row->where, row, &err), err);
        if (row->standard && printed)
            assert_string_equal(printed, row->standard);
        else if (row->standard)
            left_to_the_steps++; /* dig-chance, pattern, layout and standard */
        else
            assert_null(printed);
        free(printed);
    }
    assert_int_equal(left_to_the_steps, 4);
    foci_settings_free(&settings);
}

static void what_a_job_keeps_is_the_surveys(void **state) {
    (void)state;
    const foci_survey_options options = foci_survey_options_make();
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->in_job)
            assert_non_null(foci_survey_options_at(&options, row));
    /* and what is a text there has a copy of its own in a survey's */
    foci_survey_options texts = options, copy = {0};
    foci_error err = {0};
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->kind->free && foci_survey_options_at(&texts, row))
            *(const char **)((char *)&texts + (row->where - offsetof(foci_settings, survey))) = row->name;
    assert_done(foci_survey_options_copy(&copy, &texts, &err), err);
    for (const foci_setting *row = foci_setting_table; row->name; row++)
        if (row->kind->free && foci_survey_options_at(&copy, row)) {
            const char *text = *(const char *const *)foci_survey_options_at(&copy, row);
            assert_ptr_not_equal(text, row->name);
            assert_string_equal(text, row->name);
        }
    foci_survey_options_free(&copy);
    assert_null(foci_survey_options_at(&options, foci_setting_find("out", 0)));
    assert_null(foci_survey_options_at(&options, foci_setting_find("treat", 0)));
}

static void lengths_and_areas_take_units(void **state) {
    (void)state;
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    static const struct {
        const char *text;
        double metres;
    } lengths[] = {{"12", 12}, {"12.5m", 12.5}, {"40ft", 12.192}, {"40FT", 12.192}, {"0.25km", 250}, {"7 ft", 2.1336}};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        assert_done(foci_settings_set(&settings, "cell", lengths[i].text, 0, &err), err);
        assert_near(settings.survey.cell, lengths[i].metres, 1e-12);
    }
    /* 1 acre = 0.40468564224 ha: international foot, 43,560 square feet */
    assert_done(foci_settings_set(&settings, "least-area", "2.385ac", 0, &err), err);
    assert_near(settings.survey.hotspots.least_area_ha, 0.96517525674, 1e-10);
    assert_done(foci_settings_set(&settings, "least-area", "350m2", 0, &err), err);
    assert_near(settings.survey.hotspots.least_area_ha, 0.035, 1e-15);
    assert_done(foci_settings_set(&settings, "cost", "40/ac", 0, &err), err); /* 40 / 0.40468564224 */
    assert_near(settings.survey.economics.cost, 98.842152586866, 1e-9);
    assert_done(foci_settings_set(&settings, "loss", "40/ha", 0, &err), err);
    assert_near(settings.survey.economics.loss, 40, 0);
    assert_fails(foci_settings_set(&settings, "cost", "40ac", 0, &err), err, FOCI_BAD_SETTING, "as in 40/ac");
    assert_fails(foci_settings_set(&settings, "cell", "12ha", 0, &err), err, FOCI_BAD_SETTING, "not a number");
    foci_settings_free(&settings);
}

static void wrong_values_are_refused(void **state) {
    (void)state;
    static const struct {
        const char *name, *text, *words;
    } wrong[] = {
        {"cell", "0", "must be above 0"},
        {"cell", "-2", "must be above 0"},
        {"threshold", "-1", "must be at least 0"},
        {"threshold", "1,5", "decimal point"},
        {"threshold", "nan", "not a number"},
        {"treat-chance", "1.2", "at most 1"},
        {"neighbors", "2.5", "not a whole number"},
        {"surface", "magic", "kriging, indicator, idw"},
        {"trend", "3", "not one of: 0, 1, 2"},
        {"unit", "L/h", "'L/h' is not one of: L/ha, gal/ac, kg/ha, lb/ac"},
        {"form", "taskdata,paper", "'paper' is not one of: taskdata, shapefile, geojson"},
        {"layout", "cells", "not one of: grid, polygons"},
        {"standard", "5", "not one of: 3, 4"},
        {"from", "2026-02-30", "not a date"},
        {"value", "", "is empty"},
        {"quiet", "yes", "takes no value"},
        {"threshold", NULL, "needs a value"},
    };
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_fails(foci_settings_set(&settings, wrong[i].name, wrong[i].text, 0, &err), err, FOCI_BAD_SETTING,
                     wrong[i].words);
    foci_settings_free(&settings);
}

/* What a page can be printed on can be asked for, and nothing else; the standard one is the table's first. */
static void every_paper_can_be_chosen(void **state) {
    (void)state;
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    assert_ptr_equal(settings.survey.paper, foci_paper_find(NULL));
    for (const foci_paper *paper = foci_paper_table; paper->name; paper++) {
        assert_done(foci_settings_set(&settings, "paper", paper->name, FOCI_FOR_MAP, &err), err);
        assert_ptr_equal(settings.survey.paper, paper);
    }
    foci_settings_free(&settings);
}

static void words_are_read_in_any_order(void **state) {
    (void)state;
    static const char *const words[] = {"--threshold=5.5", "a.csv", "--quiet",  "--cell", "3",
                                        "b.csv",           "--",    "--odd.csv"};
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, 8, words, &err), err);
    assert_near(settings.survey.surface.threshold, 5.5, 0);
    assert_near(settings.survey.cell, 3, 0);
    assert_true(settings.quiet);
    assert_int_equal(settings.input_count, 3);
    assert_string_equal(settings.inputs[2], "--odd.csv");
    foci_settings_free(&settings);
}

static void unknown_options_are_refused(void **state) {
    (void)state;
    static const char *const near[] = {"--treshold", "5"};
    static const char *const later[] = {"--anonymous", "12"};
    static const char *const others[] = {"--cell", "2"};
    static const char *const letter[] = {"-q"};
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    assert_fails(foci_settings_parse(&settings, FOCI_FOR_MAP, 2, near, &err), err, FOCI_BAD_SETTING, "{threshold}?");
    assert_fails(foci_settings_parse(&settings, FOCI_FOR_MAP, 2, later, &err), err, FOCI_BAD_SETTING, "no such option");
    assert_fails(foci_settings_parse(&settings, FOCI_FOR_CHECK, 2, others, &err), err, FOCI_BAD_SETTING, "no such");
    assert_fails(foci_settings_parse(&settings, FOCI_FOR_MAP, 1, letter, &err), err, FOCI_BAD_SETTING, "two hyphens");
    foci_settings_free(&settings);
}

static void a_job_comes_back_as_it_was(void **state) {
    (void)state;
    static const char *const words[] = {"--threshold", "10.25", "--hits",        "infected",  "--checked", "30",
                                        "--cell",      "40ft",  "--cross-check", "--threads", "2"};
    char path[] = "/tmp/foci-job-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    foci_settings first = foci_settings_make(), second = foci_settings_make();
    foci_error err = {0};
    assert_done(foci_settings_parse(&first, FOCI_FOR_MAP, 11, words, &err), err);
    foci_json *root = foci_json_object(&err);
    foci_json *job = foci_job_make(&first.survey, first.input_count, first.inputs, NULL, &err);
    assert_done(foci_json_put(root, "job", job, &err), err);
    char *text = foci_json_print(root, &err);
    assert_non_null(text);
    assert_null(strstr(text, "threads"));
    assert_true(write(file, text, strlen(text)) == (ssize_t)strlen(text));
    close(file);
    const char *again[] = {"--threshold", "7", "--job", path};
    assert_done(foci_settings_parse(&second, FOCI_FOR_MAP, 4, again, &err), err);
    assert_near(second.survey.surface.threshold, 7, 0); /* the command line wins */
    assert_near(second.survey.cell, 12.192, 1e-15);
    assert_string_equal(second.survey.stops.checked, "30");
    assert_true(second.survey.cross_validation);
    unlink(path);
    free(text);
    foci_json_free(root);
    foci_settings_free(&first);
    foci_settings_free(&second);
}

static bool attempt(foci_error *err) {
    static const char *const words[] = {"a.csv", "--value", "score", "--from", "2026-08-01"};
    foci_settings settings = foci_settings_make();
    foci_survey_options copy = {0};
    settings.survey.stops.unit = "score of 1 to 9";
    bool ok = foci_settings_parse(&settings, FOCI_FOR_MAP, 5, words, err) &&
              foci_survey_options_copy(&copy, &settings.survey, err);
    if (ok) {
        assert_string_equal(copy.stops.from, "2026-08-01");
        assert_ptr_not_equal(copy.stops.from, settings.survey.stops.from);
        assert_string_equal(copy.stops.unit, "score of 1 to 9");
    }
    foci_settings_free(&settings);
    foci_survey_options_free(&copy);
    return ok;
}

static void failing_allocations_are_reported(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

/* What knows a job without the settings knows the same of its files. */
static void files_of_a_job_are_those_of_the_table(void **state) {
    (void)state;
    size_t files = 1; /* the stops, which are no option */
    assert_true(foci_job_names_files(FOCI_JOB_STOPS));
    for (const foci_setting *row = foci_setting_table; row->name; row++) {
        const bool file = row->in_job && row->kind->names_file;
        /* another command's of the same name as one of the job, or as its stops */
        if (!row->in_job && (foci_setting_find(row->name, FOCI_FOR_MAP) || strcmp(row->name, FOCI_JOB_STOPS) == 0))
            continue;
        assert_int_equal(foci_job_names_files(row->name), file);
        files += file;
    }
    for (const char *const *member = foci_job_file_members; *member; member++)
        files--;
    assert_int_equal(files, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_within_their_own_range), cmocka_unit_test(every_kind_is_read_and_printed),
        cmocka_unit_test(what_help_calls_the_default_holds),   cmocka_unit_test(what_a_job_keeps_is_the_surveys),
        cmocka_unit_test(lengths_and_areas_take_units),        cmocka_unit_test(wrong_values_are_refused),
        cmocka_unit_test(every_paper_can_be_chosen),           cmocka_unit_test(words_are_read_in_any_order),
        cmocka_unit_test(unknown_options_are_refused),         cmocka_unit_test(a_job_comes_back_as_it_was),
        cmocka_unit_test(failing_allocations_are_reported),    cmocka_unit_test(files_of_a_job_are_those_of_the_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

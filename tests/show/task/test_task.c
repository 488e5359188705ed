#include <dirent.h>
#include <sys/stat.h>

#include "data/files/vector_file.h"
#include "data/places/overlay.h"
#include "show/exports/export_round.h"

#include "fieldfoci/task.h"
#include "show/task/task_survey.h"

/* The scene's zones as a survey folder, and what a user types. */
static const char survey_text[] =
    "{\"program\": {\"name\": \"fieldfoci\"}, \"made\": \"2025-06-15T15:06:40Z\", \"season\": \"2025\",\n"
    " \"field\": {\"name\": \"%s\"}, \"disease\": %s, \"no_zones_why\": %s,\n"
    " \"pattern\": {\"verdict\": \"patchy\"}, \"zones\": {\"treat\": {\"chance\": 0.8}},\n"
    " \"even_so\": [], \"cautions\": [\"Dig and look before anyone treats.\", \"The label is the law.\"],\n"
    " \"warnings\": [\"The stops lie on one line.\"]}\n";
static const char no_disease[] = "null";
static const char with_laboratory[] = "{\"title\": \"A rot of pods\", \"laboratory\": true}";

static foci_survey scene;

static void write_text(const char *name, const char *format, const char *first, const char *second, const char *third) {
    char path[300];
    snprintf(path, sizeof path, "%s", path_of(name));
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fprintf(file, format, first, second, third) > 0); /* NOLINT: formats of our own */
    assert_int_equal(fclose(file), 0);
}

static void write_survey(const char *field, const char *disease, const char *no_zones_why) {
    write_text("survey.json", survey_text, field, disease, no_zones_why);
}

static int open_survey(void **state) {
    if (make_folder(state))
        return -1;
    scene = make_round(FOCI_READING_COUNT);
    write_file(&scene, "survey.gpkg");
    write_survey("Long acre", no_disease, "null");
    return 0;
}

static int close_survey(void **state) {
    (void)state;
    char command[128];
    foci_survey_free(&scene);
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command); /* NOLINT: a folder of our own making */
}

static foci_task_options typed(void) {
    return (foci_task_options){
        .survey = folder, .treat = 15, .dig = 7.5, .unit = &foci_task_unit_table[1], .product = "Mix A & B"};
}

static foci_task made(const foci_task_options *options) {
    foci_error err = {0};
    foci_task task = {0};
    assert_done(foci_task_make(&task, options, &err), err);
    return task;
}

static char *text_at(const char *name, size_t *size) {
    static char text[400000];
    FILE *file = fopen(path_of(name), "rb");
    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    assert_true(length < sizeof text - 1);
    fclose(file);
    text[length] = '\0';
    if (size)
        *size = length;
    return text;
}

static void assert_holds(const char *name, const char *words) {
    if (!strstr(text_at(name, NULL), words))
        fail_msg("%s does not hold '%s'", name, words);
}

static bool exists(const char *name) {
    struct stat status;
    return lstat(path_of(name), &status) == 0;
}

static void remove_out(void) {
    char command[160];
    snprintf(command, sizeof command, "rm -rf '%s/out'", folder);
    assert_int_equal(system(command), 0); /* NOLINT: a folder of our own making */
}

static void write_out(const foci_task *task, bool overwrite) {
    foci_error err = {0};
    char out[300];
    snprintf(out, sizeof out, "%s", path_of("out"));
    assert_done(foci_task_write(task, out, overwrite, &err), err);
}

/* ---- what is made ---- */

static void test_made(void **state) {
    (void)state;
    foci_task_options options = typed();
    foci_task task = made(&options);
    double sum = 0;
    assert_string_equal(task.field, "Long acre");
    assert_string_equal(task.product, "Mix A & B");
    assert_string_equal(task.season, "2025");
    assert_near(task.area_ha, scene.field.area_ha, 1e-6);
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        const foci_task_zone *zone = &task.zones[code];
        assert_near(zone->area_ha, scene.zones.items[code].area_ha, 1e-6);
        assert_near(zone->grid_ha, zone->area_ha, 0.01 * zone->area_ha);
        assert_true(zone->area_ha > 0 && foci_overlay_valid(&zone->lonlat));
        sum += zone->area_ha;
    }
    assert_near(sum, task.area_ha, 1e-6 * task.area_ha);
    assert_int_equal(task.zones[FOCI_ZONE_TREAT].steps, 1403093);
    assert_int_equal(task.zones[FOCI_ZONE_DIG].steps, 701547);
    assert_int_equal(task.zones[FOCI_ZONE_LEAVE].steps, 0);
    assert_string_equal(task.forms[0]->name, "taskdata");
    assert_string_equal(task.forms[1]->name, "shapefile");
    assert_null(task.forms[2]);
    assert_int_equal(task.cautions.count, 2);
    assert_int_equal(task.warnings.count, 1);
    assert_int_equal(task.even_so.count, 0);
    foci_task_free(&task);
    foci_task_free(&task);

    options.dig = options.leave = NAN; /* left out */
    task = made(&options);
    assert_near(task.zones[FOCI_ZONE_DIG].rate, 0, 0);
    assert_near(task.zones[FOCI_ZONE_LEAVE].rate, 0, 0);
    foci_task_free(&task);
}

static void test_refused_options(void **state) {
    (void)state;
    foci_error err = {0};
    foci_task task = {0};
    foci_task_options options = typed();
    options.treat = NAN;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "proposes");
    assert_string_equal(err.key, "treat");
    options.treat = 0;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "is needed");
    options.treat = -2.385;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "no rate");
    options = typed();
    options.leave = -2.385;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "no rate");
    assert_string_equal(err.key, "leave");
    options = typed();
    options.product = NULL;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "is needed");
    assert_string_equal(err.key, "product");
    options.product = " \t";
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "is blank");
    options.product = "caf\xE9";
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "UTF-8");
    options = typed();
    options.unit = NULL;
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_SETTING, "L/ha, gal/ac, kg/ha, lb/ac");
    assert_null(task.forms);
}

static void test_refused_surveys(void **state) {
    (void)state;
    foci_error err = {0};
    foci_task task = {0};
    foci_task_options options = typed();
    options.survey = "/tmp";
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_NO_FILE, "is no survey folder");
    options = typed();
    write_survey("Long acre", no_disease, "\"It flies.\"");
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "It flies.");
    write_text("survey.json", "{\"program\": {\"name\": \"%s\"}}%.0s%.0s", "another", "", "");
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "not written by this program");

    write_survey("Long acre", with_laboratory, "null");
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "laboratory's word");
    assert_non_null(strstr(err.source, "survey.json"));
    options.even_so = "the laboratory named it on 12 August";
    task = made(&options);
    assert_int_equal(task.even_so.count, 1);
    assert_string_equal(task.reason, "the laboratory named it on 12 Au");
    foci_task_free(&task);
    options.even_so = NULL;
    write_survey("Long acre", "{\"title\": \"A rot of stems\", \"too_late_in_season\": true}", "null");
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "too late to protect");
    write_survey("Long acre", "{\"title\": \"A rot of stems\", \"laboratory\": false, \"too_late_in_season\": false}",
                 "null");
    task = made(&options);
    assert_string_equal(task.disease, "A rot of stems");
    foci_task_free(&task);
    write_survey("Long acre", no_disease, "null");
}

/* Writes survey.gpkg anew with these zones, or with no zones layer where `count` is 0. */
static void write_zones(const char *const *names, const foci_multipolygon *const *shapes, size_t count) {
    static const foci_column column[] = {{"zone", FOCI_COLUMN_TEXT}};
    static const double none[] = {NAN};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    unlink(path_of("survey.gpkg"));
    assert_done(foci_vector_writer_open(&writer, path_of("survey.gpkg"), &err), err);
    assert_done(foci_vector_writer_layer(writer, "field", FOCI_SHAPE_AREA, column, 1, &err), err);
    assert_done(foci_vector_writer_add(writer, (const char *const[]){"x"}, none, NULL, &scene.field.lonlat, &err), err);
    if (count)
        assert_done(foci_vector_writer_layer(writer, "zones", FOCI_SHAPE_AREA, column, 1, &err), err);
    for (size_t i = 0; i < count; i++)
        assert_done(foci_vector_writer_add(writer, &names[i], none, NULL, shapes[i], &err), err);
    assert_done(foci_vector_writer_close(writer, &err), err);
}

static void test_other_zones(void **state) {
    (void)state;
    foci_error err = {0};
    foci_task task = {0};
    foci_task_options options = typed();
    const foci_multipolygon *leave = &scene.zones.items[FOCI_ZONE_LEAVE].lonlat,
                            *dig = &scene.zones.items[FOCI_ZONE_DIG].lonlat,
                            *treat = &scene.zones.items[FOCI_ZONE_TREAT].lonlat;
    write_zones(NULL, NULL, 0);
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "no layer 'zones'");
    write_zones((const char *const[]){"treat", "spray"}, (const foci_multipolygon *const[]){treat, leave}, 2);
    assert_fails(foci_task_make(&task, &options, &err), err, FOCI_BAD_INPUT, "treat, dig or leave");
    assert_int_equal(err.row, 2);

    /* divided by hand: one zone all the same */
    write_zones((const char *const[]){"treat", "leave", "treat"}, (const foci_multipolygon *const[]){treat, leave, dig},
                3);
    task = made(&options);
    assert_near(task.zones[FOCI_ZONE_TREAT].area_ha,
                scene.zones.items[FOCI_ZONE_TREAT].area_ha + scene.zones.items[FOCI_ZONE_DIG].area_ha, 1e-6);
    assert_int_equal(task.zones[FOCI_ZONE_DIG].lonlat.count, 0);
    foci_task_free(&task);

    write_zones((const char *const[]){"leave"}, (const foci_multipolygon *const[]){leave}, 1);
    task = made(&options);
    assert_int_equal(task.notes.count, 1);
    assert_non_null(strstr(task.notes.items[0], "no zone to treat"));
    foci_task_free(&task);

    /* a zone of 3 by 4 m in cells of 2 m or more: what its note says leads with feet */
    foci_point m = foci_multipolygon_centroid(&scene.field.lonlat),
               corners[] = {m, {m.x + 3.3e-5, m.y}, {m.x + 3.3e-5, m.y + 3.6e-5}, {m.x, m.y + 3.6e-5}};
    foci_ring ring = {4, corners};
    foci_polygon polygon = {1, &ring};
    const foci_multipolygon small = {1, &polygon};
    write_zones((const char *const[]){"treat"}, (const foci_multipolygon *const[]){&small}, 1);
    task = made(&options);
    assert_int_equal(task.notes.count, 1);
    assert_non_null(strstr(task.notes.items[0], "its outline 1"));
    assert_non_null(strstr(task.notes.items[0], " sq ft ("));
    assert_non_null(strstr(task.notes.items[0], "for cells of "));
    assert_non_null(strstr(task.notes.items[0], " ft ("));
    foci_task_free(&task);
    unlink(path_of("survey.gpkg"));
    write_file(&scene, "survey.gpkg");
}

static void test_names(void **state) {
    (void)state;
    static const char longest[] = "\xC3\xA4 234567890123456789012345678901 cut";
    static const char *const broken[] = {"\xE9",         "\xC3",         "\xC0\xAF", "\xED\xA0\x80",
                                         "\xEF\xBF\xBF", "\xF5\x80\x80", "\x80",     "ab\xE2\x82"};
    char name[FOCI_TASK_NAME_SIZE];
    bool cut = true;
    assert_true(foci_task_name(name, &cut, "two\nlines"));
    assert_string_equal(name, "two lines");
    assert_false(cut);
    assert_true(foci_task_name(name, &cut, "1234567890123456789012345678901 3 "));
    assert_string_equal(name, "1234567890123456789012345678901");
    assert_true(foci_task_name(name, &cut, longest));
    assert_string_equal(name, "\xC3\xA4 234567890123456789012345678901");
    assert_true(cut);
    assert_true(foci_task_name(name, &cut, "\xC3\xA4 23456789012345678901234567890\xF0\x9F\x8C\xBE"));
    assert_false(cut); /* 32 characters */
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        assert_false(foci_task_name(name, &cut, broken[i]));

    foci_task_options options = typed();
    options.product = longest;
    write_survey(longest, no_disease, "null");
    foci_task task = made(&options);
    assert_int_equal(task.notes.count, 2);
    assert_non_null(strstr(task.notes.items[0], "product's name is longer than 32"));
    assert_non_null(strstr(task.notes.items[1], "field's name is longer than 32"));
    foci_task_free(&task);
    write_survey(" ", no_disease, "null");
    task = made(&options);
    assert_string_equal(task.field, "field");
    foci_task_free(&task);
    write_survey("Long acre", no_disease, "null");
}

/* ---- what is written ---- */

static void check_vectors(const char *name, const char *rate) {
    foci_error err = {0};
    foci_table table = {0};
    static const double rates[FOCI_ZONE_END] = {0, 7.5, 15};
    assert_done(foci_table_read(&table, path_of(name), NULL, &err), err);
    assert_int_equal(table.row_count, FOCI_ZONE_END);
    assert_int_equal(table.column_count, 4);
    for (size_t row = 0; row < table.row_count; row++) {
        int code = FOCI_ZONE_END - 1 - (int)row;
        const foci_cell *cells = &table.cells[row * table.column_count];
        assert_near(cells[foci_table_column(&table, rate)].number, rates[code], 0);
        assert_string_equal(cells[foci_table_column(&table, "zone")].text, foci_zone_name((foci_zone_code)code));
        assert_string_equal(cells[foci_table_column(&table, "unit")].text, "gal/ac");
        assert_string_equal(cells[foci_table_column(&table, "product")].text, "Mix A & B");
        assert_true(foci_overlay_valid(&table.shapes[row].area));
        double area = fabs(foci_geodesic_area(&table.shapes[row].area)) / 1e4;
        assert_near(area, scene.zones.items[code].area_ha, 1e-6);
        assert_int_equal(table.shapes[row].area.count, scene.zones.items[code].lonlat.count);
    }
    foci_table_free(&table);
}

/* Every form in every layout and version; the grid's file holds the grid's codes. */
static void test_files(void **state) {
    (void)state;
    foci_task_options options = typed();
    for (size_t i = 0; foci_task_form_table[i].name; i++)
        options.forms[i] = &foci_task_form_table[i];
    for (const foci_task_layout *layout = foci_task_layout_table; layout->name; layout++)
        for (const foci_task_standard *standard = foci_task_standard_table; standard->name; standard++) {
            size_t size = 0;
            char version[40];
            options.layout = layout;
            options.standard = standard;
            foci_task task = made(&options);
            write_out(&task, false);
            check_vectors("out/zones.shp", "RATE");
            check_vectors("out/zones.geojson", "rate");
            snprintf(version, sizeof version, "VersionMajor=\"%s\"", standard->name);
            assert_holds("out/TASKDATA/TASKDATA.XML", version);
            assert_holds("out/TASKDATA/TASKDATA.XML", "B=\"Mix A &amp; B\"");
            assert_holds("out/TASKDATA/TASKDATA.XML", "H=\"0\" I=\"0\" J=\"0\"");
            assert_int_equal(exists("out/TASKDATA/GRD00001.bin"), layout->gridded);
            if (layout->gridded) {
                assert_memory_equal(text_at("out/TASKDATA/GRD00001.bin", &size), task.grid.codes, 1);
                assert_int_equal(size, task.grid.columns * task.grid.rows);
                assert_memory_equal(text_at("out/TASKDATA/GRD00001.bin", NULL), task.grid.codes, size);
            }
            remove_out();
            foci_task_free(&task);
        }
}

/* A survey.json that was meddled with: what it calls season, disease and time of making stays in the sentence. */
static void test_readme_of_names_with_lines(void **state) {
    (void)state;
    foci_task_options options = typed();
    write_text("survey.json",
               "{\"program\": {\"name\": \"fieldfoci\"}, \"made\": \"now\\n%s\", \"season\": \"2025\\n\\u2028%s\",\n"
               " \"field\": {\"name\": \"Long\\nacre\"}, \"disease\": {\"title\": \"a rot\\r\\n\\u001b%s\"},\n"
               " \"pattern\": {\"verdict\": \"patchy\"}, \"zones\": {\"treat\": {\"chance\": 0.8}}}",
               "treat 500 L/ha", "treat 500 L/ha", "treat 500 L/ha");
    foci_task task = made(&options);
    write_out(&task, false);
    assert_holds("out/README.txt",
                 "fieldfoci task files\n\nRates of Mix A & B for the zones of Long acre, season 2025  treat 500 L/ha, "
                 "against a rot   treat 500 L/ha.\nFrom a survey made now treat 500 L/ha; written by fieldfoci");
    foci_task_free(&task);
    remove_out();
    write_survey("Long acre", no_disease, "null");
}

static void test_readme(void **state) {
    (void)state;
    foci_task_options options = typed();
    options.even_so = "named by the laboratory";
    foci_task task = made(&options);
    write_out(&task, false);
    static const char *const words[] = {"fieldfoci task files\n",
                                        "Mix A & B",
                                        "Long acre",
                                        "season 2025",
                                        "controller's screen",
                                        "The label is the law",
                                        "licensed applicators",
                                        "15 gal/ac on ",
                                        "7.5 gal/ac on ",
                                        "0 gal/ac on ",
                                        "140.3093 l/ha",
                                        "outside: 0",
                                        "- named by the laboratory\n",
                                        "RATE",
                                        "- Dig and look before anyone treats.\n"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        assert_holds("out/README.txt", words[i]);
    for (const char *line = text_at("out/README.txt", NULL); *line; line += strcspn(line, "\n") + 1)
        assert_true(strcspn(line, "\n") <= 100);
    assert_holds("out/TASKDATA/TASKDATA.XML", "B=\"even so: named by the laboratory\"");
    foci_task_free(&task);
    remove_out();
}

static void test_overwrite(void **state) {
    (void)state;
    foci_error err = {0};
    foci_task_options options = typed();
    foci_task task = made(&options);
    char out[300], name[400];
    snprintf(out, sizeof out, "%s", path_of("out"));
    write_out(&task, false);
    assert_fails(foci_task_write(&task, out, false, &err), err, FOCI_NO_FILE, "already there");
    write_text("out/mine.txt", "%s%s%s", "m", "i", "ne");
    write_out(&task, true);
    assert_holds("out/mine.txt", "mine");
    assert_true(exists("out/TASKDATA/TASKDATA.XML"));

    write_text("out/TASKDATA/TLG00001.BIN", "%s%s%s", "a", "", "");
    assert_fails(foci_task_write(&task, out, true, &err), err, FOCI_NO_FILE, "TLG00001.BIN");
    assert_holds("out/TASKDATA/TLG00001.BIN", "a");
    snprintf(name, sizeof name, "%s/TASKDATA/TLG00001.BIN", out);
    unlink(name);
    write_text("out/README.txt", "%s%s%s", "another's", "", "");
    assert_fails(foci_task_write(&task, out, true, &err), err, FOCI_NO_FILE, "not made by this program");
    assert_fails(foci_task_write(&task, "/nowhere/out", false, &err), err, FOCI_NO_FILE, "no folder");
    foci_task_free(&task);
    remove_out();
}

static bool attempt(foci_error *err) {
    foci_task_options options = typed();
    options.forms[0] = &foci_task_form_table[2]; /* the order is the table's */
    options.forms[1] = &foci_task_form_table[0];
    options.even_so = "a reason";
    foci_task task = {0};
    char out[300];
    snprintf(out, sizeof out, "%s", path_of("out"));
    bool ok = foci_task_make(&task, &options, err) && foci_task_write(&task, out, false, err);
    foci_task_free(&task);
    if (!ok)
        assert_false(exists("out"));
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
    DIR *list = opendir(folder);
    for (struct dirent *entry = readdir(list); entry; entry = readdir(list))
        assert_null(strstr(entry->d_name, "fieldfoci-")); /* no temporary name is left */
    closedir(list);
    remove_out();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_made),
                                       cmocka_unit_test(test_refused_options),
                                       cmocka_unit_test(test_refused_surveys),
                                       cmocka_unit_test(test_other_zones),
                                       cmocka_unit_test(test_names),
                                       cmocka_unit_test(test_files),
                                       cmocka_unit_test(test_readme_of_names_with_lines),
                                       cmocka_unit_test(test_readme),
                                       cmocka_unit_test(test_overwrite),
                                       cmocka_unit_test(test_no_memory)};
    return cmocka_run_group_tests(tests, open_survey, close_survey);
}

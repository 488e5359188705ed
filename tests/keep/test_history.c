/* What is remembered of surveys: recorded, listed, recorded again, and what is refused. */
#include "support/support.h"

#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "data/files/vector_file.h"
#include "fieldfoci/history.h"
#include "keep/layers.h"

static char folder[] = "/tmp/foci-history-XXXXXX";

static const char *in_folder(const char *name) {
    static char paths[4][512];
    static int next = 0;
    next = (next + 1) % 4;
    snprintf(paths[next], sizeof paths[next], "%s/%s", folder, name);
    return paths[next];
}

/* What another map of the season would have otherwise. */
static double threshold = 12.5;
static const char *disease = "white-mould", *field = "Thistledown", *used = "99";

/* A survey's summary with what a history reads from it. */
static void write_summary(const char *survey, const char *season, const char *made, const char *place) {
    char name[200];
    snprintf(name, sizeof name, "%s/survey.json", survey);
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fprintf(file,
            "{\"program\":{\"name\":\"fieldfoci\"},\"made\":\"%s\",\"inputs\":[{\"file\":\"%s/stops.csv\","
            "\"sha256\":\"48b760-%s\"}],\"job\":{\"field\":\"%s/"
            "field.geojson\",\"disease\":\"%s\",\"threshold\":%g},\"season\":\"%s\","
            "\"first_date\":\"2024-07-03\",\"last_date\":\"2024-07-05\",\"field\":{\"name\":\"%s\","
            "\"area_ha\":16.875},\"disease\":{\"name\":\"%s\"},\"reading\":{\"kind\":\"count\","
            "\"unit\":\"percent of units infected\",\"threshold\":12.5,\"rated\":\"dug\"},\"stops\":{\"used\":%s},"
            "\"digs\":[{\"id\":1}],\"no_zones_why\":null}",
            made, place, field, place, disease, threshold, season, field, disease, used);
    assert_int_equal(fclose(file), 0);
}

static const foci_column field_columns[] = {{"name", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};
static const foci_column stop_columns[] = {{"stop", FOCI_COLUMN_TEXT},
                                           {"hits", FOCI_COLUMN_NUMBER},
                                           {"checked", FOCI_COLUMN_NUMBER},
                                           {"why", FOCI_COLUMN_TEXT},
                                           {"chance", FOCI_COLUMN_NUMBER}};
static const foci_column zone_columns[] = {{"zone", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};
static const foci_column dig_columns[] = {{"id", FOCI_COLUMN_WHOLE}, {"why", FOCI_COLUMN_TEXT}};

static foci_point stop_place(int i) {
    return (foci_point){-93.5 + i / 7.0 * 1e-3, 42.5 + i / 3.0 * 1e-4};
}

static bool write_layers(const char *path, foci_error *err) {
    foci_point corners[] = {{-93.5, 42.5}, {-93.48, 42.5}, {-93.48, 42.52}, {-93.5, 42.52}};
    foci_ring ring = {.points = corners, .count = 4};
    foci_polygon polygon = {.rings = &ring, .count = 1};
    const foci_multipolygon area = {.polygons = &polygon, .count = 1};
    foci_vector_writer *writer = NULL;
    bool ok = foci_vector_writer_open(&writer, path, err) &&
              foci_vector_writer_layer(writer, "field", FOCI_SHAPE_AREA, field_columns, 2, err) &&
              foci_vector_writer_add(writer, (const char *[]){"Thistledown", NULL}, (double[]){NAN, 16.875}, NULL,
                                     &area, err) &&
              foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, stop_columns, 5, err);
    for (int i = 0; ok && i < 100; i++) {
        char name[16];
        snprintf(name, sizeof name, "s%d", i);
        const foci_point place = stop_place(i);
        ok = foci_vector_writer_add(writer, (const char *[]){name, NULL, NULL, i ? NULL : "blank", NULL},
                                    (double[]){NAN, i % 9, 30, NAN, i / 101.0}, &place, NULL, err);
    }
    const foci_point dig = {-93.49, 42.51};
    return ok && foci_vector_writer_layer(writer, "zones", FOCI_SHAPE_AREA, zone_columns, 2, err) &&
           foci_vector_writer_add(writer, (const char *[]){"treat", NULL}, (double[]){NAN, 2.385}, NULL, &area, err) &&
           foci_vector_writer_layer(writer, "digs", FOCI_SHAPE_POINT, dig_columns, 2, err) &&
           foci_vector_writer_add(writer, (const char *[]){NULL, "hotspot"}, (double[]){7, NAN}, &dig, NULL, err) &&
           foci_vector_writer_close(writer, err);
}

static int begin(void **state) {
    (void)state;
    foci_error err = {0};
    if (!mkdtemp(folder) || mkdir(in_folder("survey"), 0777))
        return -1;
    write_summary("survey", "2024", "2024-07-06T08:00:00Z", "/data");
    assert_done(write_layers(in_folder("survey/survey.gpkg"), &err), err);
    return 0;
}

static int end(void **state) {
    (void)state;
    foci_unfinished_remove(folder);
    return 0;
}

static int afresh(void **state) {
    (void)state;
    foci_unfinished_remove(in_folder("history.gpkg"));
    threshold = 12.5;
    disease = "white-mould";
    field = "Thistledown";
    used = "99";
    write_summary("survey", "2024", "2024-07-06T08:00:00Z", "/data");
    return 0;
}

static bool record(const char *crop, const char *laboratory) {
    foci_error err = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    const foci_history_options notes = {.crop = crop, .laboratory = laboratory};
    assert_done(foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &notes, &already, NULL, &err), err);
    return already == FOCI_HISTORY_WAS_THERE;
}

static foci_history_entries list(void) {
    foci_error err = {0};
    foci_history_entries entries = {0};
    assert_done(foci_history_list(&entries, in_folder("history.gpkg"), NULL, NULL, &err), err);
    return entries;
}

static void a_survey_is_remembered(void **state) {
    (void)state;
    assert_false(record("peanut", NULL));
    foci_history_entries entries = list();
    assert_int_equal(entries.count, 1);
    const foci_history_entry *entry = &entries.items[0];
    assert_string_equal(entry->field, "Thistledown");
    assert_string_equal(entry->season, "2024");
    assert_string_equal(entry->first_date, "2024-07-03");
    assert_string_equal(entry->last_date, "2024-07-05");
    assert_string_equal(entry->disease, "white-mould");
    assert_string_equal(entry->kind, "count");
    assert_string_equal(entry->rated, "dug");
    assert_string_equal(entry->crop, "peanut");
    assert_string_equal(entry->laboratory, "");
    assert_string_equal(entry->made, "2024-07-06T08:00:00Z");
    assert_non_null(strstr(entry->job, "\"threshold\": 12.5"));
    assert_near(entry->threshold, 12.5, 0);
    assert_near(entry->area_ha, 16.875, 0);
    assert_near(entry->stops, 99, 0);
    assert_int_equal(strlen(entry->sha256), 64);
    foci_history_entries_free(&entries);
    foci_history_entries_free(&entries);
}

static const foci_cell *cell(const foci_table *table, size_t row, const char *column) {
    long index = foci_table_column(table, column);
    assert_true(index >= 0);
    return &table->cells[row * table->column_count + (size_t)index];
}

static void layers_keep_every_digit(void **state) {
    (void)state;
    foci_table table = {0};
    foci_error err = {0};
    record(NULL, NULL);
    foci_history_entries entries = list();
    assert_done(foci_table_read_layer(&table, in_folder("history.gpkg"), "stops", &err), err);
    assert_int_equal(table.row_count, 100);
    for (int i = 0; i < 100; i++) {
        assert_string_equal(cell(&table, (size_t)i, "survey")->text, entries.items[0].sha256);
        assert_near(cell(&table, (size_t)i, "number")->number, i + 1, 0);
        assert_near(cell(&table, (size_t)i, "hits")->number, i % 9, 0);
        assert_near(cell(&table, (size_t)i, "chance")->number, i / 101.0, 0);
        assert_null(cell(&table, (size_t)i, "value")->text);
        assert_near(table.shapes[i].point.x, stop_place(i).x, 0);
        assert_near(table.shapes[i].point.y, stop_place(i).y, 0);
    }
    foci_table_free(&table);
    assert_done(foci_table_read_layer(&table, in_folder("history.gpkg"), "zones", &err), err);
    assert_string_equal(cell(&table, 0, "zone")->text, "treat");
    assert_near(cell(&table, 0, "area_ha")->number, 2.385, 0);
    foci_table_free(&table);
    assert_done(foci_table_read_layer(&table, in_folder("history.gpkg"), "digs", &err), err);
    assert_near(cell(&table, 0, "id")->number, 7, 0);
    assert_string_equal(cell(&table, 0, "why")->text, "hotspot");
    foci_table_free(&table);
    assert_done(foci_table_read_layer(&table, in_folder("history.gpkg"), "fields", &err), err);
    assert_near(table.shapes[0].area.polygons[0].rings[0].points[2].y, 42.52, 0);
    foci_table_free(&table);
    foci_history_entries_free(&entries);
}

static void twice_is_once_but_for_the_notes(void **state) {
    (void)state;
    assert_false(record("peanut", NULL));
    assert_true(record(NULL, NULL));
    /* made again later, from files that lie elsewhere: still the same survey */
    write_summary("survey", "2024", "2025-01-01T00:00:00Z", "/elsewhere");
    assert_true(record(NULL, "found; see the sheet's \"page 2\""));
    foci_history_entries entries = list();
    assert_int_equal(entries.count, 1);
    assert_string_equal(entries.items[0].crop, "peanut");
    assert_string_equal(entries.items[0].laboratory, "found; see the sheet's \"page 2\"");
    assert_string_equal(entries.items[0].made, "2024-07-06T08:00:00Z");
    foci_history_entries_free(&entries);
    write_summary("survey", "2023", "2024-07-06T08:00:00Z", "/data");
    assert_false(record(NULL, NULL));
    entries = list();
    assert_int_equal(entries.count, 2);
    assert_string_equal(entries.items[0].season, "2023");
    foci_history_entries_free(&entries);
    foci_table fields = {0};
    foci_error err = {0};
    assert_done(foci_table_read_layer(&fields, in_folder("history.gpkg"), "fields", &err), err);
    assert_int_equal(fields.row_count, 1);
    foci_table_free(&fields);
}

static void a_field_is_asked_for_by_name(void **state) {
    (void)state;
    foci_history_entries entries = {0};
    foci_error err = {0};
    record(NULL, NULL);
    assert_done(foci_history_list(&entries, in_folder("history.gpkg"), "thistledown", NULL, &err), err);
    assert_int_equal(entries.count, 1);
    char *text = foci_history_summary(&entries, &err);
    assert_non_null(text);
    assert_non_null(strstr(text, "\"area_ha\": 16.875"));
    assert_non_null(strstr(text, "\"laboratory\": null"));
    free(text);
    foci_history_entries_free(&entries);
    assert_fails(foci_history_list(&entries, in_folder("history.gpkg"), "Westacre", NULL, &err), err, FOCI_BAD_INPUT,
                 "it holds 'Thistledown'");
    assert_int_equal(entries.count, 0);
    assert_fails(foci_history_list(&entries, in_folder("none.gpkg"), NULL, NULL, &err), err, FOCI_NO_FILE,
                 "is not there; check its name");
}

/* ---- another map of a season, and taking one out ---- */

static void again(const char *season) {
    write_summary("survey", season, "2024-07-06T08:00:00Z", "/data");
}

static size_t rows_of(const char *table) {
    const char *const names[] = {table};
    foci_table rows = {0};
    foci_error err = {0};
    if (!foci_table_read_layers(&rows, in_folder("history.gpkg"), names, 1, &err)) {
        assert_non_null(strstr(err.text, "no features"));
        return 0;
    }
    size_t count = rows.row_count;
    foci_table_free(&rows);
    return count;
}

static void another_map_of_a_season_takes_its_place_when_asked(void **state) {
    (void)state;
    const foci_history_options plain = {0}, replacing = {.laboratory = "found", .replace = true};
    foci_history_outcome outcome = FOCI_HISTORY_ADDED;
    foci_error err = {0};
    char history[512];
    snprintf(history, sizeof history, "%s", in_folder("history.gpkg"));
    record("peanut", "not yet");
    again("2023");
    record(NULL, NULL);
    threshold = 8;
    again("2024");
    assert_fails(foci_history_record(in_folder("survey"), history, &plain, &outcome, NULL, &err), err, FOCI_BAD_INPUT,
                 "holds season '2024' of this field already, mapped otherwise [");
    assert_non_null(strstr(err.text, "give {replace}"));
    assert_int_equal(rows_of("surveys"), 2);
    assert_done(foci_history_record(in_folder("survey"), history, &replacing, &outcome, NULL, &err), err);
    assert_int_equal(outcome, FOCI_HISTORY_REPLACED);
    foci_history_entries entries = list();
    assert_int_equal(entries.count, 2);
    assert_string_equal(entries.items[1].season, "2024");
    assert_non_null(strstr(entries.items[1].job, "\"threshold\": 8"));
    assert_string_equal(entries.items[1].crop, "peanut");      /* a note of the season stays */
    assert_string_equal(entries.items[1].laboratory, "found"); /* unless a new one is given */
    foci_history_entries_free(&entries);
    assert_int_equal(rows_of("stops"), 200);
    assert_int_equal(rows_of("zones"), 2);
    assert_int_equal(rows_of("digs"), 2);
    assert_int_equal(rows_of("fields"), 1);
    assert_done(foci_history_record(in_folder("survey"), history, &replacing, &outcome, NULL, &err), err);
    assert_int_equal(outcome, FOCI_HISTORY_WAS_THERE);
    /* another disease of that season, or another field of that name and season, is no other map of it */
    disease = "pod-rot";
    again("2024");
    assert_done(foci_history_record(in_folder("survey"), history, &plain, &outcome, NULL, &err), err);
    assert_int_equal(outcome, FOCI_HISTORY_ADDED);
    again("");
    assert_fails(foci_history_record(in_folder("survey"), history, &replacing, &outcome, NULL, &err), err,
                 FOCI_BAD_INPUT, "this one has no season");
}

static void assert_removed(const char *season, const char *field_name, const char *words) {
    char *removed = NULL;
    foci_error err = {0};
    assert_done(foci_history_remove(&removed, in_folder("history.gpkg"), season, field_name, NULL, &err), err);
    assert_non_null(strstr(removed, words));
    free(removed);
}

static void one_survey_is_taken_out(void **state) {
    (void)state;
    char *removed = NULL, letters[9], history[512];
    foci_error err = {0};
    snprintf(history, sizeof history, "%s", in_folder("history.gpkg"));
    assert_fails(foci_history_remove(&removed, history, "2024", NULL, NULL, &err), err, FOCI_NO_FILE, "is not there");
    assert_int_not_equal(access(history, F_OK), 0);
    record(NULL, NULL);
    disease = "pod-rot";
    again("2024");
    record(NULL, NULL);
    field = "Westacre";
    again("2024");
    record(NULL, NULL);
    again("2025");
    record(NULL, NULL);
    assert_int_equal(rows_of("fields"), 2);
    err = (foci_error){0};
    assert_fails(foci_history_remove(&removed, history, "2024", NULL, NULL, &err), err, FOCI_BAD_INPUT,
                 "'2024' names more than one survey: Thistledown, 2024, 2024-07-03, pod-rot [");
    assert_non_null(strstr(err.text, "; Westacre, 2024"));
    assert_fails(foci_history_remove(&removed, history, "2022", NULL, NULL, &err), err, FOCI_BAD_INPUT,
                 "holds no survey of season '2022'; it holds Thistledown, 2024");
    assert_fails(foci_history_remove(&removed, history, "2024", "Eastacre", NULL, &err), err, FOCI_BAD_INPUT,
                 "holds no field named 'Eastacre'");
    assert_int_equal(rows_of("surveys"), 4);
    assert_removed("2024", "westacre", "Westacre, 2024");
    assert_removed("2025", NULL, "Westacre, 2025"); /* unique without its field's name */
    assert_int_equal(rows_of("fields"), 1);
    foci_history_entries entries = list();
    assert_int_equal(entries.count, 2);
    snprintf(letters, sizeof letters, "%.8s", entries.items[1].sha256);
    foci_history_entries_free(&entries);
    assert_removed(letters, NULL, letters);
    assert_removed("2024", NULL, "Thistledown, 2024");
    assert_int_equal(rows_of("surveys") + rows_of("stops") + rows_of("zones") + rows_of("digs") + rows_of("fields"), 0);
}

static void write_file(const char *name, const char *text) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static void what_cannot_be_recorded_says_why(void **state) {
    (void)state;
    const foci_history_options notes = {0};
    foci_error err = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    char history[512];
    snprintf(history, sizeof history, "%s", in_folder("history.gpkg"));
    assert_fails(foci_history_record(in_folder("none"), history, &notes, &already, NULL, &err), err, FOCI_NO_FILE,
                 "no survey folder");
    mkdir(in_folder("broken"), 0777);
    write_summary("broken", "2024", "2024-07-06T08:00:00Z", "/data");
    assert_fails(foci_history_record(in_folder("broken"), history, &notes, &already, NULL, &err), err, FOCI_NO_FILE,
                 "no such file");
    write_file("broken/survey.json", "{\"program\":{\"name\":\"fieldfoci\"}}");
    assert_fails(foci_history_record(in_folder("broken"), history, &notes, &already, NULL, &err), err, FOCI_BAD_INPUT,
                 "no survey's summary");
    static const char *const counts[] = {"1e300", "-1", "98.5", "101", "null"};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        used = counts[i];
        again("2024");
        assert_fails(foci_history_record(in_folder("survey"), history, &notes, &already, NULL, &err), err,
                     FOCI_BAD_INPUT, "is no count of the 100 stops");
        assert_non_null(strstr(err.source, "survey.json"));
    }
    assert_int_not_equal(access(history, F_OK), 0);
    used = "99";
    again("2024");
    write_file("notes.gpkg", "rain on Monday");
    assert_fails(foci_history_record(in_folder("survey"), in_folder("notes.gpkg"), &notes, &already, NULL, &err), err,
                 FOCI_NO_FILE, "is no GeoPackage");
    assert_fails(
        foci_history_record(in_folder("survey"), in_folder("survey/survey.gpkg"), &notes, &already, NULL, &err), err,
        FOCI_BAD_INPUT, "no table 'fields'");
    assert_fails(foci_history_record(in_folder("survey"), in_folder("none/h.gpkg"), &notes, &already, NULL, &err), err,
                 FOCI_NO_FILE, "folder");
    assert_fails(foci_history_record(in_folder("survey"), "/proc/h.gpkg", &notes, &already, NULL, &err), err,
                 FOCI_NO_FILE, "cannot be written");
}

/* A key that is longer or shorter than one, or holds other letters, is nothing to copy or to print. */
static void a_key_is_64_letters(void **state) {
    (void)state;
    const foci_database_table *surveys = &foci_history_tables[FOCI_LAYER_SURVEYS];
    char key[201], wrong[66];
    memset(key, 'f', 200);
    key[200] = '\0';
    memset(wrong, 'a', 64);
    wrong[63] = '\x1b';
    wrong[64] = '\0';
    const char *const keys[] = {"abcd", key, wrong, NULL};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        foci_database *database = NULL;
        foci_history_entries entries = {0};
        foci_table fields = {0};
        foci_error err = {0};
        afresh(state);
        record(NULL, NULL);
        assert_done(foci_database_change(&database, in_folder("history.gpkg"), foci_history_tables, NULL, &err), err);
        assert_done(foci_database_find(&fields, database, &foci_history_tables[FOCI_LAYER_FIELD], NULL, NULL, &err),
                    err);
        const char *texts[24] = {keys[i], "Thistledown", fields.cells[0].text, "1999"};
        double numbers[24] = {0};
        assert_done(foci_database_add(database, surveys, texts, numbers, NULL, NULL, &err), err);
        assert_done(foci_database_commit(database, &err), err);
        foci_table_free(&fields);
        assert_fails(foci_history_list(&entries, in_folder("history.gpkg"), NULL, NULL, &err), err, FOCI_BAD_INPUT,
                     "its survey of season '1999' was not recorded by this program");
    }
}

#ifdef __SANITIZE_ADDRESS__
enum { SURVEYS = 100 }; /* several times slower, and not what is timed */
#else
enum { SURVEYS = 1000 };
#endif

/* The limit is on the program's own time: each survey is flushed to the disk, and how long that takes is the disk's. */
static void a_thousand_surveys_take_seconds(void **state) {
    (void)state;
    struct timespec start = {0}, recorded = {0}, listed = {0};
    clock_gettime(CLOCK_MONOTONIC, &start);
    const clock_t busy = clock();
    for (int year = 0; year < SURVEYS; year++) {
        char season[16];
        snprintf(season, sizeof season, "season %04d", year);
        write_summary("survey", season, "2024-07-06T08:00:00Z", "/data");
        assert_false(record(NULL, NULL));
    }
    const double busy_s = (double)(clock() - busy) / CLOCKS_PER_SEC;
    clock_gettime(CLOCK_MONOTONIC, &recorded);
    foci_history_entries entries = list();
    clock_gettime(CLOCK_MONOTONIC, &listed);
    assert_int_equal(entries.count, SURVEYS);
    for (size_t i = 1; i < entries.count; i++)
        assert_true(strcmp(entries.items[i - 1].season, entries.items[i].season) < 0);
    foci_history_entries_free(&entries);
    double record_s = (double)(recorded.tv_sec - start.tv_sec) + 1e-9 * (double)(recorded.tv_nsec - start.tv_nsec);
    double list_s = (double)(listed.tv_sec - recorded.tv_sec) + 1e-9 * (double)(listed.tv_nsec - recorded.tv_nsec);
    print_message("%d surveys of 100 stops: recorded in %.1f s (%.1f s of them computing), listed in %.2f s\n", SURVEYS,
                  record_s, busy_s, list_s);
    assert_true(busy_s < 60);
    assert_true(list_s < 5);
}

static bool attempt(foci_error *err) {
    const foci_history_options notes = {.crop = "peanut"};
    foci_history_entries entries = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    if (!foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &notes, &already, NULL, err) ||
        !foci_history_list(&entries, in_folder("history.gpkg"), NULL, NULL, err))
        return false;
    char *text = foci_history_summary(&entries, err);
    foci_history_entries_free(&entries);
    free(text);
    return text != NULL;
}

/* A change that fails half-way leaves everything as it was, so each attempt finds the other map of the season. */
static bool attempt_to_replace(foci_error *err) {
    const foci_history_options options = {.replace = true};
    foci_history_outcome outcome = FOCI_HISTORY_ADDED;
    char *removed = NULL;
    bool ok = foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &options, &outcome, NULL, err) &&
              foci_history_remove(&removed, in_folder("history.gpkg"), "2024", NULL, NULL, err);
    free(removed);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
    threshold = 8;
    again("2024");
    support_fail_each_allocation(attempt_to_replace);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_survey_is_remembered, afresh),
        cmocka_unit_test_setup(layers_keep_every_digit, afresh),
        cmocka_unit_test_setup(twice_is_once_but_for_the_notes, afresh),
        cmocka_unit_test_setup(a_field_is_asked_for_by_name, afresh),
        cmocka_unit_test_setup(another_map_of_a_season_takes_its_place_when_asked, afresh),
        cmocka_unit_test_setup(one_survey_is_taken_out, afresh),
        cmocka_unit_test_setup(what_cannot_be_recorded_says_why, afresh),
        cmocka_unit_test_setup(a_key_is_64_letters, afresh),
        cmocka_unit_test_setup(a_thousand_surveys_take_seconds, afresh),
        cmocka_unit_test_setup(each_allocation_may_fail, afresh),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

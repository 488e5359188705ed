#include "support/scratch.h"
#include "support/small_disk.h"

#include "data/files/fingerprint.h"
#include "data/files/vector_file.h"

static const foci_cell *cell(const foci_table *table, size_t row, const char *column) {
    long index = foci_table_column(table, column);
    assert_true(index >= 0);
    return &table->cells[row * table->column_count + (size_t)index];
}

/* What every format must give back: text with a comma and a quote, blanks, numbers to the last bit, whole numbers. */
static const foci_column columns[] = {
    {"stop", FOCI_COLUMN_TEXT}, {"severity", FOCI_COLUMN_NUMBER}, {"hits", FOCI_COLUMN_WHOLE}};
static const struct {
    const char *texts[3];
    double numbers[3];
    foci_point place;
} rows[] = {
    {{"A1", NULL, NULL}, {NAN, 0.1 + 0.2, 12}, {-83.521234567, 31.450123451}},
    {{"x, \"y\" caf\xC3\xA9", NULL, NULL}, {NAN, 1.0 / 3, NAN}, {-83.5, 31.4}},
    {{NULL, NULL, NULL}, {NAN, NAN, -7}, {-83.6, 31.5}},
};
enum { row_count = sizeof rows / sizeof *rows };

static bool write_points(const char *path, foci_error *err) {
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    bool ok = foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, columns, 3, err) &&
              foci_vector_writer_note(writer, "threshold", "2.385", err);
    for (size_t i = 0; ok && i < row_count; i++)
        ok = foci_vector_writer_add(writer, rows[i].texts, rows[i].numbers, &rows[i].place, NULL, err);
    if (ok)
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}

static void assert_row(const foci_table *table, size_t at, size_t row, bool csv, double digits) {
    const foci_cell *stop = cell(table, at, "stop"), *hits = cell(table, at, "hits");
    if (rows[row].texts[0])
        assert_string_equal(stop->text, rows[row].texts[0]);
    else
        assert_null(stop->text);
    if (isnan(rows[row].numbers[2]))
        assert_null(hits->text);
    assert_near(hits->number, rows[row].numbers[2], 0);
    assert_near(cell(table, at, "severity")->number, rows[row].numbers[1], digits);
    assert_near(csv ? cell(table, at, "lon")->number : table->shapes[at].point.x, rows[row].place.x, 1e-13);
    assert_near(csv ? cell(table, at, "lat")->number : table->shapes[at].point.y, rows[row].place.y, 1e-13);
}

static void check_points(const char *name, double digits) {
    foci_error err = {0};
    foci_table table = {0};
    assert_done(write_points(scratch_path(name), &err), err);
    assert_done(foci_table_read(&table, scratch_path(name), NULL, &err), err);
    assert_int_equal(table.row_count, row_count);
    bool csv = strcmp(table.driver, "CSV") == 0;
    assert_int_equal(table.column_count, csv ? 5 : 3);
    if (csv)
        assert_string_equal(table.columns[0], "lon");
    for (size_t i = 0; i < row_count; i++) {
        size_t row = 0; /* a spatial index may turn the order: rows are known by their place */
        while (row < row_count && !csv && fabs(table.shapes[i].point.x - rows[row].place.x) > 1e-9)
            row++;
        row = csv ? i : row;
        assert_true(row < row_count);
        assert_row(&table, i, row, csv, digits);
    }
    foci_table_free(&table);
}

static void test_points_come_back(void **state) {
    (void)state;
    check_points("points.gpkg", 0);
    check_points("points.csv", 0);
    check_points("points.fgb", 0);
    check_points("points.geojson", 1e-16); /* its driver writes 16 digits and a half: 0.30000000000000004 as 0.3 */
    check_points("points.shp", 5e-16);     /* 15 decimals */
}

static char *content(const char *name, size_t *size) {
    FILE *stream = fopen(scratch_path(name), "rb");
    assert_non_null(stream);
    char *text = calloc(1, 1 << 20);
    assert_non_null(text);
    *size = fread(text, 1, (1 << 20) - 1, stream);
    fclose(stream);
    return text;
}

static void test_text_is_as_it_should_be(void **state) {
    (void)state;
    size_t size = 0;
    char *csv = content("points.csv", &size);
    assert_string_equal(csv, "lon,lat,stop,severity,hits\n"
                             "-83.521234567,31.450123451,A1,0.30000000000000004,12\n"
                             "-83.5,31.4,\"x, \"\"y\"\" caf\xC3\xA9\",0.3333333333333333,\n"
                             "-83.6,31.5,,,-7\n");
    free(csv);
    char *geojson = content("points.geojson", &size);
    assert_non_null(strstr(geojson, "[ -83.521234567, 31.450123451 ]"));
    assert_non_null(strstr(geojson, "\"stop\": null"));
    assert_null(strstr(geojson, "\"crs\"")); /* RFC 7946, section 4: the member is gone */
    free(geojson);
    char *gpkg = content("points.gpkg", &size);
    assert_memory_equal(gpkg, "SQLite format 3", 16);
    assert_non_null(memmem(gpkg, size, "key=\"threshold\">2.385<", 22)); /* the note */
    free(gpkg);
}

/* A shapefile is what its companions are, too: all of them in name order. */
static void test_fingerprint_of_a_shapefile(void **state) {
    (void)state;
    const char *const endings[] = {"cpg", "dbf", "prj", "shp", "shx"};
    char paths[5][256], hex[65] = "";
    const char *files[5];
    foci_error err = {0};
    foci_table table = {0};
    for (size_t i = 0; i < 5; i++) {
        snprintf(paths[i], sizeof paths[i], "%s/points.%s", scratch_folder, endings[i]);
        files[i] = paths[i];
    }
    assert_done(foci_table_read(&table, scratch_path("points.shp"), NULL, &err), err);
    assert_done(foci_fingerprint_files(hex, files, 5, &err), err);
    assert_string_equal(table.sha256, hex);
    assert_non_null(strstr(table.crs, "WGS 84"));
    foci_table_free(&table);
    remove(paths[2]);
    assert_done(foci_table_read(&table, scratch_path("points.shp"), NULL, &err), err);
    assert_string_equal(table.crs, ""); /* no .prj: no system */
    assert_string_not_equal(table.sha256, hex);
    foci_table_free(&table);
}

/* With SOURCE_DATE_EPOCH set, as it is for the tests. */
static void test_same_bytes_twice(void **state) {
    (void)state;
    const char *const endings[] = {"gpkg", "geojson", "csv", "fgb", "shp"};
    assert_non_null(getenv("SOURCE_DATE_EPOCH"));
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        char again[32], first[32];
        size_t size = 0, again_size = 0;
        foci_error err = {0};
        snprintf(first, sizeof first, "points.%s", endings[i]);
        snprintf(again, sizeof again, "again.%s", endings[i]);
        sleep(i == 0);
        assert_done(write_points(scratch_path(again), &err), err);
        char *a = content(first, &size), *b = content(again, &again_size);
        assert_int_equal(size, again_size);
        assert_memory_equal(a, b, size);
        free(a);
        free(b);
    }
}

static const foci_point outer[] = {{-83.5, 31.4}, {-83.4, 31.4}, {-83.4, 31.5}, {-83.5, 31.5}};
static const foci_point hole[] = {{-83.46, 31.44}, {-83.46, 31.46}, {-83.44, 31.46}, {-83.44, 31.44}};
static const foci_point other[] = {{-83.3, 31.4}, {-83.2, 31.4}, {-83.2, 31.5}};

static bool write_areas(const char *path, foci_error *err) {
    const foci_column named[] = {{"zone", FOCI_COLUMN_TEXT}, {"area_ha", FOCI_COLUMN_NUMBER}};
    foci_ring rings[] = {{4, (foci_point *)outer}, {4, (foci_point *)hole}}, more = {3, (foci_point *)other};
    foci_polygon polygons[] = {{2, rings}, {1, &more}};
    foci_multipolygon area = {2, polygons}, single = {1, polygons};
    const char *treat[] = {"treat", NULL}, *dig[] = {"dig", NULL};
    const double hectares[] = {NAN, 2.385};
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    if (foci_vector_writer_layer(writer, "zones", FOCI_SHAPE_AREA, named, 2, err) &&
        foci_vector_writer_add(writer, treat, hectares, NULL, &area, err) &&
        foci_vector_writer_add(writer, dig, hectares, NULL, &single, err))
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}

static void test_areas_come_back(void **state) {
    (void)state;
    const char *const names[] = {"zones.gpkg", "zones.geojson", "zones.shp", "zones.fgb"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        foci_error err = {0};
        foci_table table = {0};
        assert_done(write_areas(scratch_path(names[i]), &err), err);
        assert_done(foci_table_read(&table, scratch_path(names[i]), NULL, &err), err);
        assert_int_equal(table.row_count, 2);
        for (size_t r = 0; r < 2; r++) {
            bool whole = strcmp(cell(&table, r, "zone")->text, "treat") == 0;
            assert_int_equal(table.shapes[r].kind, FOCI_SHAPE_AREA);
            assert_int_equal(table.shapes[r].area.count, whole ? 2 : 1);
            assert_near(foci_multipolygon_area(&table.shapes[r].area), 0.01 - 0.0004 + (whole ? 0.005 : 0), 1e-9);
            assert_near(cell(&table, r, "area_ha")->number, 2.385, 0);
        }
        foci_table_free(&table);
    }
}

/* Several layers, one of them empty, one whose columns have the names of the database's own. */
static void test_layers_of_a_geopackage(void **state) {
    (void)state;
    const foci_column taken[] = {{"fid", FOCI_COLUMN_NUMBER}, {"GEOM", FOCI_COLUMN_TEXT}};
    const char *texts[] = {NULL, "here"};
    const double numbers[] = {2.385, NAN};
    const foci_point place = {-83.5, 31.4};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    foci_table table = {0};
    assert_done(foci_vector_writer_open(&writer, scratch_path("layers.gpkg"), &err), err);
    assert_done(foci_vector_writer_layer(writer, "hotspots", FOCI_SHAPE_AREA, columns, 3, &err), err);
    assert_done(foci_vector_writer_layer(writer, "digs", FOCI_SHAPE_POINT, taken, 2, &err), err);
    assert_done(foci_vector_writer_add(writer, texts, numbers, &place, NULL, &err), err);
    assert_done(foci_vector_writer_layer(writer, "rounds", FOCI_SHAPE_NONE, columns, 3, &err), err);
    assert_done(foci_vector_writer_add(writer, rows[0].texts, rows[0].numbers, NULL, NULL, &err), err);
    assert_done(foci_vector_writer_close(writer, &err), err);
    assert_done(foci_table_read(&table, scratch_path("layers.gpkg"), NULL, &err), err);
    assert_string_equal(table.layer, "digs"); /* the first that holds features */
    assert_near(cell(&table, 0, "fid")->number, 2.385, 0);
    assert_string_equal(cell(&table, 0, "GEOM")->text, "here");
    assert_near(table.shapes[0].point.y, 31.4, 0);
    foci_table_free(&table);
}

static void test_csv_keeps_the_callers_places(void **state) {
    (void)state;
    const foci_column named[] = {{"Lat", FOCI_COLUMN_TEXT}, {"LON", FOCI_COLUMN_TEXT}};
    const char *texts[] = {"31.450", "-83.520"};
    const foci_point place = {-83.52, 31.45};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    assert_done(foci_vector_writer_open(&writer, scratch_path("kept.csv"), &err), err);
    assert_done(foci_vector_writer_layer(writer, "kept", FOCI_SHAPE_POINT, named, 2, &err), err);
    assert_done(foci_vector_writer_add(writer, texts, (double[]){NAN, NAN}, &place, NULL, &err), err);
    assert_done(foci_vector_writer_close(writer, &err), err);
    size_t size = 0;
    char *csv = content("kept.csv", &size);
    assert_string_equal(csv, "Lat,LON\n31.450,-83.520\n");
    free(csv);
}

static void test_what_is_refused(void **state) {
    (void)state;
    const foci_column twice[] = {{"a", FOCI_COLUMN_TEXT}, {"a", FOCI_COLUMN_NUMBER}};
    const foci_column wide[] = {{"practical_range", FOCI_COLUMN_NUMBER}};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    assert_fails(foci_vector_writer_open(&writer, scratch_path("stops.xyz"), &err), err, FOCI_BAD_SETTING, ".gpkg");
    assert_fails(foci_vector_writer_open(&writer, scratch_path("points.csv"), &err), err, FOCI_NO_FILE, "already");
    assert_int_equal(symlink("points.csv", scratch_path("beside.prj")), 0); /* whose .shp is free */
    assert_fails(foci_vector_writer_open(&writer, scratch_path("beside.shp"), &err), err, FOCI_NO_FILE, "already");
    assert_non_null(strstr(err.source, "beside.prj"));
    err = (foci_error){0};
    assert_fails(foci_vector_writer_open(&writer, "/no/such/folder/x.csv", &err), err, FOCI_NO_FILE, "No such file");
    assert_fails(foci_vector_writer_open(&writer, "/no/such/folder/x.gpkg", &err), err, FOCI_NO_FILE,
                 "cannot be written");
    assert_null(writer);
    err = (foci_error){0};
    assert_done(foci_vector_writer_open(&writer, scratch_path("refused.csv"), &err), err);
    assert_fails(foci_vector_writer_layer(writer, "x", FOCI_SHAPE_AREA, columns, 3, &err), err, FOCI_BAD_SETTING,
                 "no place for areas");
    assert_fails(foci_vector_writer_layer(writer, "x", FOCI_SHAPE_NONE, twice, 2, &err), err, FOCI_BAD_INPUT,
                 "two columns are named 'a'");
    foci_vector_writer_drop(writer);
    assert_int_equal(access(scratch_path("refused.csv"), F_OK), -1);
    err = (foci_error){0};
    assert_done(foci_vector_writer_open(&writer, scratch_path("refused.shp"), &err), err);
    assert_fails(foci_vector_writer_layer(writer, "x", FOCI_SHAPE_POINT, wide, 1, &err), err, FOCI_BAD_INPUT,
                 "practical_range");
    foci_vector_writer_drop(writer);
    assert_int_equal(access(scratch_path("refused.shp"), F_OK), -1);
    assert_int_equal(access(scratch_path("refused.dbf"), F_OK), -1);
    err = (foci_error){0};
    assert_done(foci_vector_writer_open(&writer, scratch_path("refused.geojson"), &err), err);
    assert_done(foci_vector_writer_layer(writer, "x", FOCI_SHAPE_POINT, columns, 3, &err), err);
    assert_fails(foci_vector_writer_layer(writer, "y", FOCI_SHAPE_POINT, columns, 3, &err), err, FOCI_BAD_SETTING,
                 "one layer only");
    assert_fails(foci_vector_writer_add(writer, rows[0].texts, (double[]){NAN, 1, 2.5}, NULL, NULL, &err), err,
                 FOCI_BAD_INPUT, "not a whole number");
    foci_vector_writer_drop(writer);
    foci_vector_writer_drop(NULL);
}

static bool write_many(const char *path, foci_error *err) {
    foci_vector_writer *writer = NULL;
    if (!foci_vector_writer_open(&writer, path, err))
        return false;
    bool ok = foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, columns, 3, err);
    for (int i = 0; ok && i < 20000; i++)
        ok = foci_vector_writer_add(writer, rows[0].texts, rows[0].numbers, &rows[i % row_count].place, NULL, err);
    if (ok)
        return foci_vector_writer_close(writer, err);
    foci_vector_writer_drop(writer);
    return false;
}

static void test_full_disk_leaves_nothing(void **state) {
    (void)state;
    const char *const names[] = {"full.gpkg", "full.geojson", "full.csv", "full.fgb", "full.shp"};
    char disk[] = "/tmp/fieldfoci-disk-XXXXXX", path[64];
    assert_non_null(mkdtemp(disk));
    small_disk_mount(disk);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        foci_error err = {0};
        snprintf(path, sizeof path, "%s/%s", disk, names[i]);
        bool ok = write_many(path, &err);
        int left = small_disk_files(disk);
        if (ok || left || err.status != FOCI_NO_FILE) {
            print_error("%s: %d, %d files left, status %d: %s\n", names[i], ok, left, err.status, err.text);
            small_disk_unmount(disk);
            fail();
        }
    }
    small_disk_unmount(disk);
    rmdir(disk);
}

/* A disk with room, but for so many files only: a shapefile is five, and none of them may be missing or empty. */
static void test_full_table_of_files(void **state) {
    (void)state;
    char disk[] = "/tmp/fieldfoci-disk-XXXXXX", path[64], limits[32];
    assert_non_null(mkdtemp(disk));
    snprintf(path, sizeof path, "%s/points.shp", disk);
    for (int files = 1; files <= 5; files++) {
        foci_error err = {0};
        snprintf(limits, sizeof limits, "size=200k,nr_inodes=%d", files + 1); /* and the disk itself */
        small_disk_mount_with(disk, limits);
        bool ok = write_points(path, &err);
        int left = small_disk_files(disk);
        small_disk_unmount(disk);
        if (ok != (files == 5) || left != (ok ? 5 : 0) || (!ok && err.status != FOCI_NO_FILE))
            fail_msg("room for %d files: %d, %d files left, status %d: %s", files, ok, left, err.status, err.text);
    }
    rmdir(disk);
}

static bool write_to_memory_and_disk(foci_error *err) {
    remove(scratch_path("memory.gpkg"));
    remove(scratch_path("memory.csv"));
    return write_points(scratch_path("memory.gpkg"), err) && write_points(scratch_path("memory.csv"), err);
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(write_to_memory_and_disk);
}

/* One layer of several, by its name. */
static void test_named_layer(void **state) {
    (void)state;
    static const foci_column share_column[] = {{"share", FOCI_COLUMN_NUMBER}};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    foci_table table = {0};
    assert_done(foci_vector_writer_open(&writer, scratch_path("named.gpkg"), &err), err);
    for (int i = 0; i < 3; i++) {
        const char *const names[] = {"empty", "first", "second"};
        const double share = 2.385 * i;
        assert_done(foci_vector_writer_layer(writer, names[i], FOCI_SHAPE_POINT, share_column, 1, &err), err);
        if (i > 0)
            assert_done(foci_vector_writer_add(writer, (const char *const[]){NULL}, &share, NULL, NULL, &err), err);
    }
    assert_done(foci_vector_writer_close(writer, &err), err);
    assert_done(foci_table_read_layer(&table, scratch_path("named.gpkg"), "second", &err), err);
    assert_string_equal(table.layer, "second");
    assert_int_equal(table.row_count, 1);
    assert_near(table.cells[0].number, 4.77, 0);
    foci_table_free(&table);
    const char *const layers[] = {"second", NULL, "first"}, *const missing[] = {"second", "third"};
    foci_table tables[3] = {0};
    assert_done(foci_table_read_layers(tables, scratch_path("named.gpkg"), layers, 3, &err), err);
    assert_string_equal(tables[0].layer, "second");
    assert_null(tables[1].layer);
    assert_string_equal(tables[2].layer, "first");
    assert_string_equal(tables[0].sha256, tables[2].sha256);
    assert_int_equal(strlen(tables[2].sha256), 64);
    for (size_t i = 0; i < 3; i++)
        foci_table_free(&tables[i]);
    assert_fails(foci_table_read_layers(tables, scratch_path("named.gpkg"), missing, 2, &err), err, FOCI_BAD_INPUT,
                 "no layer 'third'");
    assert_null(tables[0].layer);
    assert_fails(foci_table_read_layer(&table, scratch_path("named.gpkg"), "third", &err), err, FOCI_BAD_INPUT,
                 "no layer 'third'");
    assert_fails(foci_table_read_layer(&table, scratch_path("named.gpkg"), "empty", &err), err, FOCI_BAD_INPUT,
                 "no features");
    assert_null(table.layer);
}

/* Four decimals where the format has widths, all digits where it has none. */
static void test_fixed_numbers(void **state) {
    (void)state;
    static const foci_column rate_column[] = {{"RATE", FOCI_COLUMN_FIXED}};
    static const struct {
        const char *name, *text;
        double number;
    } files[] = {{"fixed.shp", "140.3093", 140.3093}, {"fixed.geojson", NULL, 140.30934512}};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        foci_error err = {0};
        foci_vector_writer *writer = NULL;
        foci_table table = {0};
        const double number = 140.30934512;
        const foci_point place = {-80.8583, 37.9981};
        assert_done(foci_vector_writer_open(&writer, scratch_path(files[i].name), &err), err);
        assert_done(foci_vector_writer_layer(writer, "rates", FOCI_SHAPE_POINT, rate_column, 1, &err), err);
        assert_done(foci_vector_writer_add(writer, (const char *const[]){NULL}, &number, &place, NULL, &err), err);
        assert_done(foci_vector_writer_close(writer, &err), err);
        assert_done(foci_table_read(&table, scratch_path(files[i].name), NULL, &err), err);
        assert_near(table.cells[0].number, files[i].number, 0);
        if (files[i].text)
            assert_string_equal(table.cells[0].text, files[i].text);
        foci_table_free(&table);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_points_come_back),
        cmocka_unit_test(test_text_is_as_it_should_be),
        cmocka_unit_test(test_fingerprint_of_a_shapefile),
        cmocka_unit_test(test_same_bytes_twice),
        cmocka_unit_test(test_areas_come_back),
        cmocka_unit_test(test_layers_of_a_geopackage),
        cmocka_unit_test(test_named_layer),
        cmocka_unit_test(test_fixed_numbers),
        cmocka_unit_test(test_csv_keeps_the_callers_places),
        cmocka_unit_test(test_what_is_refused),
        cmocka_unit_test(test_full_disk_leaves_nothing),
        cmocka_unit_test(test_full_table_of_files),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

#include "support/scratch.h"

#include <unistd.h>

#include "data/files/vector_file.h"

static const foci_cell *cell(const foci_table *table, size_t row, const char *column) {
    long index = foci_table_column(table, column);
    assert_true(index >= 0);
    return &table->cells[row * table->column_count + (size_t)index];
}

static void test_csv(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const char *path = scratch_write("stops.csv", "\xEF\xBB\xBFstop,lon,lat,Severity,when\n"
                                                  "A1,-83.52,31.45,2.385,2024-06-01\n"
                                                  "007,-83.521,31.4500000000001,,2024/06/02\n"
                                                  "\"x, y\",-83.522,31.46,nil,\n");
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    assert_string_equal(table.driver, "CSV");
    assert_string_equal(table.layer, "stops");
    assert_string_equal(table.crs, "");
    assert_int_equal(table.row_count, 3);
    assert_int_equal(table.column_count, 5);
    assert_string_equal(table.columns[0], "stop");
    for (size_t c = 0; c < 5; c++)
        assert_int_equal(table.types[c], FOCI_COLUMN_TEXT);
    for (size_t r = 0; r < 3; r++)
        assert_int_equal(table.shapes[r].kind, FOCI_SHAPE_NONE);
    assert_near(cell(&table, 0, "severity")->number, 2.385, 0);
    assert_true(cell(&table, 0, "severity")->is_number);
    assert_string_equal(cell(&table, 1, "stop")->text, "007");
    assert_near(cell(&table, 1, "lat")->number, 31.4500000000001, 0);
    assert_null(cell(&table, 1, "Severity")->text);
    assert_false(cell(&table, 1, "Severity")->is_number);
    assert_near(cell(&table, 1, "Severity")->number, NAN, 0);
    assert_string_equal(cell(&table, 1, "when")->text, "2024/06/02");
    assert_string_equal(cell(&table, 2, "stop")->text, "x, y");
    assert_string_equal(cell(&table, 2, "severity")->text, "nil");
    assert_false(cell(&table, 2, "severity")->is_number);
    assert_int_equal(foci_table_column(&table, "absent"), -1);
    char list[64];
    foci_table_list_columns(&table, list, sizeof list);
    assert_string_equal(list, "stop, lon, lat, Severity, when");
    foci_table_list_columns(&table, list, 8);
    assert_string_equal(list, "stop, l");
    foci_table_free(&table);
    foci_table_free(&table);
}

static void test_csv_dialects(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    assert_done(
        foci_table_read(&table, scratch_write("semicolon.csv", "lon;lat;note\n-83.52;31.45;caf\xE9\n"), NULL, &err),
        err);
    assert_int_equal(table.column_count, 3);
    assert_string_equal(cell(&table, 0, "note")->text, "caf\xC3\xA9"); /* Latin-1 on disk */
    assert_near(cell(&table, 0, "lat")->number, 31.45, 0);
    foci_table_free(&table);

    assert_done(foci_table_read(&table, scratch_write("crlf.csv", "Lon,lon,WKT\r\n1,2,POINT (3 4)\r\n"), NULL, &err),
                err);
    assert_int_equal(table.row_count, 1);
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_NONE);
    assert_near(cell(&table, 0, "lon")->number, 2, 0); /* the exact name goes before */
    assert_near(cell(&table, 0, "Lon")->number, 1, 0);
    foci_table_free(&table);

    scratch_write("comma.csvt", "\"Real\",\"Real\"\n");
    assert_done(foci_table_read(&table, scratch_write("comma.csv", "lon,value\n-83.5,2.385\n"), NULL, &err), err);
    assert_near(cell(&table, 0, "value")->number, 2.385, 0);
    foci_table_free(&table);
    /* what a .csvt file beside it says of its columns changes nothing */
    assert_done(foci_table_read(&table, scratch_write("comma.csv", "lon,value\n1,2\n-83.5,none\n"), NULL, &err), err);
    assert_string_equal(cell(&table, 1, "value")->text, "none");
    foci_table_free(&table);
}

static const char collection[] = "{\"type\": \"FeatureCollection\", \"features\": [%s]}";

static const char *geojson(const char *features) {
    char text[4096];
    snprintf(text, sizeof text, collection, features);
    return scratch_write("shapes.geojson", text);
}

static void test_geojson_points(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const char *path = geojson(
        "{\"type\": \"Feature\", \"properties\": {\"stop\": \"A\", \"hits\": 3, \"share\": 0.30000000000000004, "
        "\"when\": "
        "\"2024-06-01\", \"blank\": \"\"}, \"geometry\": {\"type\": \"Point\", \"coordinates\": [-83.52, 31.45]}},"
        "{\"type\": \"Feature\", \"properties\": {\"stop\": \"B\", \"hits\": null, \"share\": 7, \"when\": null}, "
        "\"geometry\": {\"type\": \"MultiPoint\", \"coordinates\": [[-83.5, 31.4]]}},"
        "{\"type\": \"Feature\", \"properties\": {\"stop\": 12.5}, \"geometry\": null}");
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    assert_string_equal(table.driver, "GeoJSON");
    assert_non_null(strstr(table.crs, "WGS 84"));
    assert_int_equal(table.row_count, 3);
    assert_int_equal(table.types[foci_table_column(&table, "hits")], FOCI_COLUMN_WHOLE);
    assert_int_equal(table.types[foci_table_column(&table, "share")], FOCI_COLUMN_NUMBER);
    assert_int_equal(table.types[foci_table_column(&table, "stop")], FOCI_COLUMN_TEXT);
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_POINT);
    assert_near(table.shapes[0].point.x, -83.52, 0);
    assert_near(table.shapes[0].point.y, 31.45, 0);
    assert_int_equal(table.shapes[1].kind, FOCI_SHAPE_POINT);
    assert_near(table.shapes[1].point.x, -83.5, 0);
    assert_int_equal(table.shapes[2].kind, FOCI_SHAPE_NONE);
    assert_near(cell(&table, 0, "share")->number, 0.1 + 0.2, 0);
    assert_near(cell(&table, 0, "hits")->number, 3, 0);
    assert_string_equal(cell(&table, 0, "hits")->text, "3");
    assert_string_equal(cell(&table, 0, "when")->text, "2024-06-01");
    assert_null(cell(&table, 0, "blank")->text);
    assert_null(cell(&table, 1, "hits")->text);
    assert_near(cell(&table, 2, "stop")->number, 12.5, 0);
    foci_table_free(&table);
}

static void test_geojson_other_shapes(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const char *path = geojson(
        "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": {\"type\": \"Polygon\", \"coordinates\": "
        "[[[0,0],[4,0],[4,3],[0,0]],[[2,0.5],[3,0.5],[3,1],[2,0.5]]]}},"
        "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": {\"type\": \"GeometryCollection\", \"geometries\": "
        "[{\"type\": \"Polygon\", \"coordinates\": [[[0,0],[4,0],[4,3],[0,0]]]},{\"type\": \"MultiPolygon\", "
        "\"coordinates\": [[[[9,0],[13,0],[13,3.5],[9,0]]]]}]}},"
        "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": {\"type\": \"LineString\", \"coordinates\": "
        "[[0,0],[4,0]]}},"
        "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": {\"type\": \"MultiPoint\", \"coordinates\": "
        "[[0,0],[4,0]]}},"
        "{\"type\": \"Feature\", \"properties\": {}, \"geometry\": {\"type\": \"GeometryCollection\", \"geometries\": "
        "[{\"type\": \"Point\", \"coordinates\": [1,2]},{\"type\": \"Polygon\", \"coordinates\": "
        "[[[0,0],[4,0],[4,3],[0,0]]]}]}}");
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_AREA);
    assert_int_equal(table.shapes[0].area.count, 1);
    assert_int_equal(table.shapes[0].area.polygons[0].count, 2);
    assert_int_equal(table.shapes[0].area.polygons[0].rings[0].count, 3); /* the first point is not repeated */
    assert_near(foci_multipolygon_area(&table.shapes[0].area), 6 - 0.25, 1e-12);
    assert_int_equal(table.shapes[1].kind, FOCI_SHAPE_AREA);
    assert_int_equal(table.shapes[1].area.count, 2);
    assert_near(foci_multipolygon_area(&table.shapes[1].area), 6 + 7, 1e-12);
    assert_int_equal(table.shapes[2].kind, FOCI_SHAPE_LINE);
    assert_int_equal(table.shapes[3].kind, FOCI_SHAPE_OTHER);
    assert_int_equal(table.shapes[4].kind, FOCI_SHAPE_OTHER);
    foci_table_free(&table);
}

static void test_kml_and_gpx(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const char *kml = scratch_write(
        "field.kml",
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>"
        "<Folder><name>empty</name></Folder><Folder><name>fields</name><Placemark><name>North 40</name>"
        "<Polygon><outerBoundaryIs><LinearRing><coordinates>-83.5,31.4,0 -83.4,31.4,0 -83.4,31.5,0 "
        "-83.5,31.4,0</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Folder>"
        "</Document></kml>");
    assert_done(foci_table_read(&table, kml, NULL, &err), err);
    assert_string_equal(table.layer, "fields");
    assert_non_null(strstr(table.crs, "WGS 84"));
    assert_string_equal(cell(&table, 0, "name")->text, "North 40");
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_AREA);
    assert_near(table.shapes[0].area.polygons[0].rings[0].points[1].x, -83.4, 0);
    foci_table_free(&table);

    const char *gpx = scratch_write(
        "stops.gpx",
        "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\">"
        "<wpt lat=\"31.45\" lon=\"-83.52\"><name>A1</name></wpt><trk><trkseg><trkpt lat=\"31\" lon=\"-83\"/>"
        "<trkpt lat=\"32\" lon=\"-83\"/></trkseg></trk></gpx>");
    assert_done(foci_table_read(&table, gpx, NULL, &err), err);
    assert_string_equal(table.layer, "waypoints");
    assert_int_equal(table.row_count, 1);
    assert_near(table.shapes[0].point.y, 31.45, 0);
    foci_table_free(&table);
}

/* The digest of "abc" (FIPS 180-2, appendix B.1) cannot be a vector file: two files with one content must agree, and
 * a changed letter must show. */
static void test_fingerprint(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table a = {0}, b = {0}, c = {0};
    assert_done(foci_table_read(&a, scratch_write("a.csv", "lon,lat\n1,2\n"), NULL, &err), err);
    assert_done(foci_table_read(&b, scratch_write("b.csv", "lon,lat\n1,2\n"), NULL, &err), err);
    assert_done(foci_table_read(&c, scratch_write("c.csv", "lon,lat\n1,3\n"), NULL, &err), err);
    assert_int_equal(strlen(a.sha256), 64);
    assert_string_equal(a.sha256, b.sha256);
    assert_string_not_equal(a.sha256, c.sha256);
    foci_table_free(&a);
    foci_table_free(&b);
    foci_table_free(&c);
}

static void test_what_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    assert_fails(foci_table_read(&table, "/no/such/stops.csv", NULL, &err), err, FOCI_NO_FILE, "no such file");
    assert_string_equal(err.source, "/no/such/stops.csv");
    assert_fails(foci_table_read(&table, "/vsicurl/http://localhost/stops.csv", NULL, &err), err, FOCI_NO_FILE,
                 "no such file");
    assert_fails(foci_table_read(&table, scratch_folder, NULL, &err), err, FOCI_NO_FILE, "folder");
    assert_fails(foci_table_read(&table, "/dev/null", NULL, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_fails(foci_table_read(&table, scratch_write("empty.csv", ""), NULL, &err), err, FOCI_NO_FILE, "empty");
    assert_fails(foci_table_read(&table, scratch_write("notes.txt", "walk the north end\n"), NULL, &err), err,
                 FOCI_NO_FILE, "not a vector file that can be read");
    assert_fails(foci_table_read(&table,
                                 scratch_write("torn.geojson", "{\"type\": \"FeatureCollection\", \"features\": [{"),
                                 NULL, &err),
                 err, FOCI_NO_FILE, "not a vector file that can be read");
    assert_fails(foci_table_read(&table, geojson(""), NULL, &err), err, FOCI_BAD_INPUT, "holds no features");
    assert_fails(foci_table_read(&table, scratch_write("header.csv", "lon,lat\n"), NULL, &err), err, FOCI_BAD_INPUT,
                 "holds no features");
    /* a file that would open another one */
    scratch_write("secret.csv", "lon,lat\n1,2\n");
    const char *vrt = scratch_write("stops.vrt", "<OGRVRTDataSource><OGRVRTLayer name=\"secret\"><SrcDataSource "
                                                 "relativeToVRT=\"1\">secret.csv</SrcDataSource></OGRVRTLayer>"
                                                 "</OGRVRTDataSource>");
    assert_fails(foci_table_read(&table, vrt, NULL, &err), err, FOCI_NO_FILE, "not a vector file that can be read");
    assert_null(table.cells);
}

static const foci_column stop_column[] = {{"stop", FOCI_COLUMN_TEXT}};

static void add_layer(foci_vector_writer *writer, const char *name, foci_shape_kind kind, size_t rows) {
    static foci_point corners[] = {{-83.5, 31.4}, {-83.4, 31.4}, {-83.4, 31.5}};
    foci_ring ring = {.count = 3, .points = corners};
    foci_polygon polygon = {.count = 1, .rings = &ring};
    const foci_multipolygon area = {.count = 1, .polygons = &polygon};
    const char *texts[] = {name};
    const double numbers[] = {NAN};
    foci_error err = {0};
    assert_done(foci_vector_writer_layer(writer, name, kind, stop_column, 1, &err), err);
    for (size_t i = 0; i < rows; i++)
        assert_done(foci_vector_writer_add(writer, texts, numbers, kind == FOCI_SHAPE_POINT ? &corners[i % 3] : NULL,
                                           kind == FOCI_SHAPE_AREA ? &area : NULL, &err),
                    err);
}

static void write_layers(const char *name, bool second_walk) {
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    assert_done(foci_vector_writer_open(&writer, scratch_path(name), &err), err);
    add_layer(writer, "nothing", FOCI_SHAPE_POINT, 0);
    add_layer(writer, "outline", FOCI_SHAPE_AREA, 1);
    add_layer(writer, "monday", FOCI_SHAPE_POINT, 5);
    add_layer(writer, "notes", FOCI_SHAPE_NONE, 3);
    if (second_walk)
        add_layer(writer, "tuesday", FOCI_SHAPE_POINT, 4);
    assert_done(foci_vector_writer_close(writer, &err), err);
}

static void read_as(const char *name, foci_layer_choice choice, const char *layer, size_t rows) {
    foci_error err = {0};
    foci_table table = {0};
    assert_done(foci_table_read(&table, scratch_path(name), &choice, &err), err);
    assert_string_equal(table.layer, layer);
    assert_int_equal(table.row_count, rows);
    foci_table_free(&table);
}

/* Empty layers and those of other kinds do not count; of two that do, one must be named. */
static void test_layers(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const foci_layer_choice points = {.kind = FOCI_SHAPE_POINT, .remedy = "name one with --layer NAME"};
    write_layers("walk.gpkg", false);
    read_as("walk.gpkg", points, "monday", 5);
    read_as("walk.gpkg", (foci_layer_choice){.kind = FOCI_SHAPE_AREA}, "outline", 1);
    read_as("walk.gpkg", (foci_layer_choice){.name = "notes", .kind = FOCI_SHAPE_POINT}, "notes", 3);
    write_layers("walks.gpkg", true);
    assert_fails(foci_table_read(&table, scratch_path("walks.gpkg"), &points, &err), err, FOCI_BAD_INPUT,
                 "has 2 layers of points: \"monday\" (5 rows), \"tuesday\" (4 rows); name one with --layer NAME");
    read_as("walks.gpkg", (foci_layer_choice){.name = "tuesday", .kind = FOCI_SHAPE_POINT}, "tuesday", 4);
    assert_fails(foci_table_read_layer(&table, scratch_path("walks.gpkg"), "sunday", &err), err, FOCI_BAD_INPUT,
                 "has no layer 'sunday'; those with features are: \"outline\" (1 rows), \"monday\"");
}

/* A GPX file has five layers whatever is in it; folders of a KML file hold shapes of any kind. */
static void test_layers_of_phones(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const foci_layer_choice points = {.kind = FOCI_SHAPE_POINT, .remedy = "name one with --layer NAME"};
    scratch_write("marks.gpx", "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"x\" "
                               "xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"31\" lon=\"-83\"/></gpx>");
    read_as("marks.gpx", points, "waypoints", 1);
    scratch_write("track.gpx", "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"x\" "
                               "xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"31\" lon=\"-83\"/><trk><trkseg>"
                               "<trkpt lat=\"32\" lon=\"-83\"/></trkseg></trk></gpx>");
    assert_fails(foci_table_read(&table, scratch_path("track.gpx"), &points, &err), err, FOCI_BAD_INPUT,
                 "\"waypoints\" (1 rows), \"track_points\" (1 rows)");
    scratch_write("folders.kml",
                  "<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><Folder><name>line</name><Placemark>"
                  "<LineString><coordinates>-83,31 -84,32</coordinates></LineString></Placemark></Folder>"
                  "<Folder><name>marks</name><Placemark><Point><coordinates>-83,31</coordinates></Point></Placemark>"
                  "</Folder></Document></kml>");
    read_as("folders.kml", points, "marks", 1);
}

/* Its reader takes the end of a file that was cut for the end of the rows. */
static void test_cut_flatgeobuf(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    foci_vector_writer *writer = NULL;
    assert_done(foci_vector_writer_open(&writer, scratch_path("stops.fgb"), &err), err);
    add_layer(writer, "stops", FOCI_SHAPE_POINT, 50);
    assert_done(foci_vector_writer_close(writer, &err), err);
    read_as("stops.fgb", (foci_layer_choice){0}, "stops", 50);
    FILE *file = fopen(scratch_path("stops.fgb"), "r");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    long size = ftell(file);
    fclose(file);
    size_t silent = 0;
    for (long cut = 1; cut <= 250; cut++) {
        assert_int_equal(truncate(scratch_path("stops.fgb"), size - cut), 0);
        assert_fails(foci_table_read(&table, scratch_path("stops.fgb"), NULL, &err), err, FOCI_BAD_INPUT, "");
        silent += strstr(err.text, "of the 50 rows it should have") != NULL;
    }
    assert_true(silent > 0); /* the library said nothing */
}

static void test_codes_that_are_no_letters(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    const char *path = scratch_write("codes.csv", "lon,lat,stop\n1,2,A\n1,2,a\xEF\xBF\xBE"
                                                  "b\n");
    assert_fails(foci_table_read(&table, path, NULL, &err), err, FOCI_BAD_INPUT, "column \"stop\" holds U+FFFE");
    assert_string_equal(err.source, path);
    assert_int_equal(err.row, 2);
    path = scratch_write("codes.csv", "lon,lat,stop\n1,2,\xEF\xB7\x90\n");
    assert_fails(foci_table_read(&table, path, NULL, &err), err, FOCI_BAD_INPUT, "U+FDD0");
}

static void test_version(void **state) {
    (void)state;
    int major = 0, minor = 0;
    assert_int_equal(sscanf(foci_vector_file_version(), "%d.%d", &major, &minor), 2);
    assert_true(major >= 3);
}

static bool read_something(foci_error *err) {
    foci_table table = {0};
    bool ok = foci_table_read(&table, scratch_path("shapes.geojson"), NULL, err);
    foci_table_free(&table);
    return ok;
}

static bool read_csv(foci_error *err) {
    foci_table table = {0};
    bool ok = foci_table_read(&table, scratch_path("stops.csv"), NULL, err);
    foci_table_free(&table);
    return ok;
}

static void test_out_of_memory(void **state) {
    (void)state;
    geojson("{\"type\": \"Feature\", \"properties\": {\"stop\": \"A\", \"hits\": 3}, \"geometry\": {\"type\": "
            "\"Polygon\", \"coordinates\": [[[0,0],[4,0],[4,3],[0,0]],[[2,0.5],[3,0.5],[3,1],[2,0.5]]]}}");
    scratch_write("stops.csv", "stop,lon\nA,-83.5\nB,-83.6\n");
    support_fail_each_allocation(read_something);
    support_fail_each_allocation(read_csv);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_csv_dialects),
        cmocka_unit_test(test_geojson_points),
        cmocka_unit_test(test_geojson_other_shapes),
        cmocka_unit_test(test_kml_and_gpx),
        cmocka_unit_test(test_fingerprint),
        cmocka_unit_test(test_what_is_refused),
        cmocka_unit_test(test_layers),
        cmocka_unit_test(test_layers_of_phones),
        cmocka_unit_test(test_cut_flatgeobuf),
        cmocka_unit_test(test_codes_that_are_no_letters),
        cmocka_unit_test(test_version),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

#include "support/scratch.h"

#include <arpa/inet.h>
#include <poll.h>
#include <sqlite3.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cpl_http.h>

#include "data/files/gdal_session.h"
#include "data/files/geopackage_guard.h"
#include "data/files/vector_file.h"
#include "data/files/vector_guard.h"

/* A field whose reference system is `crs`, a JSON value. */
static const char *field_with_crs(const char *crs) {
    char text[1024];
    snprintf(text, sizeof text,
             "{\"type\": \"FeatureCollection\", \"crs\": %s, \"features\": [{\"type\": \"Feature\", \"properties\": "
             "{\"name\": \"a\"}, \"geometry\": {\"type\": \"Polygon\", \"coordinates\": [[[0, 0], [1, 0], [1, 1], [0, "
             "0]]]}}]}",
             crs);
    return scratch_write("field.geojson", text);
}

/* A port of this machine where nobody answers but calls can be seen. */
static int listen_here(int *port) {
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof address;
    int ear = socket(AF_INET, SOCK_STREAM, 0);
    assert_true(ear >= 0);
    assert_int_equal(bind(ear, (struct sockaddr *)&address, size), 0);
    assert_int_equal(listen(ear, 4), 0);
    assert_int_equal(getsockname(ear, (struct sockaddr *)&address, &size), 0);
    *port = ntohs(address.sin_port);
    return ear;
}

static bool was_called(int ear) {
    struct pollfd look = {.fd = ear, .events = POLLIN};
    return poll(&look, 1, 50) > 0;
}

static void test_nothing_is_fetched(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    foci_gdal_talk talk = {0};
    char crs[200], address[100];
    int port = 0, ear = listen_here(&port);
    snprintf(address, sizeof address, "http://127.0.0.1:%d/x", port);
    snprintf(crs, sizeof crs, "{\"type\": \"link\", \"properties\": {\"href\": \"%s\", \"type\": \"proj4\"}}", address);
    assert_fails(foci_table_read(&table, field_with_crs(crs), NULL, &err), err, FOCI_BAD_INPUT,
                 "another file or address");
    foci_gdal_begin(&talk);
    CPLHTTPResult *result = CPLHTTPFetch(address, NULL);
    assert_true(!result || (result->nDataLen == 0 && result->nStatus != 0));
    CPLHTTPDestroyResult(result);
    foci_gdal_end();
    assert_int_equal(talk.failures, 1);
    assert_false(was_called(ear));
    close(ear);
}

/* A pipe in the place of each file that a reader could be led to: who opens it waits for ever. */
static void test_no_file_is_opened(void **state) {
    (void)state;
    static const char *const systems[] = {
        "{\"type\": \"name\", \"properties\": {\"name\": \"+proj=longlat +ellps=clrk66 +nadgrids=%s +no_defs\"}}",
        "{\"type\": \"name\", \"properties\": {\"name\": \"+init=%s:1\"}}",
    };
    foci_error err = {0};
    foci_table table = {0};
    char crs[512], pipe[256];
    snprintf(pipe, sizeof pipe, "%s", scratch_path("pipe"));
    assert_int_equal(mkfifo(pipe, 0600), 0);
    alarm(30);
    for (size_t i = 0; i < sizeof systems / sizeof *systems; i++) {
        snprintf(crs, sizeof crs, systems[i], pipe);
        assert_fails(foci_table_read(&table, field_with_crs(crs), NULL, &err), err, FOCI_BAD_INPUT,
                     "another file or address");
    }
    assert_fails(foci_table_read(&table, pipe, NULL, &err), err, FOCI_NO_FILE, "a pipe or a device");
    const char *csv = scratch_write("stops.csv", "lon,lat\n1,2\n");
    char copy[256];
    snprintf(copy, sizeof copy, "%s", csv);
    assert_int_equal(mkfifo(scratch_path("stops.csvt"), 0600), 0);
    assert_fails(foci_table_read(&table, copy, NULL, &err), err, FOCI_NO_FILE, "a pipe or a device");
    assert_non_null(strstr(err.source, "stops.csvt"));
    assert_int_equal(unlink(scratch_path("stops.csvt")), 0);
    err = (foci_error){0};
    assert_done(foci_table_read(&table, copy, NULL, &err), err);
    foci_table_free(&table);
    alarm(0);
}

/* A shapefile or GeoPackage of one point. */
static const char *write_point(const char *name) {
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    static const foci_column columns[] = {{"stop", FOCI_COLUMN_TEXT}};
    const char *texts[] = {"A1"};
    const double numbers[] = {NAN};
    const foci_point place = {-83.52, 31.45};
    const char *path = scratch_path(name);
    assert_done(foci_vector_writer_open(&writer, path, &err), err);
    assert_done(foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, columns, 1, &err), err);
    assert_done(foci_vector_writer_add(writer, texts, numbers, &place, NULL, &err), err);
    assert_done(foci_vector_writer_close(writer, &err), err);
    return path;
}

static void change(const char *path, const char *statements) {
    sqlite3 *database = NULL;
    char *message = NULL;
    assert_int_equal(sqlite3_open(path, &database), SQLITE_OK);
    if (sqlite3_exec(database, statements, NULL, NULL, &message) != SQLITE_OK)
        fail_msg("%s", message);
    sqlite3_close(database);
}

static void test_systems_beside_and_inside(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    char path[256];
    snprintf(path, sizeof path, "%s", write_point("point.shp"));
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    foci_table_free(&table);
    scratch_write("point.prj", "+init=/nowhere/initf:1");
    assert_fails(foci_table_read(&table, path, NULL, &err), err, FOCI_BAD_INPUT, "another file or address");
    snprintf(path, sizeof path, "%s", write_point("inside.gpkg"));
    err = (foci_error){0};
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    foci_table_free(&table);
    change(path, "UPDATE gpkg_spatial_ref_sys SET definition = '+init=/nowhere/initf:1' WHERE srs_id = 4326");
    assert_fails(foci_table_read(&table, path, NULL, &err), err, FOCI_BAD_INPUT, "another file or address");
}

static const char endless[] = "CREATE VIEW %s AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) "
                              "SELECT i AS fid, geom, 'A' || i AS stop FROM n, stops %s;"
                              "INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) "
                              "VALUES ('%s', 'features', '%s', 4326);"
                              "INSERT INTO gpkg_geometry_columns VALUES ('%s', 'geom', 'POINT', 4326, 0, 0);";

static void test_views_that_do_not_end(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    char path[256], statements[1024];
    snprintf(path, sizeof path, "%s", write_point("views.gpkg"));
    snprintf(statements, sizeof statements, endless, "rows", "", "rows", "rows", "rows");
    change(path, statements);
    snprintf(statements, sizeof statements, endless, "silent", "WHERE i < 0", "silent", "silent", "silent");
    change(path, statements);
    foci_geopackage_limit(0.2);
    assert_fails(foci_table_read_layer(&table, path, "silent", &err), err, FOCI_BAD_INPUT, "takes too long");
    assert_fails(foci_table_read_layer(&table, path, "rows", &err), err, FOCI_BAD_INPUT, "takes too long");
    err = (foci_error){0};
    assert_done(foci_table_read_layer(&table, path, "stops", &err), err);
    foci_table_free(&table);
    foci_geopackage_limit(0);
}

static void test_archives(void **state) {
    (void)state;
    foci_error err = {0};
    foci_table table = {0};
    char command[512];
    /* 65 MB of blanks that pack into 70 KB */
    snprintf(command, sizeof command,
             "cd '%s' && python3 -c \"import zipfile; z = zipfile.ZipFile('bomb.kmz', 'w', zipfile.ZIP_DEFLATED); "
             "z.writestr('doc.kml', '<kml>' + ' ' * (65 << 20) + '</kml>'); z.close()\"",
             scratch_folder);
    assert_int_equal(system(command), 0); /* NOLINT: a folder of our own making */
    assert_fails(foci_table_read(&table, scratch_path("bomb.kmz"), NULL, &err), err, FOCI_NO_FILE, "more than 64 MB");
    snprintf(command, sizeof command, "cd '%s' && cp bomb.kmz bomb.xlsx && cp bomb.kmz bomb.zip", scratch_folder);
    assert_int_equal(system(command), 0); /* NOLINT: a folder of our own making */
    assert_fails(foci_table_read(&table, scratch_path("bomb.xlsx"), NULL, &err), err, FOCI_NO_FILE, "more than 64 MB");
    assert_fails(foci_table_read(&table, scratch_path("bomb.zip"), NULL, &err), err, FOCI_NO_FILE, "more than 64 MB");
    assert_fails(foci_table_read(&table, scratch_write("torn.kmz", "PK\3\4 and no more"), NULL, &err), err,
                 FOCI_NO_FILE, "list cannot be read");
    snprintf(command, sizeof command,
             "cd '%s' && python3 -c \"import zipfile; z = zipfile.ZipFile('stop.kmz', 'w', zipfile.ZIP_DEFLATED); "
             "z.writestr('doc.kml', '<kml xmlns=\\\"http://www.opengis.net/kml/2.2\\\"><Document><Placemark><Point>"
             "<coordinates>-83.52,31.45</coordinates></Point></Placemark></Document></kml>'); z.close()\"",
             scratch_folder);
    assert_int_equal(system(command), 0); /* NOLINT: a folder of our own making */
    err = (foci_error){0};
    assert_done(foci_table_read(&table, scratch_path("stop.kmz"), NULL, &err), err);
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_POINT);
    foci_table_free(&table);
}

/* Its reader makes a tree of all there is: a hole of 65 MB behind one place takes no room on the disk. */
static void test_large_kml(void **state) {
    (void)state;
    static const char one_stop[] = "<?xml version=\"1.0\"?><kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>"
                                   "<Placemark><Point><coordinates>-83.52,31.45</coordinates></Point></Placemark>"
                                   "</Document></kml>";
    static const char *const drivers[] = {"KML", "LIBKML", NULL};
    foci_error err = {0};
    foci_table table = {0};
    foci_gdal_talk talk = {0};
    const char *path = scratch_write("stop.kml", one_stop);
    assert_done(foci_table_read(&table, path, NULL, &err), err);
    assert_int_equal(table.shapes[0].kind, FOCI_SHAPE_POINT);
    foci_table_free(&table);
    assert_int_equal(truncate(path, (64L << 20) + 1), 0);
    assert_fails(foci_table_read(&table, path, NULL, &err), err, FOCI_NO_FILE,
                 "larger than the 64 MB of KML that can be read; save it as GeoPackage");
    assert_int_equal(truncate(path, 64L << 20), 0);
    err = (foci_error){0};
    foci_gdal_begin(&talk);
    assert_done(foci_vector_guard(path, drivers, &err), err);
    foci_gdal_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_is_fetched),
        cmocka_unit_test(test_no_file_is_opened),
        cmocka_unit_test(test_systems_beside_and_inside),
        cmocka_unit_test(test_views_that_do_not_end),
        cmocka_unit_test(test_archives),
        cmocka_unit_test(test_large_kml),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

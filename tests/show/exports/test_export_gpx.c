#include "show/exports/export_gpx.h"

#include <gdal.h>
#include <ogr_api.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "data/places/projection.h"
#include "support/support.h"

static char folder[64];

static const char *path_of(const char *name) {
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

/* Exit status of xmllint: 0 valid, 3 not valid; 127 where it is not installed. */
static int validity(const char *path) {
    char command[1024];
    snprintf(command, sizeof command, "xmllint --nonet --noout --relaxng '%s' '%s' 2>'%s/why'",
             support_testdata("schemas/gpx-1.1.rng"), path, folder);
    int status = system(command);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void assert_valid(const char *path) {
    int status = validity(path);
    if (status == 127) {
        print_message("xmllint is not installed\n");
        skip();
    }
    assert_int_equal(status, 0);
}

static char *content_of(const char *path) {
    foci_error err = {0};
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = foci_new_array(1, 100000, &err);
    assert_true(fread(text, 1, 99999, file) > 0);
    fclose(file);
    return text;
}

static char *const cautions[] = {"The label is the law <& more>.", "Keep setbacks."};
static const foci_sentences said = {2, (char **)cautions};

/* Ten digs walked from a gate. */
static foci_dig_points ten_digs(void) {
    foci_error err = {0};
    foci_dig_points digs = {.count = 10, .wanted = 10, .walk = 1234.56, .at_gate = true};
    digs.start_lonlat = (foci_point){-80.8591234567, 37.9971234567};
    digs.items = foci_new_array(10, sizeof *digs.items, &err);
    assert_non_null(digs.items);
    for (int i = 0; i < 10; i++) {
        foci_dig_point *dig = &digs.items[i];
        *dig = (foci_dig_point){.id = 10 - i,
                                .visit = i + 1,
                                .why = (foci_dig_why)(i % FOCI_DIG_END),
                                .lonlat = {-80.8583 + 0.000137 * i, 37.9981 - 0.000071 * i * i},
                                .chance = 0.0837 * i,
                                .severity = 3.7 * i};
        snprintf(dig->name, sizeof dig->name, "D%02d-%s", i + 1, foci_dig_why_name(dig->why));
    }
    return digs;
}

static void write_ten(const char *path, const char *field) {
    foci_error err = {0};
    foci_dig_points digs = ten_digs();
    unlink(path);
    assert_done(foci_gpx_write_digs(&digs, field, "2025-06-15T15:06:40Z", &said, path, &err), err);
    foci_dig_points_free(&digs);
}

static void test_digs_are_valid(void **unused) {
    (void)unused;
    const char *path = path_of("digs.gpx");
    write_ten(path, "Long acre");
    assert_valid(path);
    char *text = content_of(path);
    assert_non_null(strstr(text, "<name>Dig checks in Long acre</name>"));
    assert_non_null(strstr(text, "<time>2025-06-15T15:06:40Z</time>"));
    assert_non_null(strstr(text, "4,100 ft (1,200 m) from the gate"));
    assert_non_null(
        strstr(text, "Dig 4, chance that the threshold is passed 25 %: drawn by lot from the rest of the field"));
    /* who digs is told what to mind, in the file and at each place */
    assert_non_null(strstr(text, "ponds. The label is the law &lt;&amp; more&gt;. Keep setbacks.</desc>"));
    size_t told = 0;
    for (const char *at = text; (at = strstr(at, "clean boots and spade after it; keep the re-entry interval")); at++)
        told++;
    assert_int_equal(told, 20); /* ten waypoints, and the route through them */
    free(text);
}

/* The schema of these tests finds faults: an exponent, longitude 180, parts out of order, an unknown part. */
static void test_schema_finds_faults(void **unused) {
    (void)unused;
    static const char *const faults[] = {"<wpt lat='1e1' lon='2'/>",
                                         "<wpt lat='1' lon='180'/>",
                                         "<wpt lat='90.5' lon='2'/>",
                                         "<wpt lat='1'/>",
                                         "<wpt lat='1' lon='2'><type>a</type><name>b</name></wpt>",
                                         "<wpt lat='1' lon='2'><colour>red</colour></wpt>",
                                         "<rte/><wpt lat='1' lon='2'/>"};
    for (size_t i = 0; i <= sizeof faults / sizeof *faults; i++) {
        const char *path = path_of("fault.gpx"), *middle = i > 0 ? faults[i - 1] : "<wpt lat='1' lon='2'/>";
        FILE *file = fopen(path, "w");
        assert_non_null(file);
        fprintf(file, "<gpx version='1.1' creator='t' xmlns='http://www.topografix.com/GPX/1/1'>%s</gpx>", middle);
        assert_int_equal(fclose(file), 0);
        int status = validity(path);
        if (status == 127)
            skip();
        assert_int_equal(status, i > 0 ? 3 : 0);
    }
}

/* Read by OGR: the same places to a millimetre, names and reasons, in walking order; the route leads there and back. */
static void test_read_back(void **unused) {
    (void)unused;
    const char *path = path_of("digs.gpx");
    foci_dig_points digs = ten_digs();
    write_ten(path, NULL);
    GDALAllRegister();
    GDALDatasetH file = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "waypoints");
    assert_int_equal(OGR_L_GetFeatureCount(layer, 1), 10);
    for (size_t i = 0; i < 10; i++) {
        OGRFeatureH feature = OGR_L_GetNextFeature(layer);
        OGRGeometryH point = OGR_F_GetGeometryRef(feature);
        foci_point place = {OGR_G_GetX(point, 0), OGR_G_GetY(point, 0)};
        assert_true(foci_geodesic_distance(place, digs.items[i].lonlat) < 0.001);
        assert_string_equal(OGR_F_GetFieldAsString(feature, OGR_F_GetFieldIndex(feature, "name")), digs.items[i].name);
        assert_string_equal(OGR_F_GetFieldAsString(feature, OGR_F_GetFieldIndex(feature, "type")),
                            foci_dig_why_name(digs.items[i].why));
        OGR_F_Destroy(feature);
    }
    OGRLayerH routes = GDALDatasetGetLayerByName(file, "routes");
    OGRFeatureH route = OGR_L_GetNextFeature(routes);
    OGRGeometryH line = OGR_F_GetGeometryRef(route);
    assert_int_equal(OGR_G_GetPointCount(line), 12);
    for (int end = 0; end < 12; end += 11) {
        foci_point place = {OGR_G_GetX(line, end), OGR_G_GetY(line, end)};
        assert_true(foci_geodesic_distance(place, digs.start_lonlat) < 0.001);
    }
    OGR_F_Destroy(route);
    GDALClose(file);
    foci_dig_points_free(&digs);
}

static void test_texts_are_escaped(void **unused) {
    (void)unused;
    const char *path = path_of("digs.gpx");
    write_ten(path, "Hill & <dale> \xc3\xa9t\xc3\xa9 \"\xe2\x82\xac\" \xf0\x9f\x8c\xb1 \x01 \xff \xc3 \xed\xa0\x80.");
    assert_valid(path);
    char *text = content_of(path);
    assert_non_null(
        strstr(text, "Hill &amp; &lt;dale&gt; \xc3\xa9t\xc3\xa9 \"\xe2\x82\xac\" \xf0\x9f\x8c\xb1 ? ? ? ???."));
    free(text);
}

static void test_ends_of_the_globe(void **unused) {
    (void)unused;
    foci_error err = {0};
    const char *path = path_of("ends.gpx");
    foci_gpx_place places[] = {{{180, 0}, "A", NULL, NULL}, {{179.9999999999, -90}, "B", "x", "y"}};
    const foci_gpx gpx = {.count = 2, .places = places, .closed = true};
    assert_done(foci_gpx_write(&gpx, path, &err), err);
    assert_valid(path);
    assert_fails(foci_gpx_write(&gpx, path, &err), err, FOCI_NO_FILE, "already there");
    unlink(path);
    places[1].lonlat.y = 90.5;
    assert_fails(foci_gpx_write(&gpx, path, &err), err, FOCI_BAD_INPUT, "no longitude and latitude");
    places[1].lonlat.y = NAN;
    assert_fails(foci_gpx_write(&gpx, path, &err), err, FOCI_BAD_INPUT, "no longitude and latitude");
    assert_int_not_equal(access(path, F_OK), 0);
}

static void test_no_digs_at_all(void **unused) {
    (void)unused;
    foci_error err = {0};
    const char *path = path_of("none.gpx");
    const foci_dig_points none = {.wanted = 10, .start_lonlat = {-80, 38}};
    assert_done(foci_gpx_write_digs(&none, "", "2025-06-15T15:06:40Z", &said, path, &err), err);
    assert_valid(path);
    unlink(path);
    foci_dig_points idw = ten_digs();
    for (size_t i = 0; i < 10; i++)
        idw.items[i].chance = NAN;
    assert_done(foci_gpx_write_digs(&idw, "", NULL, &said, path, &err), err);
    char *text = content_of(path);
    assert_null(strstr(text, "nan"));
    assert_null(strstr(text, "chance"));
    free(text);
    foci_dig_points_free(&idw);
    unlink(path);
}

static void test_no_folder(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_dig_points digs = ten_digs();
    assert_fails(foci_gpx_write_digs(&digs, "", "", &said, path_of("nowhere/digs.gpx"), &err), err, FOCI_NO_FILE, "");
    foci_dig_points_free(&digs);
}

static bool attempt(foci_error *err) {
    foci_dig_points digs = {.count = 1};
    foci_dig_point dig = {.visit = 1, .name = "D01-UNSURE", .why = FOCI_DIG_UNSURE, .chance = 0.4};
    char path[128];
    snprintf(path, sizeof path, "%s/memory.gpx", folder);
    digs.items = &dig;
    unlink(path);
    bool ok = foci_gpx_write_digs(&digs, "A", "2025-06-15T15:06:40Z", &said, path, err);
    assert_int_equal(access(path, F_OK) == 0, ok);
    return ok;
}

static void test_memory_runs_out(void **unused) {
    (void)unused;
    support_fail_each_allocation(attempt);
}

static int make_folder(void **unused) {
    (void)unused;
    snprintf(folder, sizeof folder, "/tmp/foci-test-gpx-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int remove_folder(void **unused) {
    (void)unused;
    static const char *const files[] = {"digs.gpx", "fault.gpx", "ends.gpx", "none.gpx", "memory.gpx", "why"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        unlink(path_of(files[i]));
    return rmdir(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_digs_are_valid),    cmocka_unit_test(test_schema_finds_faults),
        cmocka_unit_test(test_read_back),         cmocka_unit_test(test_texts_are_escaped),
        cmocka_unit_test(test_ends_of_the_globe), cmocka_unit_test(test_no_digs_at_all),
        cmocka_unit_test(test_no_folder),         cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}

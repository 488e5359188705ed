#include "data/stops/point_table.h"

#include "data/places/projection.h"
#include "support/scratch.h"

/* UTM 17N of 43.642567 N, 79.387139 W: 630084.301, 4833438.586 (Krueger's series, computed apart from the library). */
static const double lon = -79.387139, lat = 43.642567, east = 630084.301, north = 4833438.586;

static const char utm_csv[] = "x,y,score\n630084.301,4833438.586,2.385\n";

static void read_and_compare(const char *path, const char *crs, const char *xy, double tolerance) {
    foci_error err = {0};
    foci_point_table points = {0};
    assert_done(foci_point_table_read(&points, path, crs, xy, NULL, &err), err);
    assert_near(points.lonlat[0].x, lon, tolerance);
    assert_near(points.lonlat[0].y, lat, tolerance);
    foci_point_table_free(&points);
    foci_point_table_free(&points);
}

static void coordinate_columns_are_found_by_name(void **state) {
    (void)state;
    static const char *const heads[] = {"lon,lat", "LON,Lat", "longitude,latitude", "Longitude,LATITUDE"};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++) {
        char text[200];
        snprintf(text, sizeof text, "%s,score\n%.6f,%.6f,2.385\n", heads[i], lon, lat);
        read_and_compare(scratch_write("a.csv", text), NULL, NULL, 0);
    }
    char text[200];
    snprintf(text, sizeof text, "n,lat,lon\n1,%.6f,%.6f\n", lat, lon);
    read_and_compare(scratch_write("a.csv", text), NULL, NULL, 0);
}

static void projected_columns_are_turned_into_degrees(void **state) {
    (void)state;
    read_and_compare(scratch_write("a.csv", utm_csv), "EPSG:32617", NULL, 2e-8);
    char text[200];
    snprintf(text, sizeof text, "Easting,Northing\n%.3f,%.3f\n", east, north);
    read_and_compare(scratch_write("a.csv", text), "EPSG:32617", NULL, 2e-8);
    snprintf(text, sizeof text, "rechts,hoch\n%.3f,%.3f\n", east, north);
    read_and_compare(scratch_write("a.csv", text), "EPSG:32617", "rechts,hoch", 2e-8);
}

static void columns_may_be_named_the_other_way_round(void **state) {
    (void)state;
    char text[200];
    snprintf(text, sizeof text, "lon,lat\n%.6f,%.6f\n", lat, lon);
    read_and_compare(scratch_write("a.csv", text), NULL, "lat,lon", 0);
}

static void a_file_with_a_system_keeps_it(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    const char *path = scratch_write("a.geojson", "{\"type\":\"FeatureCollection\",\"features\":["
                                                  "{\"type\":\"Feature\",\"properties\":{\"score\":2.385},\"geometry\":"
                                                  "{\"type\":\"Point\",\"coordinates\":[-79.387139,43.642567]}},"
                                                  "{\"type\":\"Feature\",\"properties\":{\"score\":1.5},"
                                                  "\"geometry\":null}]}");
    assert_done(foci_point_table_read(&points, path, "EPSG:32617", NULL, NULL, &err), err);
    assert_true(foci_crs_same(points.crs, "EPSG:4326"));
    assert_near(points.lonlat[0].x, lon, 0);
    assert_near(points.lonlat[1].x, NAN, 0);
    foci_point_table_free(&points);
}

static void own_coordinates_are_kept_to_the_last_bit(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    assert_done(foci_point_table_read(&points, scratch_write("a.csv", utm_csv), "EPSG:32617", NULL, NULL, &err), err);
    assert_true(points.own[0].x == 630084.301 && points.own[0].y == 4833438.586);
    assert_string_equal(points.crs, "EPSG:32617");
    foci_point_table_free(&points);
}

static void rows_without_a_place_come_through(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    const char *path = scratch_write("a.csv", "lon,lat,n\n-79.3,43.6,1\n,43.6,2\nwest,43.6,3\n0,0,4\n43.6,-93.4,5\n");
    assert_done(foci_point_table_read(&points, path, NULL, NULL, NULL, &err), err);
    assert_int_equal(points.table.row_count, 5);
    assert_near(points.lonlat[0].x, -79.3, 0);
    assert_near(points.lonlat[1].x, NAN, 0);
    assert_near(points.lonlat[2].y, NAN, 0);
    assert_near(points.lonlat[3].x, 0, 0);
    assert_near(points.lonlat[4].y, -93.4, 0); /* beyond the pole: the data checks tell why */
    foci_point_table_free(&points);
}

static void degrees_of_another_datum_may_be_swapped(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    const char *path = scratch_write("a.csv", "lon,lat\n43.642567,-97.387139\n");
    assert_done(foci_point_table_read(&points, path, "EPSG:4267", NULL, NULL, &err), err);
    assert_near(points.lonlat[0].y, -97.387139, 1e-9);
    foci_point_table_free(&points);
}

static void what_cannot_be_read_is_said(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    assert_fails(foci_point_table_read(&points, scratch_write("a.csv", utm_csv), NULL, NULL, NULL, &err), err,
                 FOCI_BAD_INPUT, "{crs} CODE");
    assert_fails(foci_point_table_read(&points, scratch_write("a.csv", utm_csv), "EPSG:99999999", NULL, NULL, &err),
                 err, FOCI_BAD_SETTING, "EPSG:99999999");
    assert_string_equal(err.key, "crs");
    assert_fails(
        foci_point_table_read(&points, scratch_write("a.csv", "lon,lat,x,y\n1,2,3,4\n"), NULL, NULL, NULL, &err), err,
        FOCI_BAD_INPUT, "lon,lat and x,y; name the pair to use with {xy}");
    assert_fails(foci_point_table_read(&points, scratch_write("a.csv", "stop,score\n1,2\n"), NULL, NULL, NULL, &err),
                 err, FOCI_BAD_INPUT, "stop, score");
    assert_fails(foci_point_table_read(&points, scratch_write("a.csv", utm_csv), NULL, "x", NULL, &err), err,
                 FOCI_BAD_SETTING, "XCOLUMN,YCOLUMN");
    assert_fails(foci_point_table_read(&points, scratch_write("a.csv", utm_csv), NULL, "x,yy", NULL, &err), err,
                 FOCI_BAD_INPUT, "no column \"yy\"");
    assert_fails(
        foci_point_table_read(&points, scratch_write("a.csv", "lon,lat\nhere,there\n"), NULL, NULL, NULL, &err), err,
        FOCI_BAD_INPUT, "holds no number (row 1: \"here\")");
    assert_fails(foci_point_table_read(&points, "/no/such/file.csv", NULL, NULL, NULL, &err), err, FOCI_NO_FILE, "");
    assert_null(points.own);
}

static void outside_the_area_of_use_is_an_error(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    const char *path = scratch_write("a.csv", "x,y\n630084.301,4833438.586\n-79.387139,43.642567\n");
    assert_fails(foci_point_table_read(&points, path, "EPSG:32617", NULL, NULL, &err), err, FOCI_BAD_INPUT,
                 "area of use");
    assert_int_equal(err.row, 2);
    /* a receiver without a fix is for the data checks */
    path = scratch_write("a.csv", "x,y\n630084.301,4833438.586\n0,0\n");
    err = (foci_error){0};
    assert_done(foci_point_table_read(&points, path, "EPSG:32617", NULL, NULL, &err), err);
    assert_near(points.own[1].x, 0, 0);
    foci_point_table_free(&points);
}

static void lines_are_no_stops(void **state) {
    (void)state;
    foci_error err = {0};
    foci_point_table points = {0};
    const char *path = scratch_write(
        "a.geojson", "{\"type\":\"Feature\",\"properties\":{\"score\":2.385},\"geometry\":"
                     "{\"type\":\"LineString\",\"coordinates\":[[-79.387139,43.642567],[-79.38,43.64]]}}");
    assert_fails(foci_point_table_read(&points, path, NULL, NULL, NULL, &err), err, FOCI_BAD_INPUT, "is a line");
    assert_int_equal(err.row, 1);
}

static bool attempt(foci_error *err) {
    foci_point_table points = {0};
    char path[200];
    snprintf(path, sizeof path, "%s/each.csv", scratch_folder);
    bool ok = foci_point_table_read(&points, path, "EPSG:32617", "x,y", NULL, err);
    foci_point_table_free(&points);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    scratch_write("each.csv", utm_csv);
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(coordinate_columns_are_found_by_name),
        cmocka_unit_test(projected_columns_are_turned_into_degrees),
        cmocka_unit_test(columns_may_be_named_the_other_way_round),
        cmocka_unit_test(a_file_with_a_system_keeps_it),
        cmocka_unit_test(own_coordinates_are_kept_to_the_last_bit),
        cmocka_unit_test(rows_without_a_place_come_through),
        cmocka_unit_test(degrees_of_another_datum_may_be_swapped),
        cmocka_unit_test(what_cannot_be_read_is_said),
        cmocka_unit_test(outside_the_area_of_use_is_an_error),
        cmocka_unit_test(lines_are_no_stops),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

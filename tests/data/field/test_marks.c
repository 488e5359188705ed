/* What people know their field by: every kind of shape, every layer, names as one line. */
#include "fieldfoci/marks.h"

#include "data/places/projection.h"
#include "support/scratch.h"

#define WORK "EPSG:32617"

static const char geojson[] =
    "{\"type\":\"FeatureCollection\",\"features\":["
    "{\"type\":\"Feature\",\"properties\":{\"Name\":\"old\\nwell\"},"
    "\"geometry\":{\"type\":\"Point\",\"coordinates\":[-81,42]}},"
    "{\"type\":\"Feature\",\"properties\":{\"Name\":\"mill road\"},\"geometry\":{\"type\":\"MultiLineString\","
    "\"coordinates\":[[[-81,42],[-80.999,42.001],[-80.998,42.001]],[[-80.99,42],[-80.98,42]]]}},"
    "{\"type\":\"Feature\",\"properties\":{\"Name\":null},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":"
    "[[[-81,42],[-80.999,42],[-80.999,42.001],[-81,42]]]}},"
    "{\"type\":\"Feature\",\"properties\":{\"Name\":\"nowhere\"},\"geometry\":null}]}";

static const char gpx[] =
    "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"t\" "
    "xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"42\" lon=\"-81\"><name>gate</name></wpt>"
    "<trk><name>drain</name><trkseg><trkpt lat=\"42\" lon=\"-81\"/><trkpt lat=\"42.001\" "
    "lon=\"-81\"/></trkseg></trk></gpx>";

/* 81 W is the middle of zone 17: x is 500,000 m there by definition; y by PROJ's own way. */
static double northing(double latitude) {
    foci_error err = {0};
    foci_projection *projection = NULL;
    foci_point place = {-81, latitude};
    assert_done(foci_projection_open(&projection, "EPSG:4326", WORK, &err), err);
    assert_int_equal(foci_projection_forward(projection, &place, 1), 0);
    foci_projection_close(projection);
    return place.y;
}

static void points_lines_and_areas_are_read(void **state) {
    (void)state;
    foci_marks marks = {0};
    foci_error err = {0};
    assert_done(foci_marks_read(&marks, scratch_write("a.geojson", geojson), WORK, NULL, &err), err);
    assert_int_equal(marks.count, 3);
    assert_int_equal(marks.items[0].kind, FOCI_MARK_POINT);
    assert_string_equal(marks.items[0].name, "old well");
    assert_near(marks.items[0].parts[0].points[0].x, 500000, 1e-3);
    assert_near(marks.items[0].parts[0].points[0].y, northing(42), 1e-3);
    assert_int_equal(marks.items[1].kind, FOCI_MARK_LINE);
    assert_string_equal(marks.items[1].name, "mill road");
    assert_int_equal(marks.items[1].count, 2);
    assert_int_equal(marks.items[1].parts[0].count, 3);
    assert_int_equal(marks.items[1].parts[1].count, 2);
    assert_int_equal(marks.items[2].kind, FOCI_MARK_AREA);
    assert_string_equal(marks.items[2].name, "");
    assert_int_equal(marks.items[2].parts[0].count, 3); /* the last corner does not repeat the first */
    /* More of them, from another file: a track's points are no marks of their own. */
    assert_done(foci_marks_read(&marks, scratch_write("b.gpx", gpx), WORK, NULL, &err), err);
    assert_int_equal(marks.count, 5);
    assert_string_equal(marks.items[3].name, "gate");
    assert_string_equal(marks.items[4].name, "drain");
    assert_int_equal(marks.items[4].parts[0].count, 2);
    assert_near(marks.items[4].parts[0].points[1].y, northing(42.001), 1e-3);
    assert_done(foci_marks_read(&marks, scratch_write("c.csv", "lon,lat,label\n-81,42,elm\n"), WORK, NULL, &err), err);
    assert_int_equal(marks.count, 6);
    assert_string_equal(marks.items[5].name, "elm");
    assert_near(marks.items[5].parts[0].points[0].x, 500000, 1e-3);
    foci_marks_free(&marks);
    foci_marks_free(&marks);
}

static void what_cannot_be_drawn_is_refused(void **state) {
    (void)state;
    foci_marks marks = {0};
    foci_error err;
    assert_fails(foci_marks_read(&marks, "/nowhere/marks.gpx", WORK, NULL, &err), err, FOCI_NO_FILE, "");
    assert_fails(foci_marks_read(&marks, scratch_write("x.geojson", "{\"type\":\"FeatureCollection\",\"features\":[]}"),
                                 WORK, NULL, &err),
                 err, FOCI_BAD_INPUT, "holds no features");
    assert_fails(
        foci_marks_read(&marks,
                        scratch_write("y.geojson", "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":"
                                                   "\"Feature\",\"properties\":{\"a\":1},\"geometry\":null}]}"),
                        WORK, NULL, &err),
        err, FOCI_BAD_INPUT, "no point, line or polygon");
    assert_fails(foci_marks_read(&marks, scratch_write("z.csv", "a,b\n1,2\n"), WORK, NULL, &err), err, FOCI_BAD_INPUT,
                 "");
    assert_fails(foci_marks_read(&marks, scratch_write("a.geojson", geojson), WORK, "EPSG:999999", &err), err,
                 FOCI_BAD_SETTING, "");
    assert_int_equal(marks.count, 0);
    assert_null(marks.items);
}

static const char *attempted;

static bool attempt(foci_error *err) {
    foci_marks marks = {0};
    const bool ok = foci_marks_read(&marks, attempted, WORK, NULL, err) &&
                    foci_marks_add_point(&marks, (foci_point){1, 2}, NULL, err);
    foci_marks_free(&marks);
    return ok;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    attempted = scratch_write("a.geojson", geojson);
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_lines_and_areas_are_read),
        cmocka_unit_test(what_cannot_be_drawn_is_refused),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

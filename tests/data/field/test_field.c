#include "fieldfoci/field.h"

#include "data/files/vector_file.h"
#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "support/scratch.h"

/* One square of 0.005 degrees away from (lon, lat), closed. */
#define SQUARE(lon, lat)                                                                                               \
    "[[[" #lon "0," #lat "0],[" #lon "5," #lat "0],[" #lon "5," #lat "5],[" #lon "0," #lat "5],[" #lon "0," #lat "0]]" \
    "]"
#define FEATURE(properties, type, coordinates)                                                                         \
    "{\"type\":\"Feature\",\"properties\":" properties ",\"geometry\":{\"type\":\"" type                               \
    "\",\"coordinates\":" coordinates "}}"
#define COLLECTION(features) "{\"type\":\"FeatureCollection\",\"features\":[" features "]}"

static const char home_piece[] = COLLECTION(FEATURE("{\"name\":\"Home piece\"}", "Polygon", SQUARE(-93.34, 42.97)));
static const char two_pieces[] =
    COLLECTION(FEATURE("{\"name\":\"Home piece\",\"no\":1}", "Polygon", SQUARE(-93.34, 42.97)) "," FEATURE(
        "{\"name\":\"Back piece\",\"no\":2}", "Polygon", SQUARE(-93.36, 42.97)));

static foci_field read_field(const char *name, const char *text, foci_field_options options, foci_findings *findings) {
    foci_error err = {0};
    foci_field field = {0};
    assert_done(foci_field_read(&field, scratch_write(name, text), &options, findings, &err), err);
    return field;
}

static void fails(const char *name, const char *text, foci_field_options options, foci_status status,
                  const char *words) {
    foci_error err = {0};
    foci_field field = {0};
    foci_findings findings = {0};
    assert_fails(foci_field_read(&field, scratch_write(name, text), &options, &findings, &err), err, status, words);
    assert_null(field.name);
    assert_int_equal(findings.count, 0);
}

static void a_boundary_is_read(void **state) {
    (void)state;
    foci_findings findings = {0};
    foci_field field = read_field("field.geojson", home_piece, (foci_field_options){0}, &findings);
    assert_string_equal(field.name, "Home piece");
    assert_int_equal(findings.count, 0);
    assert_int_equal(strlen(field.input.sha256), 64);
    assert_near(field.centre.x, -93.3425, 1e-9);
    assert_near(field.centre.y, 42.9725, 1e-6);
    /* radii of curvature of WGS84 at 42.9725 N: 6365165.7 m north-south, 6388067.4 m east-west; the square is 555.46 m
     * by 407.9 m (worked by hand from a = 6378137, f = 1/298.257223563) */
    const double a = 6378137, e2 = 0.0066943799901413165, radian = 0.017453292519943295, sine = sin(42.9725 * radian);
    double meridian = a * (1 - e2) / pow(1 - e2 * sine * sine, 1.5), normal = a / sqrt(1 - e2 * sine * sine);
    double plain = meridian * 0.005 * radian * normal * cos(42.9725 * radian) * 0.005 * radian / 10000;
    assert_near(field.area_ha, plain, 1e-6 * plain);
    foci_field_free(&field);
    foci_field_free(&field);
}

/* A shapefile that does not say its system. */
static const char *write_without_system(foci_multipolygon *shape) {
    static char path[200];
    static const char *const ends[] = {"shp", "shx", "dbf", "prj", "cpg"};
    foci_error err = {0};
    foci_vector_writer *writer = NULL;
    const foci_column columns[] = {{"name", FOCI_COLUMN_TEXT}};
    const char *texts[] = {"Forty"};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        snprintf(path, sizeof path, "%s/forty.%s", scratch_folder, ends[i]);
        unlink(path);
    }
    snprintf(path, sizeof path, "%s/forty.shp", scratch_folder);
    assert_done(foci_vector_writer_open(&writer, path, &err), err);
    assert_done(foci_vector_writer_layer(writer, "forty", FOCI_SHAPE_AREA, columns, 1, &err), err);
    assert_done(foci_vector_writer_add(writer, texts, NULL, NULL, shape, &err), err);
    assert_done(foci_vector_writer_close(writer, &err), err);
    snprintf(path, sizeof path, "%s/forty.prj", scratch_folder);
    unlink(path);
    snprintf(path, sizeof path, "%s/forty.shp", scratch_folder);
    return path;
}

/* 40 acres are 402.336 m square, 16.187426 ha (definition of the international foot). In UTM the square is drawn at the
 * central meridian, where the scale is 0.9996, so that it covers 40 acres of ground. */
static void forty_acres_are_forty_acres(void **state) {
    (void)state;
    const double side = 402.336 * 0.9996, west = 500000 - side / 2, south = 3500000;
    foci_point corners[] = {{west, south}, {west + side, south}, {west + side, south + side}, {west, south + side}};
    foci_ring ring = {4, corners};
    foci_polygon polygon = {1, &ring};
    foci_multipolygon shape = {1, &polygon};
    foci_error err = {0};
    foci_findings findings = {0};
    foci_field field = {0};
    const char *path = write_without_system(&shape);
    assert_done(foci_field_read(&field, path, &(foci_field_options){.crs = "EPSG:32617"}, &findings, &err), err);
    assert_near(field.area_ha, 16.187426, 16.187426 * 1e-4);
    assert_string_equal(field.name, "Forty");
    foci_field_free(&field);
    assert_fails(foci_field_read(&field, path, &(foci_field_options){0}, &findings, &err), err, FOCI_BAD_INPUT,
                 "{crs} CODE");
    assert_fails(foci_field_read(&field, path, &(foci_field_options){.crs = "EPSG:nonsense"}, &findings, &err), err,
                 FOCI_BAD_SETTING, "EPSG:nonsense");
    assert_fails(foci_field_read(&field, path, &(foci_field_options){.crs = "EPSG:4326"}, &findings, &err), err,
                 FOCI_BAD_INPUT, "reaches latitude");
    assert_fails(foci_field_read(&field, path, &(foci_field_options){.crs = "EPSG:28992"}, &findings, &err), err,
                 FOCI_BAD_INPUT, "area of use of Amersfoort");
}

static void holes_and_parts_are_kept(void **state) {
    (void)state;
    const char *text =
        COLLECTION(FEATURE("{}", "MultiPolygon",
                           "[[[[-93.34,42.97],[-93.33,42.97],[-93.33,42.98],[-93.34,42.98],[-93.34,42.97]],"
                           "[[-93.337,42.973],[-93.337,42.976],[-93.334,42.976],[-93.334,42.973],[-93.337,42.973]]],"
                           "[[[-93.32,42.97],[-93.31,42.97],[-93.31,42.98],[-93.32,42.98],[-93.32,42.97]]]]"));
    foci_findings findings = {0};
    foci_field field = read_field("parts.geojson", text, (foci_field_options){0}, &findings);
    assert_string_equal(field.name, "");
    assert_int_equal(field.lonlat.count, 2);
    assert_false(foci_multipolygon_contains(&field.lonlat, (foci_point){-93.3355, 42.9745}));
    assert_true(foci_multipolygon_contains(&field.lonlat, (foci_point){-93.3385, 42.9745}));
    assert_true(foci_multipolygon_contains(&field.lonlat, (foci_point){-93.315, 42.9745}));
    assert_false(foci_multipolygon_contains(&field.lonlat, (foci_point){-93.325, 42.9745}));
    assert_int_equal(findings.count, 0);
    foci_field_free(&field);
}

static void one_of_several_is_chosen(void **state) {
    (void)state;
    foci_findings findings = {0};
    foci_field field = read_field("two.geojson", two_pieces, (foci_field_options){.name = "Back piece"}, &findings);
    assert_near(field.centre.x, -93.3625, 1e-9);
    foci_field_free(&field);
    field = read_field("two.geojson", two_pieces, (foci_field_options){.name = "1", .column = "no"}, &findings);
    assert_near(field.centre.x, -93.3425, 1e-9);
    assert_string_equal(field.name, "1");
    foci_field_free(&field);
    fails("two.geojson", two_pieces, (foci_field_options){0}, FOCI_BAD_INPUT,
          "2 fields: \"Home piece\", \"Back piece\"; choose one with {field-name}");
    fails("two.geojson", two_pieces, (foci_field_options){.name = "Front piece"}, FOCI_BAD_INPUT,
          "no field \"Front piece\"; there are: \"Home piece\", \"Back piece\"");
    fails("two.geojson", two_pieces, (foci_field_options){.column = "farm"}, FOCI_BAD_INPUT, "no column \"farm\"");
    fails("two.geojson",
          COLLECTION(FEATURE("{\"name\":\"A\"}", "Polygon",
                             SQUARE(-93.34, 42.97)) "," FEATURE("{\"name\":\"A\"}", "Polygon", SQUARE(-93.36, 42.97))),
          (foci_field_options){.name = "A"}, FOCI_BAD_INPUT, "2 fields named \"A\"");
    fails("two.geojson",
          COLLECTION(FEATURE("{\"no\":1}", "Polygon", SQUARE(-93.34, 42.97)) "," FEATURE("{\"no\":2}", "Polygon",
                                                                                         SQUARE(-93.36, 42.97))),
          (foci_field_options){0}, FOCI_BAD_INPUT, "{field-column} COLUMN");
}

static void a_crossed_boundary_is_repaired(void **state) {
    (void)state;
    foci_findings findings = {0};
    const char *text =
        COLLECTION(FEATURE("{\"name\":\"Bow tie\"}", "Polygon",
                           "[[[-93.34,42.97],[-93.33,42.98],[-93.33,42.97],[-93.34,42.98],[-93.34,42.97]]]"));
    foci_field field = read_field("bow.geojson", text, (foci_field_options){0}, &findings);
    assert_int_equal(findings.count, 1);
    assert_string_equal(findings.items[0].what, "boundary repaired");
    assert_non_null(strstr(findings.items[0].text, "bow.geojson was repaired"));
    assert_true(foci_overlay_valid(&field.lonlat));
    assert_int_equal(field.lonlat.count, 2);
    foci_field_free(&field);
    foci_findings_free(&findings);
}

static void other_shapes_are_no_boundary(void **state) {
    (void)state;
    const foci_field_options none = {0};
    fails("line.geojson", COLLECTION(FEATURE("{}", "LineString", "[[-93.34,42.97],[-93.33,42.98],[-93.33,42.97]]")),
          none, FOCI_BAD_INPUT, "is not closed: 2,700 ft (820 m) are missing between its ends");
    fails("point.geojson", COLLECTION(FEATURE("{}", "Point", "[-93.34,42.97]")), none, FOCI_BAD_INPUT,
          "made of points; draw it as one closed polygon");
    fails("empty.geojson", COLLECTION(""), none, FOCI_BAD_INPUT, "");
    fails("nothing.geojson", COLLECTION("{\"type\":\"Feature\",\"properties\":{\"a\":1},\"geometry\":null}"), none,
          FOCI_BAD_INPUT, "holds no polygon");
    fails("flat.geojson", COLLECTION(FEATURE("{}", "Polygon", "[[[-93.34,42.97],[-93.33,42.98],[-93.34,42.97]]]")),
          none, FOCI_BAD_INPUT, "");
    fails("swapped.geojson", COLLECTION(FEATURE("{}", "Polygon", SQUARE(42.97, -93.34))), none, FOCI_BAD_INPUT,
          "swap them");
}

/* ---- the work system ---- */

static foci_stop stop_at(double x, double y) {
    return (foci_stop){.name = "S", .own = {x, y}, .lonlat = {x, y}, .used = true, .pooled_into = FOCI_NOT_POOLED};
}

static void the_utm_zone_of_the_field_is_the_work_system(void **state) {
    (void)state;
    foci_error err = {0};
    foci_findings findings = {0};
    char work[256];
    /* 43.642567 N, 79.387139 W in UTM 17N: 630084.301, 4833438.586 (Krueger's series, computed apart from the library);
     * the second input is in that system already, at coordinates that no transformation would return */
    foci_input inputs[] = {{.file = "a.csv", .crs = "EPSG:4326"}, {.file = "b.csv", .crs = "EPSG:32617"}};
    foci_stop items[] = {stop_at(-79.387139, 43.642567), stop_at(-79.387139, 43.642567), stop_at(NAN, NAN)};
    items[1].input = 1;
    items[1].own = (foci_point){630084.123456789, 4833438.987654321};
    foci_stops stops = {.input_count = 2, .inputs = inputs, .count = 3, .items = items};
    assert_done(foci_field_project(NULL, &stops, NULL, work, &findings, &err), err);
    assert_string_equal(work, "EPSG:32617");
    assert_near(items[0].place.x, 630084.301, 0.001);
    assert_near(items[0].place.y, 4833438.586, 0.001);
    assert_true(items[1].place.x == 630084.123456789 && items[1].place.y == 4833438.987654321);
    assert_near(items[2].place.x, NAN, 0);

    foci_field field = read_field("field.geojson", home_piece, (foci_field_options){0}, &findings);
    assert_done(foci_field_project(&field, &stops, NULL, work, &findings, &err), err);
    assert_string_equal(field.work_crs, "EPSG:32615"); /* the field decides, not the stops */
    assert_near(foci_multipolygon_area(&field.shape) / 10000, field.area_ha, 0.001 * field.area_ha);
    assert_done(foci_field_project(&field, &stops, "EPSG:26915", work, &findings, &err), err);
    assert_string_equal(work, "EPSG:26915");
    assert_int_equal(findings.count, 0);
    assert_done(foci_field_project(&field, &stops, "EPSG:32755", work, &findings, &err), err);
    assert_int_equal(findings.count, 1);
    assert_non_null(strstr(findings.items[0].text, "outside the area of use"));
    foci_findings_free(&findings);
    foci_field_free(&field);
}

static void only_metres_on_the_ground_are_worked_in(void **state) {
    (void)state;
    static const struct {
        const char *crs, *words;
    } refused[] = {
        {"EPSG:4326", "no projected system"},
        {"EPSG:3857", "stretches distances"},
        {"EPSG:2264", "not in meters"},
        {"EPSG:99999999", "EPSG:99999999"},
    };
    foci_error err = {0};
    foci_findings findings = {0};
    char work[256] = "untouched";
    foci_input input = {.file = "a.csv", .crs = "EPSG:4326"};
    foci_stop item = stop_at(-79.387139, 43.642567);
    foci_stops stops = {.input_count = 1, .inputs = &input, .count = 1, .items = &item};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        assert_fails(foci_field_project(NULL, &stops, refused[i].crs, work, &findings, &err), err, FOCI_BAD_SETTING,
                     refused[i].words);
        assert_string_equal(err.key, "work-crs");
        assert_string_equal(work, "untouched");
    }
    item.lonlat = (foci_point){43.6, -93.3};
    assert_fails(foci_field_project(NULL, &stops, NULL, work, &findings, &err), err, FOCI_BAD_INPUT,
                 "swap the coordinate columns");
    item.lonlat = (foci_point){NAN, NAN};
    assert_fails(foci_field_project(NULL, &stops, NULL, work, &findings, &err), err, FOCI_BAD_INPUT,
                 "no stop has a place");
}

static bool attempt(foci_error *err) {
    foci_field field = {0};
    foci_findings findings = {0};
    foci_field_options options = {0};
    char path[200], work[256];
    snprintf(path, sizeof path, "%s/each.geojson", scratch_folder);
    foci_input input = {.file = "a.csv", .crs = "EPSG:4326"};
    foci_stop item = stop_at(-93.3425, 42.9725);
    foci_stops stops = {.input_count = 1, .inputs = &input, .count = 1, .items = &item};
    bool ok = foci_field_read(&field, path, &options, &findings, err) &&
              foci_field_project(&field, &stops, NULL, work, &findings, err) &&
              foci_field_project(NULL, &stops, NULL, work, &findings, err);
    foci_field_free(&field);
    foci_findings_free(&findings);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    scratch_write(
        "each.geojson",
        COLLECTION(FEATURE("{\"name\":\"Bow tie\"}", "Polygon",
                           "[[[-93.34,42.97],[-93.33,42.98],[-93.33,42.97],[-93.34,42.98],[-93.34,42.97]]]")));
    support_fail_each_allocation(attempt);
}

/* One field of 0.002 degrees, written in each way that is seen in files: with a jump, beyond 180, and cut in two as RFC
 * 7946, section 3.1.9, asks. Its twin lies at longitude 170, where nothing has to be turned. */
static void a_field_may_cross_the_180th_meridian(void **state) {
    (void)state;
    static const char *const ways[] = {
        COLLECTION(
            FEATURE("{\"name\":\"Date line\"}", "Polygon",
                    "[[[179.999,-16.5],[-179.999,-16.5],[-179.999,-16.498],[179.999,-16.498],[179.999,-16.5]]]")),
        COLLECTION(FEATURE("{\"name\":\"Date line\"}", "Polygon",
                           "[[[179.999,-16.5],[180.001,-16.5],[180.001,-16.498],[179.999,-16.498],[179.999,-16.5]]]")),
        COLLECTION(FEATURE("{\"name\":\"Date line\"}", "MultiPolygon",
                           "[[[[179.999,-16.5],[180,-16.5],[180,-16.498],[179.999,-16.498],[179.999,-16.5]]],"
                           "[[[-180,-16.5],[-179.999,-16.5],[-179.999,-16.498],[-180,-16.498],[-180,-16.5]]]]")),
    };
    foci_findings findings = {0};
    foci_field twin = read_field(
        "twin.geojson",
        COLLECTION(FEATURE("{}", "Polygon",
                           "[[[169.999,-16.5],[170.001,-16.5],[170.001,-16.498],[169.999,-16.498],[169.999,-16.5]]]")),
        (foci_field_options){0}, &findings);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        foci_field field = read_field("line.geojson", ways[i], (foci_field_options){0}, &findings);
        assert_int_equal(findings.count, 0);
        assert_int_equal(field.lonlat.count, 1);
        assert_near(field.area_ha, twin.area_ha, 1e-9 * twin.area_ha);
        assert_near(fabs(field.centre.x), 180, 1e-9);
        assert_near(field.centre.y, -16.499, 1e-6);
        foci_field_free(&field);
    }
    foci_field_free(&twin);
}

static void a_pole_is_refused(void **state) {
    (void)state;
    const char *words = "around a pole";
    fails("pole.geojson", COLLECTION(FEATURE("{}", "Polygon", "[[[0,80],[90,80],[180,80],[-90,80],[0,80]]]")),
          (foci_field_options){0}, FOCI_BAD_INPUT, words);
    fails("pole.geojson", COLLECTION(FEATURE("{}", "Polygon", "[[[0,89.9],[1,89.9],[1,90],[0,89.9]]]")),
          (foci_field_options){0}, FOCI_BAD_INPUT, words);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_boundary_is_read),
        cmocka_unit_test(a_field_may_cross_the_180th_meridian),
        cmocka_unit_test(a_pole_is_refused),
        cmocka_unit_test(forty_acres_are_forty_acres),
        cmocka_unit_test(holes_and_parts_are_kept),
        cmocka_unit_test(one_of_several_is_chosen),
        cmocka_unit_test(a_crossed_boundary_is_repaired),
        cmocka_unit_test(other_shapes_are_no_boundary),
        cmocka_unit_test(the_utm_zone_of_the_field_is_the_work_system),
        cmocka_unit_test(only_metres_on_the_ground_are_worked_in),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

#include "support/support.h"

#include "data/places/projection.h"

static const double degree = 0.017453292519943295;

static void test_describes_known_systems(void **state) {
    (void)state;
    foci_error err = {0};
    foci_crs_facts facts = {0};
    assert_done(foci_crs_describe(&facts, "EPSG:32617", "--work-crs", &err), err);
    assert_string_equal(facts.name, "WGS 84 / UTM zone 17N");
    assert_string_equal(facts.code, "EPSG:32617");
    assert_true(facts.projected && facts.metres && !facts.geographic && !facts.web_mercator);
    /* area of use as the EPSG registry states it */
    assert_near(facts.area_of_use.west, -84, 0);
    assert_near(facts.area_of_use.east, -78, 0);
    assert_near(facts.area_of_use.south, 0, 0);
    assert_near(facts.area_of_use.north, 84, 0);

    assert_done(foci_crs_describe(&facts, "EPSG:4326", "{crs}", &err), err);
    assert_true(facts.geographic && !facts.projected && !facts.metres);
    assert_done(foci_crs_describe(&facts, "EPSG:2264", "{crs}", &err), err); /* North Carolina, US survey feet */
    assert_true(facts.projected && !facts.metres);
    assert_done(foci_crs_describe(&facts, "EPSG:32601", "{crs}", &err), err);
    assert_near(facts.area_of_use.west, -180, 0);
    assert_done(foci_crs_describe(&facts, "EPSG:2193", "{crs}", &err), err); /* New Zealand: over the antimeridian */
    assert_true(facts.metres);
    assert_true(facts.area_of_use.west > facts.area_of_use.east || facts.area_of_use.east > 170);
}

static void test_system_without_code(void **state) {
    (void)state;
    foci_error err = {0};
    foci_crs_facts facts = {0};
    assert_done(foci_crs_describe(&facts, "+proj=utm +zone=17 +datum=WGS84", "{crs}", &err), err);
    assert_string_equal(facts.code, "");
    assert_true(facts.projected && facts.metres);
    assert_near(facts.area_of_use.west, NAN, 0);
    assert_near(facts.area_of_use.north, NAN, 0);
    assert_done(foci_crs_describe(&facts, "EPSG:32617+5773", "{crs}", &err), err); /* with heights */
    assert_string_equal(facts.code, "EPSG:32617");
    assert_true(facts.projected);
}

static void test_knows_web_mercator(void **state) {
    (void)state;
    const char *const stretched[] = {
        "EPSG:3857", "EPSG:3785", "ESRI:102100", "+proj=webmerc +datum=WGS84",
        "+proj=merc +a=6378137 +b=6378137 +units=m +type=crs",
        /* as a shapefile's .prj has it */
        "PROJCS[\"WGS_1984_Web_Mercator_Auxiliary_Sphere\",GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\","
        "SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]"
        ","
        "PROJECTION[\"Mercator_Auxiliary_Sphere\"],PARAMETER[\"False_Easting\",0.0],PARAMETER[\"False_Northing\",0.0],"
        "PARAMETER[\"Central_Meridian\",0.0],PARAMETER[\"Standard_Parallel_1\",0.0],"
        "PARAMETER[\"Auxiliary_Sphere_Type\",0.0],UNIT[\"Meter\",1.0]]"};
    for (size_t i = 0; i < sizeof stretched / sizeof *stretched; i++) {
        foci_error err = {0};
        foci_crs_facts facts = {0};
        assert_done(foci_crs_describe(&facts, stretched[i], "{crs}", &err), err);
        assert_true(facts.web_mercator);
        assert_true(facts.projected);
    }
}

static void test_unknown_system(void **state) {
    (void)state;
    foci_error err = {0};
    foci_crs_facts facts = {.code = "untouched"};
    const char *const unknown[] = {"EPSG:99999", "utm", "", "PROJCS[",
                                   "+proj=pipeline +step +proj=axisswap +order=2,1"};
    for (size_t i = 0; i < sizeof unknown / sizeof *unknown; i++) {
        assert_fails(foci_crs_describe(&facts, unknown[i], "{crs}", &err), err, FOCI_BAD_SETTING, "not a known");
        assert_string_equal(err.key, "crs");
    }
    assert_string_equal(facts.code, "untouched");
    foci_projection *projection = NULL;
    assert_fails(foci_projection_open(&projection, "EPSG:4326", "EPSG:99999", &err), err, FOCI_BAD_SETTING,
                 "EPSG:99999");
    assert_fails(foci_projection_open(&projection, "EPSG:99999", "EPSG:4326", &err), err, FOCI_BAD_SETTING,
                 "EPSG:99999");
    assert_null(projection);
}

static void test_same(void **state) {
    (void)state;
    const char *utm17_prj = "PROJCS[\"WGS_1984_UTM_Zone_17N\",GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\","
                            "SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],"
                            "UNIT[\"Degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],"
                            "PARAMETER[\"False_Easting\",500000.0],PARAMETER[\"False_Northing\",0.0],"
                            "PARAMETER[\"Central_Meridian\",-81.0],PARAMETER[\"Scale_Factor\",0.9996],"
                            "PARAMETER[\"Latitude_Of_Origin\",0.0],UNIT[\"Meter\",1.0]]";
    assert_true(foci_crs_same("EPSG:32617", "EPSG:32617"));
    assert_true(foci_crs_same("EPSG:32617", utm17_prj));
    assert_true(foci_crs_same("EPSG:32617", "+proj=utm +zone=17 +datum=WGS84"));
    assert_true(foci_crs_same("EPSG:4326", "OGC:CRS84"));
    assert_false(foci_crs_same("EPSG:32617", "EPSG:32618"));
    assert_false(foci_crs_same("EPSG:32617", "EPSG:4326"));
    assert_false(foci_crs_same("EPSG:32617", "EPSG:26917")); /* NAD83 */
    assert_false(foci_crs_same("EPSG:99999", "EPSG:99999"));
}

static void test_utm_code(void **state) {
    (void)state;
    const struct {
        foci_point lonlat;
        const char *code;
    } places[] = {
        {{-79.387139, 43.642567}, "EPSG:32617"},
        {{0, 0}, "EPSG:32631"},
        {{-84.0001, 31.45}, "EPSG:32616"},
        {{-84, 31.45}, "EPSG:32617"},
        {{-84.3, -31.45}, "EPSG:32716"},
        {{180, 10}, "EPSG:32601"},
        {{-180, 10}, "EPSG:32601"},
        {{179.9, -10}, "EPSG:32760"},
        {{5, 60}, "EPSG:32631"},
        {{20, 84}, "EPSG:32634"},
        {{20, -80}, "EPSG:32734"},
    };
    char code[16] = "";
    foci_error err = {0};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        assert_done(foci_utm_code(places[i].lonlat, code, &err), err);
        assert_string_equal(code, places[i].code);
    }
    assert_fails(foci_utm_code((foci_point){20, 84.1}, code, &err), err, FOCI_BAD_INPUT, "no UTM zone");
    assert_fails(foci_utm_code((foci_point){20, -80.1}, code, &err), err, FOCI_BAD_INPUT, "no UTM zone");
    assert_fails(foci_utm_code((foci_point){NAN, 10}, code, &err), err, FOCI_BAD_INPUT, "no UTM zone");
    assert_fails(foci_utm_code((foci_point){1e300, 10}, code, &err), err, FOCI_BAD_INPUT, "no UTM zone");
}

/* 43.642567 N 79.387139 W is 17T 630084 4833438, and 0 N 0 E is 31N 166021 0 (published to the metre); to the
 * millimetre recomputed by Krueger's series, 4th order. */
static void test_utm_coordinates(void **state) {
    (void)state;
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", "EPSG:32617", &err), err);
    foci_point points[] = {{-79.387139, 43.642567}, {NAN, 43}, {-81, 0}};
    assert_int_equal(foci_projection_forward(projection, points, 3), 1);
    assert_near(points[0].x, 630084.301, 0.0006);
    assert_near(points[0].y, 4833438.586, 0.0006);
    assert_near(points[1].x, NAN, 0);
    assert_near(points[1].y, NAN, 0);
    assert_near(points[2].x, 500000, 1e-6);
    assert_near(points[2].y, 0, 1e-6);
    assert_int_equal(foci_projection_inverse(projection, points, 1), 0);
    assert_near(points[0].x, -79.387139, 1e-11);
    assert_near(points[0].y, 43.642567, 1e-11);
    foci_projection_close(projection);

    assert_done(foci_projection_open(&projection, "OGC:CRS84", "EPSG:32631", &err), err);
    foci_point origin = {0, 0};
    assert_int_equal(foci_projection_forward(projection, &origin, 1), 0);
    assert_near(origin.x, 166021.443, 0.0006);
    assert_near(origin.y, 0, 0.0006);
    foci_projection_close(projection);
    foci_projection_close(NULL);
}

/* x stays east where the registry puts north first (EPSG:2193), and a place where the formulas have no answer is lost.
 */
static void test_axes_and_lost_points(void **state) {
    (void)state;
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", "EPSG:2193", &err), err);
    foci_point middle = {173, -41.5}; /* on the central meridian: false easting 1,600,000 m by the registry */
    assert_int_equal(foci_projection_forward(projection, &middle, 1), 0);
    assert_near(middle.x, 1600000, 1e-6);
    assert_true(middle.y > 5000000 && middle.y < 6000000);
    foci_projection_close(projection);
    assert_done(foci_projection_open(&projection, "EPSG:4326", "EPSG:3857", &err), err);
    foci_point pole[] = {{-5.25, 91}, {-5.25, 52}};
    assert_int_equal(foci_projection_forward(projection, pole, 2), 1);
    assert_near(pole[0].x, NAN, 0);
    assert_true(isfinite(pole[1].x));
    foci_projection_close(projection);
}

/* Direct problem by bisection on the inverse one: a point `metres` away along a meridian or a parallel. */
static foci_point step(foci_point from, double metres, bool north) {
    double low = 0, high = 0.1;
    for (int i = 0; i < 100; i++) {
        double middle = (low + high) / 2;
        foci_point to = north ? (foci_point){from.x, from.y + middle} : (foci_point){from.x + middle, from.y};
        *(foci_geodesic_distance(from, to) < metres ? &low : &high) = middle;
    }
    return north ? (foci_point){from.x, from.y + low} : (foci_point){from.x + low, from.y};
}

/* 40 acres are 16.187426 ha, a square of 402.336 m. */
static void test_geodesic_area_of_forty_acres(void **state) {
    (void)state;
    foci_point south_west = {-83.52, 31.45}, south_east = step(south_west, 402.336, false);
    foci_point points[] = {south_west, south_east, step(south_east, 402.336, true), step(south_west, 402.336, true)};
    foci_ring ring = {4, points};
    foci_polygon polygon = {1, &ring};
    foci_multipolygon field = {1, &polygon};
    assert_near(foci_geodesic_area(&field), 161874.26, 1e-4 * 161874.26);

    /* a hole of a quarter of it, in either direction of its ring, leaves three quarters */
    foci_point inner[4];
    foci_point centre = {(points[0].x + points[1].x) / 2, (points[0].y + points[2].y) / 2};
    for (int i = 0; i < 4; i++)
        inner[i] = (foci_point){(points[i].x + centre.x) / 2, (points[i].y + centre.y) / 2};
    foci_ring rings[] = {ring, {4, inner}};
    polygon = (foci_polygon){2, rings};
    assert_near(foci_geodesic_area(&field), 0.75 * 161874.26, 1e-4 * 161874.26);

    foci_polygon turned_polygon = {1, &(foci_ring){4, (foci_point[]){points[3], points[2], points[1], points[0]}}};
    foci_multipolygon both = {2, (foci_polygon[]){{1, &ring}, turned_polygon}};
    assert_near(foci_geodesic_area(&both), 2 * 161874.26, 2e-4 * 161874.26);
}

/* Karney 2013, J. Geodesy 87: 43-55: the WGS84 ellipsoid's whole area is 510065621724088.44 m2 and its quarter meridian
 * 10001965.729 m (both from memory; the same follow from a = 6378137 m, f = 1/298.257223563 in closed form). */
static void test_geodesic_known_values(void **state) {
    (void)state;
    foci_polygon polygon = {1, &(foci_ring){3, (foci_point[]){{0, 0}, {90, 0}, {0, 90}}}};
    foci_multipolygon octant = {1, &polygon};
    assert_near(foci_geodesic_area(&octant), 510065621724088.44 / 8, 1);
    assert_near(foci_geodesic_distance((foci_point){-83.52, 0}, (foci_point){-83.52, 90}), 10001965.729, 0.001);
    assert_near(foci_geodesic_distance((foci_point){10, 0}, (foci_point){11, 0}), 6378137 * degree, 1e-6);
    assert_near(foci_geodesic_distance((foci_point){10, 50}, (foci_point){10, 50}), 0, 0);
    assert_near(foci_geodesic_area(&(foci_multipolygon){0}), 0, 0);
}

static void test_shape(void **state) {
    (void)state;
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", "EPSG:32617", &err), err);
    foci_point outer[] = {{-79.387139, 43.642567}, {-79.38, 43.642567}, {-79.38, 43.65}};
    foci_point hole[] = {{-79.382, 43.644}, {-79.381, 43.644}, {-79.381, 43.645}};
    foci_ring rings[] = {{3, outer}, {3, hole}};
    foci_multipolygon shape = {1, &(foci_polygon){2, rings}}, metres = {0}, back = {0};
    assert_done(foci_projection_shape(&metres, projection, false, &shape, &err), err);
    assert_near(metres.polygons[0].rings[0].points[0].x, 630084.301, 0.0006);
    assert_near(outer[0].x, -79.387139, 0);
    assert_done(foci_projection_shape(&back, projection, true, &metres, &err), err);
    for (int i = 0; i < 3; i++) {
        assert_near(back.polygons[0].rings[0].points[i].x, outer[i].x, 1e-11);
        assert_near(back.polygons[0].rings[1].points[i].y, hole[i].y, 1e-11);
    }
    foci_multipolygon_free(&metres);
    foci_multipolygon_free(&back);
    hole[1].x = INFINITY;
    assert_fails(foci_projection_shape(&metres, projection, false, &shape, &err), err, FOCI_BAD_INPUT, "1 corner");
    assert_null(metres.polygons);
    foci_projection_close(projection);
}

/* The direction of true north on the grid, by two places on one meridian: the plain twin. */
static double convergence_by_difference(const char *crs, foci_point lonlat) {
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", crs, &err), err);
    foci_point points[] = {{lonlat.x, lonlat.y - 1e-5}, {lonlat.x, lonlat.y + 1e-5}};
    assert_int_equal(foci_projection_forward(projection, points, 2), 0);
    foci_projection_close(projection);
    return -atan2(points[1].x - points[0].x, points[1].y - points[0].y) / degree;
}

/* Snyder 1987, Map Projections - A Working Manual (USGS Professional Paper 1395), on the transverse Mercator: the
 * convergence of the sphere is atan(tan(dlon) sin(lat)); the ellipsoid's differs by less than 1e-4 degrees in a zone.
 */
static void test_convergence(void **state) {
    (void)state;
    const struct {
        const char *crs;
        double middle; /* central meridian */
        foci_point lonlat;
    } places[] = {
        {"EPSG:32617", -81, {-79.387139, 43.642567}},
        {"EPSG:32617", -81, {-83.52, 31.45}},
        {"EPSG:32717", -81, {-79.387139, -33.3}},
        {"EPSG:32717", -81, {-83.9, -12.7}},
        {"EPSG:32631", 3, {3, 51}},
        {"EPSG:2193", 173, {171.5, -43.6}},
    };
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        foci_error err = {0};
        double got = NAN;
        foci_point at = places[i].lonlat;
        assert_done(foci_meridian_convergence(&got, places[i].crs, at, &err), err);
        double formula = atan(tan((at.x - places[i].middle) * degree) * sin(at.y * degree)) / degree;
        assert_near(got, formula, 1e-4);
        assert_near(got, convergence_by_difference(places[i].crs, at), 1e-5);
    }
}

static void test_convergence_elsewhere(void **state) {
    (void)state;
    foci_error err = {0};
    double got = NAN;
    const char *lambert = "EPSG:2154"; /* a conic */
    assert_done(foci_meridian_convergence(&got, lambert, (foci_point){-1.2, 47.1}, &err), err);
    assert_near(got, convergence_by_difference(lambert, (foci_point){-1.2, 47.1}), 1e-5);
    assert_fails(foci_meridian_convergence(&got, "EPSG:4326", (foci_point){1, 2}, &err), err, FOCI_BAD_SETTING,
                 "not a projected");
    assert_fails(foci_meridian_convergence(&got, "EPSG:99999", (foci_point){1, 2}, &err), err, FOCI_BAD_SETTING,
                 "not a known");
    assert_fails(foci_meridian_convergence(&got, lambert, (foci_point){NAN, 2}, &err), err, FOCI_BAD_INPUT, "outside");
}

static void test_version(void **state) {
    (void)state;
    int major = 0, minor = 0;
    assert_int_equal(sscanf(foci_projection_version(), "%d.%d", &major, &minor), 2);
    assert_true(major >= 9);
}

static bool project_something(foci_error *err) {
    foci_projection *projection = NULL;
    foci_crs_facts facts = {0};
    foci_multipolygon out = {0};
    foci_point points[] = {{-79.387139, 43.642567}, {-79.38, 43.642567}, {-79.38, 43.65}};
    foci_polygon polygon = {1, &(foci_ring){3, points}};
    foci_multipolygon shape = {1, &polygon};
    bool ok = foci_crs_describe(&facts, "+proj=utm +zone=17", "--crs", err) &&
              foci_projection_open(&projection, "EPSG:4326", "+proj=utm +zone=17", err) &&
              foci_projection_shape(&out, projection, false, &shape, err);
    foci_multipolygon_free(&out);
    foci_projection_close(projection);
    return ok;
}

static void test_out_of_memory(void **state) {
    (void)state;
    support_fail_each_allocation(project_something);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_describes_known_systems),
        cmocka_unit_test(test_system_without_code),
        cmocka_unit_test(test_knows_web_mercator),
        cmocka_unit_test(test_unknown_system),
        cmocka_unit_test(test_same),
        cmocka_unit_test(test_utm_code),
        cmocka_unit_test(test_utm_coordinates),
        cmocka_unit_test(test_axes_and_lost_points),
        cmocka_unit_test(test_geodesic_area_of_forty_acres),
        cmocka_unit_test(test_geodesic_known_values),
        cmocka_unit_test(test_shape),
        cmocka_unit_test(test_convergence),
        cmocka_unit_test(test_convergence_elsewhere),
        cmocka_unit_test(test_version),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

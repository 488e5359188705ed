/* From the settings to a fitted method: the direction of the rows, and the area that the stops stand for. */
#include "run/steps/sample_method.h"

#include "data/places/projection.h"

/* ---- heading ---- */

/* A step along a true heading, 5 m to either side, put into the work system: radii of curvature of the WGS84 ellipsoid
 * (Snyder 1987, Map Projections - A Working Manual, equations 4-18 to 4-20, from memory). */
static double grid_heading(const char *crs, foci_point lonlat, double heading) {
    const double degree = acos(-1) / 180, a = 6378137, e2 = 0.00669437999014;
    double s = sin(lonlat.y * degree), w = sqrt(1 - e2 * s * s);
    double north = 5 * cos(heading * degree) * w * w * w / (a * (1 - e2)) / degree;
    double east = 5 * sin(heading * degree) * w / (a * cos(lonlat.y * degree)) / degree;
    foci_point ends[] = {{lonlat.x - east, lonlat.y - north}, {lonlat.x + east, lonlat.y + north}};
    foci_error err = {0};
    foci_projection *projection = NULL;
    assert_done(foci_projection_open(&projection, "EPSG:4326", crs, &err), err);
    assert_int_equal(foci_projection_forward(projection, ends, 2), 0);
    foci_projection_close(projection);
    return fmod(atan2(ends[1].x - ends[0].x, ends[1].y - ends[0].y) / degree + 360, 360);
}

static void true_headings_are_turned_to_grid_north(void **state) {
    (void)state;
    static const struct {
        const char *crs;
        foci_point centre;
        const char *heading;
    } rows[] = {
        {"EPSG:32617", {-78.25, 38.125}, "30"},     /* east of the central meridian */
        {"EPSG:32617", {-83.75, 38.125}, "30"},     /* west */
        {"EPSG:32617", {-78.25, 38.125}, "0.5"},    /* below 0 */
        {"EPSG:32617", {-83.75, 38.125}, "359.25"}, /* above 360 */
        {"EPSG:32717", {-78.25, -38.125}, "117.5"}, /* in the south it turns the other way */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        scene *s =
            make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw", "--row-heading", rows[i].heading));
        put_field(s, rows[i].centre);
        snprintf(s->round.work_crs, sizeof s->round.work_crs, "%s", rows[i].crs);
        assert_done(fit(s), s->err);
        double wanted = grid_heading(rows[i].crs, rows[i].centre, atof(rows[i].heading));
        assert_near(s->round.row_heading, wanted, 1e-5);
        assert_true(fabs(s->round.row_heading - atof(rows[i].heading)) > 1);
        assert_near(s->round.method.row_heading, s->round.row_heading, 0);
        assert_near(s->settings.survey.row_heading, atof(rows[i].heading), 0); /* the job keeps the true one */
        clear(s);
    }
}

/* On the zone's central meridian grid north is true north. Without a field the first used stop tells. */
static void headings_without_field_or_at_the_meridian(void **state) {
    (void)state;
    scene *s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw", "--row-heading", "73.85"));
    put_field(s, (foci_point){-81, 38});
    assert_done(fit(s), s->err);
    assert_near(s->round.row_heading, 73.85, 1e-9);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw", "--row-heading", "73.85"));
    assert_done(fit(s), s->err);
    assert_near(s->round.row_heading, grid_heading("EPSG:32617", s->first.lonlat, 73.85), 1e-5);
    assert_true(fabs(s->round.row_heading - 73.85) > 0.05);
    clear(s);
    s = make(FOCI_READING_VALUE, "score", 25, WORDS_OF("--surface", "idw"));
    assert_done(fit(s), s->err);
    assert_near(s->round.row_heading, NAN, 0);
    assert_near(s->round.method.row_heading, NAN, 0);
    clear(s);
}

/* ---- area ---- */

static double area_of(size_t count, size_t columns, bool with_field) {
    scene *s = make(FOCI_READING_VALUE, "score", count, WORDS_OF("--surface", "idw"));
    put_stops(s, count, columns);
    if (with_field)
        put_field(s, (foci_point){-81, 38});
    assert_done(fit(s), s->err);
    double area = s->round.area;
    assert_near(s->round.method.area, area, 0);
    assert_near(s->round.model.spacing, sqrt(area / (double)count), 1e-9);
    clear(s);
    return area;
}

static void area_is_the_fields_or_what_the_stops_stand_for(void **state) {
    (void)state;
    assert_near(area_of(25, 5, true), 60000, 1e-6);
    /* 5 x 5 stops 40 m apart stand for 25 squares; their hull holds only 16 */
    assert_near(area_of(25, 5, false), 25 * 1600, 1e-6);
    /* 6 x 4: the hull of 200 x 120 m times (sqrt(24) / (sqrt(24) - 1))^2 */
    assert_near(area_of(24, 6, false), 24000 * pow(sqrt(24) / (sqrt(24) - 1), 2), 1e-6);
    /* on one line: a square of their spacing each */
    assert_near(area_of(7, 7, false), 7 * 1600, 1e-6);
    assert_near(area_of(1, 1, false), 1, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(true_headings_are_turned_to_grid_north),
        cmocka_unit_test(headings_without_field_or_at_the_meridian),
        cmocka_unit_test(area_is_the_fields_or_what_the_stops_stand_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

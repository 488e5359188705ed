#include "fieldfoci/look.h"

#include "data/files/json_file.h"
#include "data/files/vector_file.h"
#include "support/scratch.h"

static foci_look look_at(const char *file, const foci_look_options *options) {
    foci_error err = {0};
    foci_look look = {0};
    assert_done(foci_look_file(&look, file, options, &err), err);
    return look;
}

static foci_look look_at_text(const char *name, const char *text) {
    const foci_look_options options = foci_look_options_make();
    return look_at(scratch_write(name, text), &options);
}

static const foci_look_guess *guess_of(const foci_look *look, const char *setting) {
    for (size_t i = 0; i < look->guess_count; i++)
        if (strcmp(look->guesses[i].setting, setting) == 0)
            return &look->guesses[i];
    return NULL;
}

/* `column` NULL: it is not guessed. */
static void assert_guess(const foci_look *look, const char *setting, const char *column) {
    const foci_look_guess *guess = guess_of(look, setting);
    if (!column || !guess) {
        assert_true(!column && !guess);
        return;
    }
    assert_string_equal(guess->column, column);
    assert_non_null(strchr(guess->why, ' '));
}

static bool is_noted(const foci_look *look, const char *words) {
    for (size_t i = 0; i < look->notes.count; i++)
        if (strstr(look->notes.items[i], words))
            return true;
    return false;
}

static const foci_look_column *column_of(const foci_look *look, const char *name) {
    for (size_t i = 0; i < look->column_count; i++)
        if (strcmp(look->columns[i].name, name) == 0)
            return &look->columns[i];
    fail_msg("no column %s", name);
    return NULL;
}

/* ---- stops ---- */

static void test_demo_stops(void **state) {
    (void)state;
    const foci_look_options options = foci_look_options_make();
    foci_look look = look_at(support_testdata("demo/stops-2026.csv"), &options);
    assert_int_equal(look.layer_count, 1);
    assert_string_equal(look.layers[0].shape, "table");
    assert_string_equal(look.layers[0].crs, "EPSG:4326");
    assert_int_equal(look.layers[0].rows, 99);
    assert_int_equal(look.column_count, 6);
    assert_int_equal(look.row_count, 8);
    assert_string_equal(look.cells[6 * 3 + 4], "25"); /* row 4, checked */
    const foci_look_column *infected = column_of(&look, "infected");
    assert_string_equal(infected->kind, "number");
    assert_int_equal(infected->filled, 98); /* one stop is blank */
    assert_true(infected->whole && infected->least == 0 && infected->most == 19);
    const foci_look_column *date = column_of(&look, "date");
    assert_string_equal(date->kind, "date");
    assert_string_equal(date->first, "2026-08-18");
    assert_string_equal(date->last, "2026-08-19");
    assert_guess(&look, "hits", "infected");
    assert_guess(&look, "checked", "checked");
    assert_guess(&look, "id", "stop");
    assert_guess(&look, "when", "date");
    assert_guess(&look, "xy", "lon,lat");
    assert_null(guess_of(&look, "xy")->value); /* nothing is to be given */
    assert_guess(&look, "value", NULL);
    assert_guess(&look, "rated", NULL);
    assert_guess(&look, "rater", NULL);
    assert_true(look.has_points && look.point_count == 99 && look.points_more == 0);
    assert_near(look.points[0].x, -39.3411048, 1e-12);
    assert_near(look.points[0].y, 42.9738345, 1e-12);
    assert_int_equal(look.notes.count, 0); /* "29b" names a stop, and names may be anything */
    foci_look_free(&look);
    foci_look_free(&look);
}

static void test_every_setting(void **state) {
    (void)state;
    foci_look look =
        look_at_text("all.csv", "GPS_Lng,GPS_Lat,Plot No,n_infected,plants,Scout,Scouted on,method,% sick\n"
                                "-93.1,42.1,A1,3,20,Ann,2026/07/01,dug,15\n"
                                "-93.2,42.1,A2,0,20,Bo,2026/07/01,dug,0\n"
                                "-93.3,42.2,A3,5,20,Ann,2026/07/02,Dug,25\n");
    assert_guess(&look, "hits", "n_infected");
    assert_guess(&look, "checked", "plants");
    assert_guess(&look, "id", "Plot No");
    assert_guess(&look, "when", "Scouted on");
    assert_guess(&look, "rater", "Scout");
    assert_guess(&look, "rated", "method");
    assert_string_equal(guess_of(&look, "rated")->value, "dug");
    assert_guess(&look, "xy", "GPS_Lng,GPS_Lat");
    assert_guess(&look, "value", NULL);
    assert_true(is_noted(&look, "\"% sick\" could be mapped as a score"));
    assert_false(look.has_points); /* a guess is never used */
    assert_true(is_noted(&look, "{xy}"));
    foci_look_free(&look);
    const foci_look_options options = {.xy = "GPS_Lng,GPS_Lat", .crs = "EPSG:4326"};
    look = look_at(scratch_path("all.csv"), &options);
    assert_true(look.has_points && look.point_count == 3);
    foci_look_free(&look);
}

/* Two that fit equally are told, and none is guessed. */
static void test_ties(void **state) {
    (void)state;
    foci_look look = look_at_text("ties.csv", "lon,lat,sick,diseased,plants,plot,site,visited,day\n"
                                              "1,2,1,2,10,a,b,2026-07-01,2026-07-02\n"
                                              "1,3,2,1,10,c,d,2026-07-01,2026-07-03\n");
    assert_guess(&look, "hits", NULL);
    assert_guess(&look, "checked", NULL);
    assert_true(is_noted(&look, "\"sick\" of \"plants\" and \"diseased\" of \"plants\""));
    assert_guess(&look, "id", NULL);
    assert_true(is_noted(&look, "\"plot\" and \"site\""));
    assert_guess(&look, "when", NULL);
    assert_true(is_noted(&look, "\"visited\" and \"day\""));
    foci_look_free(&look);
    look = look_at_text("scores.csv", "lon,lat,severity,rating\n1,2,3,4\n");
    assert_guess(&look, "value", NULL);
    assert_true(is_noted(&look, "\"severity\" and \"rating\""));
    foci_look_free(&look);
}

/* What a name says is not enough: the cells must be able to be it. */
static void test_cells_decide(void **state) {
    (void)state;
    foci_look look = look_at_text("above.csv", "lon,lat,infected,checked,stop\n1,2,1,10,a\n1,3,12,10,a\n");
    assert_guess(&look, "hits", NULL);
    assert_true(is_noted(&look, "row 2 has more infected than looked at"));
    assert_guess(&look, "id", NULL); /* two stops of one name */
    foci_look_free(&look);
    look = look_at_text("alone.csv", "lon,lat,infected\n1,2,1\n1,3,12\n");
    assert_guess(&look, "hits", "infected");
    assert_guess(&look, "checked", NULL);
    assert_true(is_noted(&look, "{checked} NUMBER"));
    foci_look_free(&look);
    look = look_at_text("halves.csv", "lon,lat,infected,checked,percent,water_pct,planting date,dates\n"
                                      "1,2,1.5,10,120,3,2026-05-01,next week\n");
    assert_guess(&look, "hits", NULL);  /* no half plants */
    assert_guess(&look, "value", NULL); /* no percent above 100, and water is no disease */
    assert_guess(&look, "when", NULL);  /* that day nobody scouted */
    assert_true(is_noted(&look, "no column's name tells what was found"));
    foci_look_free(&look);
    look = look_at_text("two.csv", "lon,lat,rated,score\n1,2,dug,1\n1,3,above ground,12\n");
    assert_guess(&look, "rated", NULL);
    assert_true(is_noted(&look, "two ways of rating"));
    assert_guess(&look, "value", "score");
    foci_look_free(&look);
}

static void test_places_that_are_not_clear(void **state) {
    (void)state;
    foci_error err;
    foci_look look = look_at_text("pairs.csv", "lon,lat,x,y,score\n1,2,3,4,5\n,,,,6\n");
    assert_false(look.has_points);
    assert_guess(&look, "xy", NULL);
    assert_true(is_noted(&look, "lon,lat and x,y"));
    foci_look_free(&look);
    const foci_look_options lonlat = {.xy = "lon,lat"}, none = {.xy = "score"}, words = {.xy = "lon,height"},
                            system = {.crs = "EPSG:99999"};
    look = look_at(scratch_path("pairs.csv"), &lonlat);
    assert_int_equal(look.point_count, 1);
    assert_true(is_noted(&look, "1 of the 2 rows that were read has no place"));
    foci_look_free(&look);
    assert_fails(foci_look_file(&look, scratch_path("pairs.csv"), &none, &err), err, FOCI_BAD_SETTING, "pair");
    assert_fails(foci_look_file(&look, scratch_path("pairs.csv"), &words, &err), err, FOCI_BAD_INPUT, "height");
    assert_fails(foci_look_file(&look, scratch_path("pairs.csv"), &system, &err), err, FOCI_BAD_SETTING, "99999");
    look = look_at_text("meters.csv", "easting,northing,score\n500000,4650000,5\n");
    assert_false(look.has_points);
    assert_true(is_noted(&look, "give it with {crs}"));
    foci_look_free(&look);
    const foci_look_options utm = {.crs = "EPSG:32615"};
    look = look_at(scratch_path("meters.csv"), &utm);
    assert_near(look.points[0].x, -93, 1e-9); /* easting 500,000 m is the zone's central meridian */
    assert_string_equal(look.layers[0].crs, "EPSG:32615");
    foci_look_free(&look);
}

static void test_odd_cells(void **state) {
    (void)state;
    foci_look look = look_at_text("odd.csv", "lon,lat,score,mixed,nothing\n"
                                             "1,1,0,a,\n1,2,1,2,\n1,3,2,b,\n1,4,3,4,\n1,5,4,5,\n"
                                             "1,6,5,6,\n1,7,6,7, \n1,8,7,8,\n1,9,many,9,\n1,10,9,10,\n");
    assert_string_equal(column_of(&look, "score")->kind, "number");
    assert_int_equal(column_of(&look, "score")->odd, 1);
    assert_true(is_noted(&look, "\"score\" holds numbers, but 1 of its 10 cells is none (row 9: \"many\")"));
    assert_string_equal(column_of(&look, "mixed")->kind, "text"); /* eight in ten are numbers */
    assert_string_equal(column_of(&look, "nothing")->kind, "empty");
    assert_int_equal(column_of(&look, "nothing")->sample_count, 0);
    foci_look_free(&look);
}

/* Cells are read as they are where the stops are read, and that is told. */
static void test_as_people_write(void **state) {
    (void)state;
    foci_look look = look_at_text("semicolons.csv", "Round 2\nLon;Lat;Stop;Date;Severity [%]\n"
                                                    "-93,1;42,1;A;14/7/2026;12,5\n-93,2;42,2;B;15/7/2026;1,5\n");
    assert_near(look.points[1].x, -93.2, 1e-12);
    assert_near(column_of(&look, "Severity [%]")->most, 12.5, 0);
    assert_string_equal(column_of(&look, "Date")->last, "2026-07-15");
    assert_guess(&look, "value", "Severity [%]");
    assert_guess(&look, "when", "Date");
    assert_true(is_noted(&look, "semicolons") && is_noted(&look, "day first"));
    foci_look_free(&look);
    look = look_at_text("open.csv", "lon,lat,date,hits,checked\n-93.1,42.1,7/4/2026,3 of 10,10\n1,2,7/5/2026,0,10\n");
    assert_string_equal(column_of(&look, "date")->kind, "date"); /* of which month, nobody can tell */
    assert_string_equal(column_of(&look, "date")->first, "");
    assert_true(is_noted(&look, "say {dates}"));
    assert_guess(&look, "when", "date");
    assert_guess(&look, "hits", "hits");
    assert_near(column_of(&look, "hits")->most, 3, 0);
    foci_look_free(&look);
}

/* ---- boundaries, and files of several layers ---- */

#define SQUARE "[[-93,42],[-92.99,42],[-92.99,42.01],[-93,42.01],[-93,42]]"
#define FEATURE(name, kind, corners)                                                                                   \
    "{\"type\":\"Feature\",\"properties\":{\"Name\":\"" name "\"},\"geometry\":{\"type\":\"" kind                      \
    "\",\"coordinates\":" corners "}}"
#define COLLECTION(features) "{\"type\":\"FeatureCollection\",\"features\":[" features "]}"

static void test_outlines(void **state) {
    (void)state;
    foci_look area = look_at_text("area.geojson", COLLECTION(FEATURE("A", "Polygon", "[" SQUARE "]")));
    foci_look line = look_at_text("line.geojson", COLLECTION(FEATURE("A", "LineString", SQUARE) "," FEATURE(
                                                      "B", "LineString", "[[-93,42],[-92,42],[-92,43]]")));
    assert_string_equal(area.layers[0].shape, "areas");
    assert_string_equal(line.layers[0].shape, "lines");
    assert_int_equal(line.outline.count, 1);
    assert_near(line.area_ha, area.area_ha, 1e-9);
    /* a cell of 0.01 by 0.01 degrees between 42 and 42.01 N on WGS84: M(phi) N(phi) cos(phi) dphi dlambda at its middle
     * by the ellipsoid's own radii (Snyder 1987, Map projections, USGS Professional Paper 1395, eqs. 4-18, 4-20) */
    const double a = 6378137, e2 = 0.00669437999014, phi = 42.005 * M_PI / 180, d = 0.01 * M_PI / 180,
                 w = 1 - e2 * sin(phi) * sin(phi);
    assert_near(area.area_ha, a * (1 - e2) / pow(w, 1.5) * a / sqrt(w) * cos(phi) * d * d / 10000, 1e-4);
    assert_int_equal(line.names.count, 2);
    assert_string_equal(line.names.items[1], "B");
    assert_int_equal(area.guess_count, 0);
    assert_false(area.has_points);
    foci_look_free(&area);
    foci_look_free(&line);
    line = look_at_text("open.geojson", COLLECTION(FEATURE("B", "LineString", "[[-93,42],[-92,42],[-92,43]]")));
    assert_int_equal(line.outline.count, 0);
    assert_true(isnan(line.area_ha) && is_noted(&line, "not closed"));
    foci_look_free(&line);
    area = look_at_text("swapped.geojson",
                        COLLECTION(FEATURE("A", "Polygon", "[[[42,-93],[42,-92.99],[42.01,-92.99],[42,-93]]]")));
    assert_int_equal(area.outline.count, 0);
    assert_true(is_noted(&area, "beyond 90 degrees"));
    foci_look_free(&area);
}

static void test_layers(void **state) {
    (void)state;
    foci_error err = {0};
    const char *file = scratch_path("both.gpkg"), *texts[] = {"North"};
    const double numbers[] = {3};
    const foci_column name = {"name", FOCI_COLUMN_TEXT}, score = {"score", FOCI_COLUMN_NUMBER};
    foci_point corners[] = {{-93, 42}, {-92.99, 42}, {-92.99, 42.01}}, place = {-92.995, 42.001};
    foci_ring ring = {3, corners};
    foci_polygon polygon = {1, &ring};
    const foci_multipolygon area = {1, &polygon};
    foci_vector_writer *writer = NULL;
    assert_done(foci_vector_writer_open(&writer, file, &err), err);
    assert_done(foci_vector_writer_layer(writer, "boundary", FOCI_SHAPE_AREA, &name, 1, &err) &&
                    foci_vector_writer_add(writer, texts, NULL, NULL, &area, &err) &&
                    foci_vector_writer_layer(writer, "stops", FOCI_SHAPE_POINT, &score, 1, &err) &&
                    foci_vector_writer_add(writer, NULL, numbers, &place, NULL, &err) &&
                    foci_vector_writer_close(writer, &err),
                err);
    const foci_look_options first = foci_look_options_make(), named = {.layer = "Boundary"}, wrong = {.layer = "digs"};
    foci_look look = look_at(file, &first);
    assert_int_equal(look.layer_count, 2);
    assert_string_equal(look.layers[look.layer].name, "stops"); /* points before areas */
    assert_string_equal(look.layers[look.layer].shape, "points");
    assert_guess(&look, "value", "score");
    assert_guess(&look, "xy", NULL);
    assert_near(look.points[0].y, 42.001, 1e-12);
    foci_look_free(&look);
    look = look_at(file, &named);
    assert_string_equal(look.layers[look.layer].shape, "areas");
    assert_string_equal(look.names.items[0], "North");
    assert_int_equal(look.outline.count, 1);
    foci_look_free(&look);
    assert_fails(foci_look_file(&look, file, &wrong, &err), err, FOCI_BAD_INPUT, "\"stops\" (1 rows)");
}

/* ---- much, and strange ---- */

static void test_much(void **state) {
    (void)state;
    enum { ROWS = 6000, COLUMNS = 1200 };
    const char *file = scratch_path("long.csv");
    FILE *stream = fopen(file, "w");
    assert_non_null(stream);
    fprintf(stream, "lon,lat,score\n");
    for (int i = 0; i < ROWS; i++)
        fprintf(stream, "%.4f,42,%d\n", -93 + i * 1e-4, i % 10);
    assert_int_equal(fclose(stream), 0);
    const foci_look_options options = foci_look_options_make();
    foci_look look = look_at(file, &options);
    assert_int_equal(look.point_count, FOCI_LOOK_POINTS);
    assert_int_equal(look.points_more, ROWS - FOCI_LOOK_POINTS);
    foci_look_free(&look);
    file = scratch_path("wide.csv");
    stream = fopen(file, "w");
    assert_non_null(stream);
    for (int row = 0; row <= 10; row++)
        for (int c = 0; c < COLUMNS; c++)
            fprintf(stream, row ? "%d%c" : "c%d%c", row ? 1 : c, c + 1 < COLUMNS ? ',' : '\n');
    assert_int_equal(fclose(stream), 0);
    look = look_at(file, &options);
    assert_int_equal(look.column_count, FOCI_LOOK_COLUMNS);
    assert_int_equal(look.columns_more, COLUMNS - FOCI_LOOK_COLUMNS);
    assert_true(is_noted(&look, "of 1200 columns the first 1000"));
    foci_look_free(&look);
}

static void test_strange_letters(void **state) {
    (void)state;
    char text[1000] = "lon,lat,\"sc\x1b[31more\",caf\xe9,{crs}\n1,2,\"a\x1b[2Jb\",\xff\xfe,";
    for (size_t length = strlen(text), i = 0; i < 200; i++) /* two bytes each, and cut between two of them */
        snprintf(text + length + 2 * i, 3, "\u00e9");
    strcat(text, "\n");
    foci_look look = look_at_text("strange.csv", text);
    foci_error err = {0};
    assert_int_equal(look.column_count, 5);
    assert_string_equal(look.columns[3].name, "caf\u00e9");
    assert_int_equal(strlen(look.columns[4].samples[0]), FOCI_LOOK_LETTERS + 3);
    char *summary = foci_look_summary(&look, &err);
    foci_json *json = NULL;
    assert_true(summary && foci_json_parse(&json, summary, "", &err));
    assert_null(strchr(summary, '\x1b'));
    foci_json_free(json);
    free(summary);
    foci_look_free(&look);
}

/* ---- the summary ---- */

static const char *text_at(const foci_json *object, const char *key) {
    return foci_json_text(foci_json_get(object, key));
}

static void test_summary(void **state) {
    (void)state;
    foci_error err = {0};
    double number = 0;
    foci_json *json = NULL;
    const foci_look_options options = foci_look_options_make();
    foci_look look = look_at(support_testdata("demo/stops-2026.csv"), &options);
    char *text = foci_look_summary(&look, &err);
    assert_done(text && foci_json_parse(&json, text, "", &err), err);
    assert_string_equal(text_at(json, "layer"), "stops-2026");
    assert_int_equal(foci_json_size(foci_json_get(json, "rows")), 8);
    assert_int_equal(foci_json_size(foci_json_at(foci_json_get(json, "rows"), 0)), 6);
    assert_int_equal(foci_json_size(foci_json_get(json, "points")), 99);
    assert_true(foci_json_is_null(foci_json_get(json, "outline")) && foci_json_is_null(foci_json_get(json, "area_ha")));
    const foci_json *date = foci_json_at(foci_json_get(json, "columns"), 3);
    assert_string_equal(text_at(date, "least"), "2026-08-18");
    assert_string_equal(text_at(foci_json_at(foci_json_get(json, "guesses"), 0), "setting"), "hits");
    assert_string_equal(text_at(foci_json_at(foci_json_get(json, "guesses"), 0), "column"), "infected");
    foci_json_free(json);
    free(text);
    foci_look_free(&look);
    look = look_at(support_testdata("demo/field.geojson"), &options);
    text = foci_look_summary(&look, &err);
    assert_done(text && foci_json_parse(&json, text, "", &err), err);
    const foci_json *outline = foci_json_get(json, "outline");
    const foci_json *ring = foci_json_at(foci_json_at(foci_json_get(outline, "coordinates"), 0), 0);
    assert_string_equal(text_at(outline, "type"), "MultiPolygon");
    const foci_json *first = foci_json_at(ring, 0), *last = foci_json_at(ring, foci_json_size(ring) - 1);
    double again = 0;
    assert_true(foci_json_number(foci_json_at(first, 0), &number) && foci_json_number(foci_json_at(last, 0), &again));
    assert_true(number == again); /* RFC 7946, section 3.1.6: first and last position are the same */
    assert_true(foci_json_is_null(foci_json_get(json, "points")));
    assert_string_equal(foci_json_text(foci_json_at(foci_json_get(json, "names"), 0)),
                        "Quillfeather Farm, North Forty");
    foci_json_free(json);
    free(text);
    foci_look_free(&look);
}

static bool look_and_print(foci_error *err) {
    const foci_look_options options = foci_look_options_make();
    foci_look look = {0};
    char *text = NULL;
    bool ok = foci_look_file(&look, scratch_path("few.csv"), &options, err) && (text = foci_look_summary(&look, err));
    free(text);
    foci_look_free(&look);
    return ok;
}

static bool look_at_outline(foci_error *err) {
    const foci_look_options options = foci_look_options_make();
    foci_look look = {0};
    bool ok = foci_look_file(&look, scratch_path("few.geojson"), &options, err);
    foci_look_free(&look);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    scratch_write("few.csv", "lon,lat,stop,score,who\n1,2,a,1,\n1,3,b,2,\n");
    scratch_write("few.geojson", COLLECTION(FEATURE("A", "LineString", SQUARE)));
    support_fail_each_allocation(look_and_print);
    support_fail_each_allocation(look_at_outline);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_demo_stops),
        cmocka_unit_test(test_every_setting),
        cmocka_unit_test(test_ties),
        cmocka_unit_test(test_cells_decide),
        cmocka_unit_test(test_odd_cells),
        cmocka_unit_test(test_as_people_write),
        cmocka_unit_test(test_places_that_are_not_clear),
        cmocka_unit_test(test_outlines),
        cmocka_unit_test(test_layers),
        cmocka_unit_test(test_much),
        cmocka_unit_test(test_strange_letters),
        cmocka_unit_test(test_summary),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

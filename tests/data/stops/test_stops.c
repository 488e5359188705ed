#include "fieldfoci/stops.h"

#include "support/scratch.h"

static foci_stops read_text(const char *text, foci_stops_options options) {
    foci_error err = {0};
    foci_stops stops = {0};
    const char *path = scratch_write("stops.csv", text);
    assert_done(foci_stops_read(&stops, &path, 1, &options, &err), err);
    return stops;
}

static void fails(const char *text, foci_stops_options options, foci_status status, const char *key,
                  const char *words) {
    foci_error err = {0};
    foci_stops stops = {0};
    const char *path = scratch_write("stops.csv", text);
    assert_fails(foci_stops_read(&stops, &path, 1, &options, &err), err, status, words);
    if (key)
        assert_string_equal(err.key, key);
    assert_null(stops.items);
}

static const char round_csv[] = "lon,lat,stop,day,score,hits,checked\n"
                                "-39.34,42.97,A,2026-08-18,2.385,3,40\n"
                                "-39.35,42.98,B,2026/08/19,,,40\n"
                                "-39.36,42.99,,2026-08-20T09:30:00,0,0,25\n";

static void scores_are_read(void **state) {
    (void)state;
    foci_stops stops = read_text(round_csv, (foci_stops_options){.value = "score", .id = "stop", .when = "day"});
    assert_int_equal(stops.kind, FOCI_READING_VALUE);
    assert_string_equal(stops.unit, "score");
    assert_int_equal(stops.count, 3);
    assert_int_equal(stops.inputs[0].rows, 3);
    assert_int_equal(strlen(stops.inputs[0].sha256), 64);
    assert_near(stops.items[0].value, 2.385, 0);
    assert_near(stops.items[0].hits, NAN, 0);
    assert_string_equal(stops.items[0].name, "A");
    assert_string_equal(stops.items[1].date, "2026-08-19");
    assert_string_equal(stops.items[2].date, "2026-08-20");
    assert_string_equal(stops.items[2].name, "3"); /* no name: the row */
    assert_near(stops.items[1].value, NAN, 0);     /* blank is not zero */
    assert_string_equal(stops.items[1].blank_text, "");
    assert_near(stops.items[2].value, 0, 0);
    assert_near(stops.items[2].lonlat.y, 42.99, 0);
    foci_stops_free(&stops);
    foci_stops_free(&stops);
}

static void limits_of(const char *column, foci_stops_options options, double least, double most) {
    char text[120];
    foci_readings readings = {0};
    foci_reading_range spread;
    foci_error err = {0};
    snprintf(text, sizeof text, "lon,lat,%s\n-39.34,42.97,1\n-39.35,42.98,4\n-39.36,42.99,0\n", column);
    foci_stops stops = read_text(text, options);
    assert_near(stops.least, least, 0);
    assert_near(stops.most, most, 0);
    for (size_t i = 0; i < stops.count; i++)
        stops.items[i].used = true;
    assert_done(foci_readings_make(&readings, &stops, &err), err);
    assert_done(foci_readings_find_range(&spread, &readings, &err), err);
    assert_int_equal(spread.zeros, 1); /* the reading 0, or the reading 1 of a scale that begins there */
    assert_near(readings.none, least, 0);
    foci_readings_free(&readings);
    foci_stops_free(&stops);
}

static void a_reading_has_limits(void **state) {
    (void)state;
    limits_of("score", (foci_stops_options){.value = "score"}, 0, 0);
    limits_of("score", (foci_stops_options){.value = "score", .least = 1, .most = 10}, 1, 10);
    limits_of("score", (foci_stops_options){.value = "score", .unit = "percent of leaf area damaged"}, 0, 100);
    limits_of("Percent_pods", (foci_stops_options){.value = "Percent_pods"}, 0, 100);
    limits_of("leaf_pct", (foci_stops_options){.value = "leaf_pct"}, 0, 100);
    limits_of("leaf_pct", (foci_stops_options){.value = "leaf_pct", .least = 0, .most = 50}, 0, 50);
    foci_stops counts = read_text(round_csv, (foci_stops_options){.hits = "hits", .checked = "checked"});
    assert_near(counts.most, 100, 0);
    foci_stops_free(&counts);
}

static void counts_are_percent_of_units(void **state) {
    (void)state;
    foci_stops stops = read_text(
        round_csv, (foci_stops_options){.hits = "hits", .checked = "checked", .unit = "percent of plants infected"});
    assert_string_equal(stops.unit, "percent of plants infected");
    foci_stops_free(&stops);
    stops = read_text(round_csv, (foci_stops_options){.hits = "hits", .checked = "checked"});
    assert_int_equal(stops.kind, FOCI_READING_COUNT);
    assert_string_equal(foci_reading_word(stops.kind), "incidence");
    assert_string_equal(foci_reading_word(FOCI_READING_VALUE), "severity");
    assert_string_equal(stops.unit, "percent of units infected");
    assert_near(stops.items[0].value, 7.5, 1e-12);
    assert_near(stops.items[1].value, NAN, 0);
    assert_near(stops.items[1].checked, 40, 0);
    assert_string_equal(stops.items[1].name, "2");
    foci_stops_free(&stops);
    stops = read_text(round_csv, (foci_stops_options){.hits = "hits", .checked = "16"});
    assert_near(stops.items[0].value, 18.75, 1e-12);
    assert_near(stops.items[2].checked, 16, 0);
    foci_stops_free(&stops);
}

static void words_in_a_number_column_are_kept(void **state) {
    (void)state;
    foci_stops stops = read_text("lon,lat,score\n-93,42,many\n-93,43,\"3,5\"\n-93,44,1.5\n-93,45,inf\n-93,46,nan\n",
                                 (foci_stops_options){.value = "score", .unit = "percent"});
    assert_string_equal(stops.unit, "percent");
    assert_string_equal(stops.items[0].blank_text, "many");
    assert_string_equal(stops.items[1].blank_text, "3,5");
    assert_near(stops.items[1].value, NAN, 0);
    assert_near(stops.items[2].value, 1.5, 0);
    assert_true(isinf(stops.items[3].value));
    assert_string_equal(stops.items[4].blank_text, "nan");
    foci_stops_free(&stops);
}

static void days_are_chosen(void **state) {
    (void)state;
    foci_stops_options options = {.value = "score", .when = "day", .from = "2026-08-19", .to = "2026-08-19"};
    foci_stops stops = read_text(round_csv, options);
    assert_int_equal(stops.count, 1);
    assert_int_equal(stops.items[0].row, 2);
    foci_stops_free(&stops);
    options.to = NULL;
    stops = read_text(round_csv, options);
    assert_int_equal(stops.count, 2);
    foci_stops_free(&stops);
    options.from = "2027-01-01";
    fails(round_csv, options, FOCI_BAD_INPUT, NULL, "run from 2026-08-18 to 2026-08-20");
}

static void days_that_cannot_be_read(void **state) {
    (void)state;
    const char *text = "lon,lat,score,day\n-93,42,1.5,2026-08-18\n-93,43,2.5,2026-02-30\n-93,44,2.5,\n";
    foci_stops stops = read_text(text, (foci_stops_options){.value = "score", .when = "day"});
    assert_string_equal(stops.items[1].date, "");
    assert_string_equal(stops.items[1].date_text, "2026-02-30");
    assert_string_equal(stops.items[2].date_text, "");
    foci_stops_free(&stops);
    foci_error err = {0};
    const char *path = scratch_write("stops.csv", text);
    foci_stops_options options = {.value = "score", .when = "day", .from = "2026-01-01"};
    assert_fails(foci_stops_read(&stops, &path, 1, &options, &err), err, FOCI_BAD_INPUT,
                 "\"2026-02-30\" is not a date");
    assert_int_equal(err.row, 2);
    fails("lon,lat,score,day\n-93,42,1.5,\n", options, FOCI_BAD_INPUT, NULL, "has no date");
}

static void files_of_several_formats_go_together(void **state) {
    (void)state;
    foci_error err = {0};
    foci_stops stops = {0};
    const char *files[] = {
        scratch_write("first.csv", "x,y,score\n630084.301,4833438.586,2.385\n"),
        scratch_write("second.geojson", "{\"type\":\"Feature\",\"properties\":{\"SCORE\":4.5},\"geometry\":"
                                        "{\"type\":\"Point\",\"coordinates\":[-79.3,43.6]}}"),
    };
    foci_stops_options options = {.value = "score", .crs = "EPSG:32617"};
    assert_done(foci_stops_read(&stops, files, 2, &options, &err), err);
    assert_int_equal(stops.count, 2);
    assert_int_equal(stops.input_count, 2);
    assert_int_equal(stops.items[1].input, 1);
    assert_int_equal(stops.items[1].row, 1);
    assert_near(stops.items[1].value, 4.5, 0);
    assert_near(stops.items[0].lonlat.x, -79.387139, 2e-8); /* as in test_point_table */
    assert_near(stops.items[1].lonlat.x, -79.3, 0);
    foci_stops_free(&stops);
}

static void a_file_given_twice_is_refused(void **state) {
    (void)state;
    foci_error err = {0};
    foci_stops stops = {0};
    foci_stops_options options = {.value = "score"};
    const char *first = scratch_write("round.csv", round_csv);
    const char *same[] = {first, first}, *copied[] = {first, scratch_write("copy.csv", round_csv)};
    assert_fails(foci_stops_read(&stops, same, 2, &options, &err), err, FOCI_BAD_INPUT, "is given twice");
    err = (foci_error){0};
    assert_fails(foci_stops_read(&stops, copied, 2, &options, &err), err, FOCI_BAD_INPUT, first);
    assert_non_null(strstr(err.source, "copy.csv"));
    assert_non_null(strstr(err.text, "the very same stops as"));
}

static void what_is_wrong_is_said(void **state) {
    (void)state;
    const foci_stops_options value = {.value = "score"};
    fails(round_csv, (foci_stops_options){0}, FOCI_BAD_SETTING, "", "{value} COLUMN");
    fails(round_csv, (foci_stops_options){.value = "score", .hits = "hits", .checked = "checked"}, FOCI_BAD_SETTING,
          "value", "together with {hits}");
    fails(round_csv, (foci_stops_options){.hits = "hits"}, FOCI_BAD_SETTING, "hits", "needs {checked}");
    fails(round_csv, (foci_stops_options){.checked = "checked"}, FOCI_BAD_SETTING, "checked", "{hits}");
    fails(round_csv, (foci_stops_options){.hits = "hits", .checked = "0"}, FOCI_BAD_SETTING, "checked", "from 1 to");
    fails(round_csv, (foci_stops_options){.hits = "hits", .checked = "1e9"}, FOCI_BAD_SETTING, "checked", "100,000");
    fails(round_csv, (foci_stops_options){.hits = "hits", .checked = "2.5"}, FOCI_BAD_SETTING, "checked", "whole");
    fails(round_csv, (foci_stops_options){.value = "scores"}, FOCI_BAD_INPUT, NULL,
          "no column \"scores\"; did you mean \"score\"? The columns are: lon, lat, stop, day, score");
    fails(round_csv, (foci_stops_options){.value = "score", .id = "name"}, FOCI_BAD_INPUT, NULL, "no column \"name\"");
    fails(round_csv, (foci_stops_options){.value = "score", .from = "2026-08-18"}, FOCI_BAD_SETTING, "from", "{when}");
    fails(round_csv, (foci_stops_options){.value = "score", .when = "day", .to = "soon"}, FOCI_BAD_SETTING, "to",
          "YYYY-MM-DD");
    fails(round_csv, (foci_stops_options){.value = "score", .when = "day", .from = "2026-08-19", .to = "2026-08-18"},
          FOCI_BAD_SETTING, "from", "is after {to}");
    fails("lon,lat,score\n-93,42,many\n-93,43,few\n", value, FOCI_BAD_INPUT, NULL,
          "column \"score\" holds no number (row 1: \"many\"); name a number column");
    fails("lon,lat,score\n-93,42,\n-93,43,\"3,500\"\n", value, FOCI_BAD_INPUT, NULL,
          "\"3,500\" in column \"score\" has a comma that can be a decimal mark or group thousands");
}

static bool attempt(foci_error *err) {
    foci_stops stops = {0};
    foci_readings readings = {0};
    foci_reading_range spread;
    char path[200], second[200];
    snprintf(path, sizeof path, "%s/each.csv", scratch_folder);
    snprintf(second, sizeof second, "%s/second.csv", scratch_folder);
    const char *files[] = {path, second};
    foci_stops_options options = {.value = "score", .id = "stop", .when = "day"};
    bool ok = foci_stops_read(&stops, files, 2, &options, err) && foci_readings_make(&readings, &stops, err) &&
              foci_readings_find_range(&spread, &readings, err);
    foci_readings_free(&readings);
    foci_stops_free(&stops);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    scratch_write("each.csv", round_csv);
    scratch_write("second.csv", "lon,lat,stop,day,score\n-39.37,43,D,2026-08-20,4.5\n");
    support_fail_each_allocation(attempt);
}

/* ---- readings ---- */

static foci_stop stop_at(double x, double y, double hits, double checked) {
    return (foci_stop){.place = {x, y},
                       .hits = hits,
                       .checked = checked,
                       .value = 100 * hits / checked,
                       .used = true,
                       .pooled_into = FOCI_NOT_POOLED,
                       .why = ""};
}

static void pooled_counts_are_summed(void **state) {
    (void)state;
    foci_error err = {0};
    foci_readings readings = {0};
    foci_stop items[] = {stop_at(1, 2, 3, 40), stop_at(5, 6, 1, 10), stop_at(1, 2, 7, 20), stop_at(9, 9, 4, 8)};
    items[2].used = false;
    items[2].pooled_into = 0;
    items[3].used = false;
    foci_stops stops = {.kind = FOCI_READING_COUNT, .count = 4, .items = items};
    assert_done(foci_readings_make(&readings, &stops, &err), err);
    assert_int_equal(readings.count, 2);
    assert_near(readings.hits[0], 10, 0);
    assert_near(readings.checked[0], 60, 0);
    assert_near(readings.values[0], 100 * 10.0 / 60, 1e-12); /* not the mean of 7.5 and 35 */
    assert_near(readings.values[1], 10, 1e-12);
    assert_int_equal(readings.stops[1], 1);
    assert_near(readings.places[1].y, 6, 0);
    foci_readings_free(&readings);
    foci_readings_free(&readings);
}

static void pooled_scores_are_averaged(void **state) {
    (void)state;
    foci_error err = {0};
    foci_readings readings = {0};
    foci_stop items[] = {stop_at(1, 2, NAN, NAN), stop_at(1, 2, NAN, NAN), stop_at(1, 2, NAN, NAN)};
    const double values[] = {2.385, 4.5, 0.3};
    for (size_t i = 0; i < 3; i++) {
        items[i].value = values[i];
        items[i].used = i == 0;
        items[i].pooled_into = i == 0 ? FOCI_NOT_POOLED : 0;
    }
    foci_stops stops = {.kind = FOCI_READING_VALUE, .count = 3, .items = items};
    assert_done(foci_readings_make(&readings, &stops, &err), err);
    assert_near(readings.values[0], 2.395, 1e-12);
    foci_readings_free(&readings);
    items[0].used = false;
    assert_fails(foci_readings_make(&readings, &stops, &err), err, FOCI_BAD_INPUT, "no stop can be used");
}

static void the_spread_is_told(void **state) {
    (void)state;
    foci_error err = {0};
    foci_reading_range spread;
    double values[] = {3.5, 0, 2.385, 0, 11.2};
    foci_readings readings = {.count = 5, .values = values};
    assert_done(foci_readings_find_range(&spread, &readings, &err), err);
    assert_near(spread.min, 0, 0);
    assert_near(spread.median, 2.385, 0);
    assert_near(spread.mean, 17.085 / 5, 1e-12);
    assert_near(spread.max, 11.2, 0);
    assert_int_equal(spread.zeros, 2);
    readings.count = 4;
    assert_done(foci_readings_find_range(&spread, &readings, &err), err);
    assert_near(spread.median, 2.385 / 2, 1e-15);
    readings.count = 0;
    assert_done(foci_readings_find_range(&spread, &readings, &err), err);
    assert_near(spread.median, NAN, 0);
    assert_near(spread.min, NAN, 0);
}

static int by_size(const void *a, const void *b) {
    return (*(const double *)a > *(const double *)b) - (*(const double *)a < *(const double *)b);
}

/* Every distance to every other stop. */
static double plain_spacing(const foci_point *places, size_t count) {
    double nearest[300];
    for (size_t i = 0; i < count; i++) {
        nearest[i] = INFINITY;
        for (size_t j = 0; j < count; j++)
            if (j != i)
                nearest[i] = fmin(nearest[i], hypot(places[i].x - places[j].x, places[i].y - places[j].y));
    }
    qsort(nearest, count, sizeof *nearest, by_size);
    return count % 2 ? nearest[count / 2] : (nearest[count / 2 - 1] + nearest[count / 2]) / 2;
}

static double spacing_of(const foci_readings *readings) {
    foci_error err = {0};
    double spacing = 0;
    assert_done(foci_readings_spacing(&spacing, readings, &err), err);
    return spacing;
}

static bool attempt_spacing(foci_error *err) {
    foci_point places[3] = {{0, 0}, {3, 4}, {3, 10}};
    foci_readings readings = {.count = 3, .places = places};
    double spacing = 0;
    return foci_readings_spacing(&spacing, &readings, err) && spacing == 5;
}

static void the_spacing_says_where_memory_ends(void **state) {
    (void)state;
    support_fail_each_allocation(attempt_spacing);
}

static void the_spacing_is_the_median_nearest_distance(void **state) {
    (void)state;
    foci_point places[300] = {{0, 0}, {3, 4}, {3, 10}};
    foci_readings readings = {.count = 3, .places = places};
    assert_near(spacing_of(&readings), 5, 0); /* nearest: 5, 5, 6 */
    readings.count = 1;
    assert_near(spacing_of(&readings), NAN, 0);
    unsigned long draw = 12345;
    for (size_t round = 0; round < 2; round++) {
        for (size_t i = 0; i < 300; i++) {
            draw = (draw * 1103515245UL + 12345) % 2147483648UL;
            places[i].x =
                round ? 7.5 : (double)(draw % 1000) * 0.37; /* the second time all stops stand in one column */
            draw = (draw * 1103515245UL + 12345) % 2147483648UL;
            places[i].y = (double)(draw % 100000) * 0.0029;
        }
        for (readings.count = 2; readings.count <= 300; readings.count += 149)
            assert_near(spacing_of(&readings), plain_spacing(places, readings.count), 0);
    }
}

/* ---- readings from plain arrays ---- */

static const foci_point four[] = {{0, 0}, {30, 0}, {0, 40}, {30, 40}};

static void readings_come_from_arrays(void **state) {
    (void)state;
    foci_error err = {0};
    foci_readings readings = {0}, copy = {0};
    double hits[] = {0, 3, 12, 6};
    const double checked[] = {20, 30, 30, 24}, scores[] = {1, 2.5, 9, 1};
    assert_done(foci_readings_of_counts(&readings, four, hits, checked, 4, &err), err);
    assert_int_equal(readings.count, 4);
    assert_near(readings.values[1], 10, 0);
    assert_near(readings.spread.median, 17.5, 1e-12); /* of 0, 10, 25 and 40 percent */
    assert_int_equal(readings.spread.zeros, 1);
    assert_near(readings.spacing, 30, 0);
    hits[1] = 30; /* they are copies */
    assert_near(readings.hits[1], 3, 0);
    assert_done(foci_readings_copy(&copy, &readings, &err), err);
    foci_readings_free(&readings);
    assert_near(copy.values[3], 25, 0);
    assert_near(copy.spacing, 30, 0);
    foci_readings_free(&copy);
    assert_done(foci_readings_of_scores(&readings, four, scores, 1, 4, &err), err);
    assert_int_equal(readings.spread.zeros, 2); /* a scale that begins at 1 */
    assert_true(isnan(readings.hits[0]) && isnan(readings.checked[0]));
    foci_readings_free(&readings);
}

static void impossible_readings_are_refused_with_their_row(void **state) {
    (void)state;
    foci_error err = {0};
    foci_readings readings = {0};
    foci_point places[4];
    const struct {
        double hits, checked;
        const char *words;
    } rows[] = {{4, 3, "3 looked at"}, {-1, 30, "-1 infected"},     {2.5, 30, "2.5 infected"}, {0, 0, "0 units"},
                {1, 2.5, "2.5 units"}, {1, 1000000, "1e+06 units"}, {NAN, 30, "nan infected"}, {1, NAN, "nan units"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double hits[] = {1, 1, rows[i].hits, 1}, checked[] = {30, 30, rows[i].checked, 30};
        assert_false(foci_readings_of_counts(&readings, four, hits, checked, 4, &err));
        assert_int_equal(err.row, 3);
        assert_non_null(strstr(err.text, rows[i].words));
        err = (foci_error){0};
    }
    const double scores[] = {1, 2, 3, 0.5}, good[] = {1, 2, 3, 4};
    assert_fails(foci_readings_of_scores(&readings, four, scores, 1, 4, &err), err, FOCI_BAD_INPUT, "no score of 1");
    assert_fails(foci_readings_of_scores(&readings, four, good, 0, 0, &err), err, FOCI_BAD_INPUT, "give some");
    memcpy(places, four, sizeof places);
    err = (foci_error){0};
    places[3] = places[1];
    assert_false(foci_readings_of_scores(&readings, places, good, 0, 4, &err));
    assert_true((err.row == 2 || err.row == 4) && strstr(err.text, "given twice"));
    err = (foci_error){0};
    places[2].y = NAN;
    assert_fails(foci_readings_of_scores(&readings, places, good, 0, 4, &err), err, FOCI_BAD_INPUT, "no place");
    assert_null(readings.places);
}

static bool from_arrays(foci_error *err) {
    const double hits[] = {0, 3, 12, 6}, checked[] = {20, 30, 30, 24};
    foci_readings readings = {0}, copy = {0};
    bool ok =
        foci_readings_of_counts(&readings, four, hits, checked, 4, err) && foci_readings_copy(&copy, &readings, err);
    foci_readings_free(&readings);
    foci_readings_free(&copy);
    return ok;
}

static void failing_allocations_of_arrays_are_reported(void **state) {
    (void)state;
    support_fail_each_allocation(from_arrays);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scores_are_read),
        cmocka_unit_test(a_reading_has_limits),
        cmocka_unit_test(counts_are_percent_of_units),
        cmocka_unit_test(words_in_a_number_column_are_kept),
        cmocka_unit_test(days_are_chosen),
        cmocka_unit_test(days_that_cannot_be_read),
        cmocka_unit_test(files_of_several_formats_go_together),
        cmocka_unit_test(a_file_given_twice_is_refused),
        cmocka_unit_test(what_is_wrong_is_said),
        cmocka_unit_test(each_allocation_may_fail),
        cmocka_unit_test(pooled_counts_are_summed),
        cmocka_unit_test(pooled_scores_are_averaged),
        cmocka_unit_test(the_spread_is_told),
        cmocka_unit_test(the_spacing_says_where_memory_ends),
        cmocka_unit_test(the_spacing_is_the_median_nearest_distance),
        cmocka_unit_test(readings_come_from_arrays),
        cmocka_unit_test(impossible_readings_are_refused_with_their_row),
        cmocka_unit_test(failing_allocations_of_arrays_are_reported),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

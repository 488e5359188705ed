/* Surveys read back: from their folder and from a history, to the same surfaces. */
#include "support/places.h"
#include "support/support.h"

#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "fieldfoci/history.h"
#include "run/steps/recall.h"
#include "run/run_map.h"
#include "run/write_survey.h"

static char folder[] = "/tmp/foci-recall-XXXXXX";

static const char *in_folder(const char *name) {
    static char paths[8][512];
    static int next = 0;
    next = (next + 1) % 8;
    snprintf(paths[next], sizeof paths[next], "%s/%s", folder, name);
    return paths[next];
}

static void write_file(const char *name, const char *text) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static const char field_text[] =
    "{\"type\":\"Feature\",\"properties\":{\"name\":\"Thistledown\"},\"geometry\":{\"type\":\"Polygon\","
    "\"coordinates\":[["
    "[-84.5021,31.5003],[-84.4981,31.5001],[-84.4979,31.5041],[-84.5022,31.5039],[-84.5021,31.5003]]]}}";

/* The same corner of the world in UTM zone 16, south-west corner at 737,150 m E, 3,487,700 m N. */
static const char utm_field_text[] =
    "{\"type\":\"Feature\",\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"urn:ogc:def:crs:EPSG::32616\"}},"
    "\"properties\":{\"name\":\"Westacre\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[["
    "[737150.37,3487700.11],[737541.93,3487711.77],[737533.21,3488090.49],[737143.58,3488079.03],"
    "[737150.37,3487700.11]]]}}";

/* Infected of 20; two at one place are pooled, and one each lies outside, is blank, is text, is more than checked. */
static void write_counts(void) {
    FILE *file = fopen(in_folder("counts.csv"), "w");
    assert_non_null(file);
    fprintf(file, "stop,lon,lat,infected,plants,day\n");
    for (int row = 0; row < 6; row++)
        for (int column = 0; column < 6; column++) {
            int infected = row + column < 4 ? 11 - 2 * (row + column) : (row * 5 + column) % 2;
            fprintf(file, "%c%d,%.6f,%.6f,%d,20,2026-08-%02d\n", 'A' + row, column + 1, -84.50153 + 0.000613 * column,
                    31.50071 + 0.000547 * row, infected, 10 + row % 2);
        }
    fprintf(file, "again,-84.501530,31.500710,4,10,2026-08-12\n");
    fprintf(file, "astray,-84.511530,31.500710,4,20,2026-08-12\n");
    fprintf(file, "blank,-84.500333,31.502222,,20,2026-08-12\n");
    fprintf(file, "words,-84.500444,31.502333,many,20,someday\n");
    fprintf(file, "more,-84.500555,31.502444,21,20,\n");
    assert_int_equal(fclose(file), 0);
}

/* Scores in metres of the work system, with more digits than longitude and latitude give back. */
static void write_scores(void) {
    FILE *file = fopen(in_folder("scores.csv"), "w");
    assert_non_null(file);
    fprintf(file, "x,y,score\n");
    for (int row = 0; row < 6; row++)
        for (int column = 0; column < 6; column++) {
            double distance = hypot(column - 1.7, row - 3.1);
            fprintf(file, "%.3f,%.3f,%.4f\n", 737180.237 + 62.713 * column + 1.009 * row,
                    3487731.113 + 61.371 * row - 0.517 * column,
                    0.7 + 6.131 * exp(-distance * distance / 3) + 0.35 * ((row * 7 + column * 3) % 5));
        }
    assert_int_equal(fclose(file), 0);
}

static int begin(void **state) {
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    setenv("SOURCE_DATE_EPOCH", "1786000000", 1);
    write_file("field.geojson", field_text);
    write_file("utm.geojson", utm_field_text);
    write_counts();
    write_scores();
    return 0;
}

static int end(void **state) {
    (void)state;
    foci_unfinished_remove(folder);
    return 0;
}

static int afresh(void **state) {
    (void)state;
    foci_unfinished_remove(in_folder("survey"));
    foci_unfinished_remove(in_folder("again"));
    foci_unfinished_remove(in_folder("history.gpkg"));
    return 0;
}

/* ---- one survey, made and made again ---- */

static const char *const of_counts[] = {
    "--hits",      "infected", "--checked", "plants",    "--id",
    "stop",        "--when",   "day",       "--disease", "southern-stem-rot-of-peanut",
    "--threshold", "15",       "--cell",    "16",        "--row-heading",
    "7",           NULL};
static const char *const of_scores[] = {"--value", "score", "--crs", "EPSG:32616", "--threshold", "3.5", NULL};

static void map_survey(foci_survey *survey, const char *stops, const char *field, const char *const *words) {
    foci_settings settings = foci_settings_make();
    foci_error err = {0};
    const char *first[] = {in_folder(stops), "--field", in_folder(field)};
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, 3, first, &err), err);
    int count = 0;
    while (words[count])
        count++;
    assert_done(foci_settings_parse(&settings, FOCI_FOR_MAP, count, words, &err), err);
    assert_done(run_map(survey, &settings, NULL, &err), err);
    foci_settings_free(&settings);
}

static void write_survey(const foci_survey *survey, const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s", in_folder(name));
    write_survey_to_read(survey, path);
}

static void assert_same_stops(const foci_survey *round, const foci_survey *first) {
    assert_int_equal(round->stops.count, first->stops.count);
    assert_string_equal(round->stops.unit, first->stops.unit);
    assert_int_equal(round->stops.kind, first->stops.kind);
    for (size_t i = 0; i < round->stops.count; i++) {
        const foci_stop *stop = &round->stops.items[i], *other = &first->stops.items[i];
        assert_string_equal(stop->name, other->name);
        assert_string_equal(stop->date, other->date);
        assert_int_equal(stop->used, other->used);
        assert_int_equal(stop->pooled_into, other->pooled_into);
        assert_near(stop->lonlat.x, other->lonlat.x, 0);
        assert_near(stop->lonlat.y, other->lonlat.y, 0);
        assert_near(stop->place.x, other->place.x, 0);
        assert_near(stop->place.y, other->place.y, 0);
        assert_near(stop->hits, other->hits, 0);
        assert_near(stop->checked, other->checked, 0);
        assert_near(stop->value, other->value, 0);
    }
    assert_int_equal(round->readings.count, first->readings.count);
    for (size_t i = 0; i < round->readings.count; i++)
        assert_near(round->readings.values[i], first->readings.values[i], 0);
}

static void assert_same_field(const foci_survey *round, const foci_survey *first) {
    assert_string_equal(round->field.name, first->field.name);
    assert_string_equal(round->work_crs, first->work_crs);
    assert_near(round->field.area_ha, first->field.area_ha, 0);
    assert_near(round->field.centre.x, first->field.centre.x, 0);
    assert_near(foci_multipolygon_area(&round->field.shape), foci_multipolygon_area(&first->field.shape), 0);
    assert_string_equal(round->season, first->season);
    assert_string_equal(round->first_date, first->first_date);
    assert_string_equal(round->last_date, first->last_date);
    assert_string_equal(round->rated, first->rated);
}

static void assert_same_bytes(const char *name) {
    char a[512], b[512];
    snprintf(a, sizeof a, "%s/survey/%s", folder, name);
    snprintf(b, sizeof b, "%s/again/%s", folder, name);
    FILE *one = fopen(a, "rb"), *other = fopen(b, "rb");
    assert_non_null(one);
    assert_non_null(other);
    long size = 0;
    for (int left = 0, right = 0; left != EOF; size++) {
        left = fgetc(one);
        right = fgetc(other);
        if (left != right)
            fail_msg("%s differs at byte %ld", name, size);
    }
    assert_true(size > 1000);
    fclose(one);
    fclose(other);
}

static void finish_and_compare(foci_survey *recalled, const foci_survey *first) {
    foci_error err = {0};
    assert_same_stops(recalled, first);
    assert_same_field(recalled, first);
    assert_done(foci_survey_map(recalled, NULL, &err), err);
    foci_unfinished_remove(in_folder("again"));
    write_survey(recalled, "again");
    static const char *const files[] = {"severity.tif", "deviation.tif", "low.tif", "high.tif", "chance.tif", NULL};
    for (const char *const *file = files; *file; file++)
        assert_same_bytes(*file);
    for (int code = 0; code < FOCI_ZONE_END; code++)
        assert_near(recalled->zones.items[code].area_ha, first->zones.items[code].area_ha, 0);
    foci_survey_free(recalled);
}

/* From the folder; then from a history, the folder being gone. */
static void assert_comes_back(const char *stops, const char *field, const char *const *words) {
    foci_survey first = {0}, recalled = {0};
    foci_error err = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    map_survey(&first, stops, field, words);
    write_survey(&first, "survey");
    assert_done(foci_survey_recall(&recalled, in_folder("survey"), &err), err);
    finish_and_compare(&recalled, &first);
    const foci_history_options notes = {0};
    assert_done(foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &notes, &already, NULL, &err), err);
    foci_history_entries entries = {0};
    assert_done(foci_history_list(&entries, in_folder("history.gpkg"), NULL, NULL, &err), err);
    assert_int_equal(rename(in_folder("survey"), in_folder("elsewhere")), 0);
    assert_done(foci_history_recall(&recalled, in_folder("history.gpkg"), entries.items[0].sha256, NULL, &err), err);
    assert_int_equal(rename(in_folder("elsewhere"), in_folder("survey")), 0);
    finish_and_compare(&recalled, &first);
    foci_history_entries_free(&entries);
    foci_survey_free(&first);
}

static void counts_in_degrees_come_back(void **state) {
    (void)state;
    assert_comes_back("counts.csv", "field.geojson", of_counts);
}

static void scores_in_metres_come_back(void **state) {
    (void)state;
    assert_comes_back("scores.csv", "utm.geojson", of_scores);
}

/* Longitude and latitude alone would not give the metres back. */
static void own_metres_are_needed(void **state) {
    (void)state;
    foci_survey first = {0}, recalled = {0};
    foci_error err = {0};
    char key[65] = "";
    size_t moved = 0;
    map_survey(&first, "scores.csv", "utm.geojson", of_scores);
    write_survey(&first, "survey");
    assert_done(foci_recall_folder(&recalled, key, in_folder("survey"), "EPSG:32616", &err), err);
    assert_same_stops(&recalled, &first);
    foci_survey_free(&recalled);
    /* the same system under another name: the stored metres may not be taken for its own */
    assert_done(foci_recall_folder(&recalled, key, in_folder("survey"), "+proj=utm +zone=16 +datum=WGS84", &err), err);
    for (size_t i = 0; i < recalled.stops.count; i++) {
        const foci_point place = recalled.stops.items[i].place, other = first.stops.items[i].place;
        assert_near(place.x, other.x, 1e-6);
        assert_near(place.y, other.y, 1e-6);
        moved += place.x != other.x || place.y != other.y;
    }
    assert_true(moved > 0);
    assert_int_equal(strlen(key), 64);
    foci_survey_free(&recalled);
    foci_survey_free(&first);
}

/* ---- what cannot be read back ---- */

static void what_is_no_survey_says_so(void **state) {
    (void)state;
    foci_survey survey = {0}, first = {0};
    foci_error err = {0};
    assert_fails(foci_survey_recall(&survey, in_folder("none"), &err), err, FOCI_NO_FILE, "no survey folder");
    assert_fails(foci_history_recall(&survey, in_folder("none.gpkg"), "00", NULL, &err), err, FOCI_NO_FILE,
                 "is not there; check its name");
    map_survey(&first, "scores.csv", "utm.geojson", of_scores);
    write_survey(&first, "survey");
    foci_survey_free(&first);
    const foci_history_options notes = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    err = (foci_error){0};
    assert_done(foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &notes, &already, NULL, &err), err);
    assert_fails(foci_history_recall(&survey, in_folder("history.gpkg"), "0123456789abcdef", NULL, &err), err,
                 FOCI_BAD_INPUT, "holds no survey 0123456789ab");
}

static void a_lost_profile_is_asked_for(void **state) {
    (void)state;
    foci_survey survey = {0}, first = {0};
    foci_error err = {0};
    const char *words[24] = {0};
    int count = 0;
    for (; of_counts[count]; count++)
        words[count] = of_counts[count];
    char profile[512];
    snprintf(profile, sizeof profile, "%s", in_folder("rot.json"));
    words[9] = profile;
    write_file(
        "rot.json",
        "{\"name\":\"rot\",\"title\":\"Rot\",\"crop\":\"peanut\",\"cause\":\"Rotula exempli\",\"lives_in\":"
        "\"soil\",\"habitat\":{\"text\":\"It lives there.\",\"source\":\"common practice, no source\"},"
        "\"seen\":{\"text\":\"Anywhere.\",\"source\":\"common practice, no "
        "source\"},\"unit\":\"percent\",\"limits\":null,\"value_column\":null,\"hits_column\":null,\"checked_column\":"
        "null,"
        "\"rated\":\"dug\",\"laboratory\":false,\"laboratory_why\":{\"text\":\"No.\",\"source\":\"common "
        "practice, no source\"},\"threshold\":null,\"threshold_why\":{\"text\":\"None.\",\"source\":\"common "
        "practice, no source\"},\"too_late_in_season\":null,\"margin\":null,\"look_alikes\":[{\"text\":\"Another "
        "rot.\",\"source\":\"common practice, no "
        "source\"}],\"cautions\":[{\"text\":\"Another rot.\",\"source\":\"common practice, no source\"}]}");
    map_survey(&first, "counts.csv", "field.geojson", words);
    write_survey(&first, "survey");
    foci_survey_free(&first);
    assert_int_equal(unlink(profile), 0);
    assert_fails(foci_survey_recall(&survey, in_folder("survey"), &err), err, FOCI_BAD_INPUT, "put it back there");
    assert_string_equal(err.source, in_folder("survey"));
}

static bool attempt(foci_error *err) {
    foci_survey survey = {0};
    bool ok = foci_survey_recall(&survey, in_folder("survey"), err);
    foci_survey_free(&survey);
    return ok;
}

static bool attempt_history(foci_error *err) {
    foci_survey survey = {0};
    foci_history_entries entries = {0};
    bool ok = foci_history_list(&entries, in_folder("history.gpkg"), NULL, NULL, err) &&
              foci_history_recall(&survey, in_folder("history.gpkg"), entries.items[0].sha256, NULL, err);
    foci_history_entries_free(&entries);
    foci_survey_free(&survey);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    foci_survey first = {0};
    foci_error err = {0};
    const foci_history_options notes = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    map_survey(&first, "counts.csv", "field.geojson", of_counts);
    write_survey(&first, "survey");
    foci_survey_free(&first);
    assert_done(foci_history_record(in_folder("survey"), in_folder("history.gpkg"), &notes, &already, NULL, &err), err);
    support_fail_each_place(attempt);
    support_fail_each_place(attempt_history);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(counts_in_degrees_come_back, afresh),
        cmocka_unit_test_setup(scores_in_metres_come_back, afresh),
        cmocka_unit_test_setup(own_metres_are_needed, afresh),
        cmocka_unit_test_setup(what_is_no_survey_says_so, afresh),
        cmocka_unit_test_setup(a_lost_profile_is_asked_for, afresh),
        cmocka_unit_test_setup(each_allocation_may_fail, afresh),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

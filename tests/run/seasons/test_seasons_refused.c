/* What may not be compared, each with its reason, and what goes on for a stated one. */
#define SAMPLE_CELL "20"
#include "run/seasons/sample_surveys.h"

#include "fieldfoci/history.h"
#include "run/seasons/seasons_work.h"

static int begin(void **state) {
    if (sample_begin(state))
        return -1;
    map_survey("a", "a.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", "southern-stem-rot-of-peanut"));
    map_survey("b", "b.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", "southern-stem-rot-of-peanut"));
    return 0;
}

/* Reads and judges only; what goes on is put into `seasons`. */
static bool judge(foci_seasons *seasons, const char *const *words, foci_error *err) {
    foci_settings settings = seasons_settings(words);
    foci_seasons_work *work = calloc(1, sizeof *work);
    work->settings = &settings;
    bool ok = foci_seasons_work_read(work, err) && foci_seasons_work_judge(seasons, work, err);
    foci_seasons_work_free(work);
    free(work);
    foci_settings_free(&settings);
    return ok;
}

static void assert_refused(const char *const *words, const char *message) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_fails(judge(&seasons, words, &err), err, FOCI_BAD_INPUT, message);
    assert_true(*err.source);
    foci_seasons_free(&seasons);
}

/* No error, but the first season is not compared, for this reason. */
static void assert_fenced(const char *const *words, const char *message) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(judge(&seasons, words, &err), err);
    assert_non_null(seasons.fences[0]);
    assert_non_null(strstr(seasons.fences[0], message));
    assert_null(strstr(seasons.fences[0], "--even-so"));
    assert_null(seasons.fences[1]);
    foci_seasons_free(&seasons);
}

/* Fenced off without a reason, and with one the reason stands beside what it is for. */
static void assert_gives_way(const char *first, const char *second, const char *message) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_fenced(MORE(first, second), message);
    assert_done(judge(&seasons, MORE(first, second, "--even-so", "the agronomist knows"), &err), err);
    assert_int_equal(seasons.even_so.count, 1);
    assert_non_null(strstr(seasons.even_so.items[0], message));
    assert_non_null(strstr(seasons.even_so.items[0], ": the agronomist knows"));
    foci_seasons_free(&seasons);
}

static void like_seasons_pass(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(judge(&seasons, MORE(in_folder("a"), in_folder("b")), &err), err);
    assert_int_equal(seasons.even_so.count, 0);
    assert_int_equal(seasons.warnings.count, 0);
    foci_seasons_free(&seasons);
}

/* ---- the command line ---- */

static void too_few_are_no_comparison(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_fails(compare(&seasons, MORE("--seed", "2"), &err), err, FOCI_BAD_SETTING,
                 "name two or more survey folders");
    assert_fails(compare(&seasons, MORE(in_folder("a")), &err), err, FOCI_BAD_SETTING, "one survey is nothing");
    assert_fails(compare(&seasons, MORE(in_folder("a"), in_folder("b"), "--field-name", "x"), &err), err,
                 FOCI_BAD_SETTING, "name the history");
    assert_fails(compare(&seasons, MORE(in_folder("a"), in_folder("none")), &err), err, FOCI_NO_FILE,
                 "no survey folder");
    const char *many[FOCI_SEASONS_MOST + 2] = {0};
    for (int i = 0; i <= FOCI_SEASONS_MOST; i++)
        many[i] = "a";
    assert_fails(compare(&seasons, many, &err), err, FOCI_BAD_SETTING, "13 surveys are too many; at most 12");
}

static void a_history_of_several_fields_needs_a_name(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    const foci_history_options notes = {0};
    foci_history_outcome already = FOCI_HISTORY_ADDED;
    FILE *file = fopen(in_folder("other.geojson"), "w");
    assert_non_null(file);
    fputs("{\"type\":\"Feature\",\"properties\":{\"name\":\"Westacre\"},\"geometry\":{\"type\":\"Polygon\","
          "\"coordinates\":[[[-84.5022,31.5],[-84.4980,31.5],[-84.4980,31.5042],[-84.5022,31.5042],[-84.5022,31.5]]]}}",
          file);
    assert_int_equal(fclose(file), 0);
    map_survey("west", "b.csv", "other.geojson", sample_counts, MORE("--threshold", "12"));
    assert_done(foci_history_record(in_folder("a"), in_folder("h.gpkg"), &notes, &already, NULL, &err), err);
    assert_done(foci_history_record(in_folder("west"), in_folder("h.gpkg"), &notes, &already, NULL, &err), err);
    assert_fails(compare(&seasons, MORE("--history", in_folder("h.gpkg")), &err), err, FOCI_BAD_INPUT,
                 "holds several fields: 'Thistledown', 'Westacre'; choose one with {field-name} NAME");
    assert_fails(compare(&seasons, MORE("--history", in_folder("h.gpkg"), "--field-name", "Westacre"), &err), err,
                 FOCI_BAD_INPUT, "holds one survey of it, which is nothing");
    assert_fails(compare(&seasons, MORE("--history", in_folder("h.gpkg"), "--field-name", "Eastacre"), &err), err,
                 FOCI_BAD_INPUT, "holds no field named 'Eastacre'");
    assert_fails(compare(&seasons, MORE("--history", in_folder("gone.gpkg")), &err), err, FOCI_NO_FILE,
                 "is not there; check its name");
}

/* ---- the guards ---- */

static void the_same_survey_twice(void **state) {
    (void)state;
    assert_refused(MORE(in_folder("a"), in_folder("a")), "is the same survey as ");
    /* mapped from a copy that lies elsewhere: still the same */
    write_stops("copy.csv", &(sample_season){1.8, 2.1, 46, 1, false, false}, 2024);
    map_survey("copy", "copy.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", "southern-stem-rot-of-peanut"));
    assert_refused(MORE(in_folder("a"), in_folder("copy"), "--even-so", "why not"), "is the same survey as ");
    /* with another threshold it is another survey of the same stops */
    map_survey("again", "a.csv", "field.geojson", sample_counts,
               MORE("--threshold", "20", "--disease", "southern-stem-rot-of-peanut"));
    assert_refused(MORE(in_folder("a"), in_folder("again"), "--even-so", "why not"),
                   "holds the same stops and readings as ");
}

static void another_field(void **state) {
    (void)state;
    /* of 380 m the boundary goes 29 m to the east: 351 of 409 are common */
    write_field("moved.geojson", 0.0003);
    map_survey("moved", "a.csv", "moved.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", "southern-stem-rot-of-peanut"));
    assert_gives_way(in_folder("moved"), in_folder("b"),
                     "its boundary was drawn anew: the boundaries have 86 % in common");
    write_field("far.geojson", 0.0015);
    map_survey("far", "a.csv", "far.geojson", sample_counts, MORE("--threshold", "12"));
    assert_fenced(MORE(in_folder("far"), in_folder("b"), "--even-so", "why not"),
                  "is of another field: the boundaries have 45 % in common");
}

static void another_disease(void **state) {
    (void)state;
    map_survey("pod-rot", "b.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", "pod-rot-of-peanut"));
    assert_fenced(MORE(in_folder("a"), in_folder("pod-rot"), "--even-so", "why not"),
                  "is of another disease: Southern stem rot of peanut");
    map_survey("unnamed", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    assert_gives_way(in_folder("unnamed"), in_folder("a"), "names no disease; the survey it is held against is of");
}

static void another_reading(void **state) {
    (void)state;
    map_survey("scores", "b.csv", "field.geojson", sample_scores, MORE("--threshold", "3"));
    map_survey("counts", "a.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    assert_fenced(MORE(in_folder("scores"), in_folder("counts"), "--even-so", "why not"), "has scores, not counts");
    map_survey("notes", "a.csv", "field.geojson", MORE("--value", "note", "--cell", "10"), MORE("--threshold", "3"));
    assert_gives_way(in_folder("notes"), in_folder("scores"), "has readings in another unit: 'note', not 'score'");
}

/* A copy of a built-in profile that is rated the other way. */
static void write_profile(const char *name, const char *rated) {
    FILE *file = fopen(in_folder(name), "w");
    assert_non_null(file);
    fprintf(
        file,
        "{\"name\":\"rot\",\"title\":\"Rot\",\"crop\":\"peanut\",\"cause\":\"Rotula exempli\",\"lives_in\":\"soil\","
        "\"habitat\":{\"text\":\"It stays.\",\"source\":\"no source\"},\"seen\":{\"text\":\"Anywhere.\",\"source\":"
        "\"no source\"},\"unit\":\"percent\",\"value_column\":null,\"hits_column\":null,\"checked_column\":null,"
        "\"rated\":\"%s\",\"laboratory\":false,\"laboratory_why\":{\"text\":\"No.\",\"source\":\"no source\"},"
        "\"limits\":null,\"threshold\":null,\"threshold_why\":{\"text\":\"None.\",\"source\":\"no source\"},"
        "\"too_late_in_season\":null,\"margin\":null,\"look_alikes\":[{\"text\":\"Mold.\",\"source\":\"no "
        "source\"}],\"cautions\":[{\"text\":\"Mind it.\",\"source\":\"no "
        "source\"}]}",
        rated);
    assert_int_equal(fclose(file), 0);
}

static void another_rating(void **state) {
    (void)state;
    write_profile("dug.json", "dug");
    write_profile("seen.json", "above-ground");
    map_survey("dug", "a.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", in_folder("dug.json")));
    map_survey("seen", "b.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--disease", in_folder("seen.json")));
    assert_gives_way(in_folder("dug"), in_folder("seen"), "was rated otherwise: dug, not above-ground");
}

static void what_does_not_live_in_the_soil(void **state) {
    (void)state;
    const char *const rust[] = {"--threshold", "3",    "--disease", "rust-of-peanut", "--even-so", "for the test",
                                "--scale-of",  "none", NULL};
    map_survey("rust-a", "a.csv", "field.geojson", sample_scores, rust);
    map_survey("rust-b", "b.csv", "field.geojson", sample_scores, rust);
    assert_refused(MORE(in_folder("rust-a"), in_folder("rust-b")), "{even-so} REASON goes on all the same");
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(
        judge(&seasons, MORE(in_folder("rust-a"), in_folder("rust-b"), "--even-so", "the agronomist knows"), &err),
        err);
    assert_non_null(strstr(seasons.even_so.items[0], "does not live in the soil: the agronomist knows"));
    foci_seasons_free(&seasons);
}

static void a_threshold_that_every_place_passes(void **state) {
    (void)state;
    map_survey("all", "b.csv", "field.geojson", sample_counts,
               MORE("--threshold", "0", "--disease", "southern-stem-rot-of-peanut"));
    assert_refused(MORE(in_folder("a"), in_folder("all")), "its threshold of 0 % makes every place hot, or none");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(like_seasons_pass),
        cmocka_unit_test(too_few_are_no_comparison),
        cmocka_unit_test(a_history_of_several_fields_needs_a_name),
        cmocka_unit_test(the_same_survey_twice),
        cmocka_unit_test(another_field),
        cmocka_unit_test(another_disease),
        cmocka_unit_test(another_reading),
        cmocka_unit_test(another_rating),
        cmocka_unit_test(what_does_not_live_in_the_soil),
        cmocka_unit_test(a_threshold_that_every_place_passes),
    };
    return cmocka_run_group_tests(tests, begin, sample_end);
}

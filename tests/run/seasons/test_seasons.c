/* Seasons compared: from survey folders to areas, sentences and JSON. */
#include "run/seasons/sample_surveys.h"

#include "data/files/json_file.h"
#include "run/seasons/seasons_work.h"

static foci_seasons both; /* a and b */

static int begin(void **state) {
    foci_error err = {0};
    if (sample_begin(state))
        return -1;
    write_stops("c.csv", &(sample_season){4.6, 4.9, 44, 5, false, false}, 2022);
    write_stops("flat.csv", &(sample_season){0, 0, 0, 4, true, false}, 2025);
    map_survey("a", "a.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("b", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("c", "c.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("flat", "flat.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    write_stops("few.csv", &(sample_season){1.8, 2.1, 46, 4, .few = true}, 2025);
    map_survey("few", "few.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    assert_done(compare(&both, MORE(in_folder("a"), in_folder("b")), &err), err);
    return 0;
}

static int end(void **state) {
    foci_seasons_free(&both);
    foci_seasons_free(&both);
    return sample_end(state);
}

static foci_json *summary_of(const foci_seasons *seasons) {
    foci_error err = {0};
    foci_json *root = NULL;
    char *text = foci_seasons_summary(seasons, &err);
    assert_non_null(text);
    assert_done(foci_json_parse(&root, text, "seasons.json", &err), err);
    free(text);
    return root;
}

static double number_in(const foci_json *array, size_t index) {
    double number = NAN;
    return foci_json_number(foci_json_at(array, index), &number) ? number : NAN;
}

/* ---- what is found ---- */

static void a_pocket_that_is_there_again_came_back(void **state) {
    (void)state;
    const foci_persistence *persistence = &both.persistence;
    assert_int_equal(both.count, 2);
    assert_int_equal(persistence->compared, 2);
    assert_string_equal(persistence->pairs[0].verdict, "came back");
    assert_true(persistence->pairs[0].p <= 0.05);
    double sum = 0;
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        sum += persistence->classes[code].value;
    assert_near(sum, both.rounds[1].field.area_ha, 1e-6);
    assert_true(persistence->pairs[0].both.value > persistence->pairs[0].by_chance.value);
    assert_string_equal(both.rounds[0].season, "2024");
    for (size_t s = 0; s < 2; s++) {
        assert_int_equal(both.rounds[s].grid.cells, both.grid.cells);
        assert_non_null(both.rounds[s].surface.chance);
        assert_true(both.rounds[s].has_pattern);
    }
    assert_near(both.grid.cell, 10, 0);
    assert_true(both.places.count > 0);
    assert_non_null(strstr(both.sentences.items[0],
                           "Hotspots came back in the same places more than chance would give (2024 and 2026: "));
    assert_non_null(strstr(both.sentences.items[0], "chance in "));
    assert_null(strstr(both.sentences.items[0], "P ")); /* words a grower reads; P is in the report */
    assert_true(says(&both.sentences, "were hot in both seasons; by chance "));
    assert_true(says(&both.sentences, "were hot in 2026 only (new)"));
}

static void cautions_are_always_there(void **state) {
    (void)state;
    static const char *const wanted[] = {"two seasons only",  "Cannot tell is not no", "A wet corner comes back too",
                                         "Mind the rotation", "The label is the law",  "not a recommendation",
                                         "dig and look"};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        assert_true(says(&both.cautions, wanted[i]));
}

/* The seasons' words have no word for absence. */
static void elsewhere_cannot_be_told_from_chance(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("c"), in_folder("b")), &err), err);
    assert_string_equal(seasons.persistence.pairs[0].verdict, "cannot tell");
    assert_non_null(strstr(seasons.sentences.items[0], "cannot be told from chance (2022 and 2026: about "));
    assert_non_null(strstr(seasons.sentences.items[0], " chances in 100)"));
    assert_true(says(&seasons.sentences, "Scout the same stops again next season"));
    assert_false(says(&seasons.sentences, "no persistence"));
    foci_seasons_free(&seasons);
}

static void three_seasons_are_counted(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("c"), in_folder("a"), in_folder("b")), &err), err);
    assert_int_equal(seasons.persistence.pair_count, 3);
    assert_non_null(strstr(seasons.sentences.items[0], "(2024 and 2026: "));
    assert_true(says(&seasons.sentences, "Of 3 pairs of seasons 1 came back, 2 cannot be told from chance."));
    assert_true(says(&seasons.sentences, "were hot in all 3 seasons that were compared"));
    assert_false(says(&seasons.cautions, "two seasons only"));
    foci_seasons_free(&seasons);
}

/* A season without a pattern of its own is compared like any other: P alone speaks. */
static void a_season_without_pattern_is_compared(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("flat")), &err), err);
    const foci_season_pair *pair = &seasons.persistence.pairs[0];
    assert_int_not_equal(seasons.rounds[1].pattern.verdict, FOCI_VERDICT_PATCHY);
    assert_true(pair->p > 0.05 && pair->p <= 1);
    assert_string_not_equal(pair->verdict, "no comparison");
    assert_string_not_equal(pair->verdict, "came back");
    foci_seasons_free(&seasons);
}

static void a_season_of_few_stops_is_not_compared(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("few")), &err), err);
    assert_string_equal(seasons.persistence.pairs[0].verdict, "no comparison");
    assert_null(seasons.persistence.class_code);
    assert_string_equal(seasons.sentences.items[0],
                        "No comparison of 2024 and 2025, because of 2025: it has too few stops.");
    foci_json *root = summary_of(&seasons);
    const foci_json *pair = foci_json_at(foci_json_get(root, "pairs"), 0);
    static const char *const undefined[] = {"both_ha",   "jaccard",     "kappa",
                                            "overlap_p", "persistence", "overlap_by_chance_ha"};
    for (size_t i = 0; i < sizeof undefined / sizeof *undefined; i++)
        assert_true(foci_json_is_null(foci_json_get(pair, undefined[i])));
    assert_string_equal(foci_json_text(foci_json_get(pair, "why_not")), "it has too few stops");
    const foci_json *classes = foci_json_get(root, "classes");
    assert_true(foci_json_is_null(foci_json_get(foci_json_get(classes, "always"), "area_ha")));
    assert_true(foci_json_is_null(foci_json_get(classes, "unsure_map_ha")));
    assert_int_equal(foci_json_size(foci_json_get(root, "hotspots")), 0);
    foci_json_free(root);
    /* the outputs are there all the same */
    foci_unfinished_remove(in_folder("none"));
    assert_done(foci_seasons_write(&seasons, in_folder("none"), false, &err), err);
    assert_int_equal(access(in_folder("none/seasons.json"), R_OK), 0);
    assert_int_equal(access(in_folder("none/persistence.png"), R_OK), 0);
    assert_int_not_equal(access(in_folder("none/classes.tif"), R_OK), 0);
    foci_seasons_free(&seasons);
}

/* With a third the others are still compared. */
static void the_others_are_compared(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("few"), in_folder("b")), &err), err);
    assert_int_equal(seasons.persistence.compared, 2);
    assert_non_null(strstr(seasons.sentences.items[0], "(2024 and 2026: "));
    assert_true(says(&seasons.sentences, "No comparison of 2025 and 2026, because of 2025: it has too few stops"));
    assert_true(says(&seasons.sentences, "Of 3 pairs of seasons 1 came back, 2 cannot be compared."));
    assert_true(says(&seasons.sentences, "in 2024 only (gone)"));
    foci_seasons_free(&seasons);
}

static void scores_are_compared_too(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    map_survey("scores-a", "a.csv", "field.geojson", sample_scores, MORE("--threshold", "3", "--scale", "auto"));
    map_survey("scores-b", "b.csv", "field.geojson", sample_scores, MORE("--threshold", "3", "--scale", "auto"));
    assert_done(compare(&seasons, MORE(in_folder("scores-a"), in_folder("scores-b")), &err), err);
    const foci_season_pair *pair = &seasons.persistence.pairs[0];
    assert_string_equal(pair->verdict, "came back");
    assert_true(pair->correlation > 0.5 && pair->effective > 3);
    assert_true(isnan(pair->ratio));
    assert_string_equal(seasons.rounds[0].method.method->name, "kriging");
    foci_seasons_free(&seasons);
}

/* ---- seasons.json ---- */

static void every_key_of_the_contract_is_there(void **state) {
    (void)state;
    static const char *const keys[] = {"program", "made",     "field",     "method",   "seasons", "classes",
                                       "pairs",   "hotspots", "sentences", "cautions", "warnings"};
    static const char *const of_season[] = {"season", "survey", "threshold", "hot_ha", "stops"};
    static const char *const of_pair[] = {
        "first", "second", "both_ha",     "only_first_ha", "only_second_ha", "neither_ha",          "jaccard",
        "dice",  "kappa",  "persistence", "overlap_p",     "verdict",        "overlap_by_chance_ha"};
    static const char *const of_hotspot[] = {"id", "area_ha", "seasons", "chance", "centre"};
    static const char *const of_classes[] = {"always", "often", "new", "gone", "never", "unsure_map_ha"};
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("b"), "--title", "Our corner"), &err), err);
    foci_json *root = summary_of(&seasons);
#define ALL_THERE(object, names)                                                                                       \
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)                                                          \
    assert_non_null(foci_json_get(object, names[i]))
    ALL_THERE(root, keys);
    ALL_THERE(foci_json_at(foci_json_get(root, "seasons"), 1), of_season);
    ALL_THERE(foci_json_at(foci_json_get(root, "pairs"), 0), of_pair);
    ALL_THERE(foci_json_at(foci_json_get(root, "hotspots"), 0), of_hotspot);
    ALL_THERE(foci_json_get(root, "classes"), of_classes);
    const foci_json *overlap = foci_json_get(foci_json_at(foci_json_get(root, "pairs"), 0), "both_ha");
    assert_near(number_in(overlap, 0), seasons.persistence.pairs[0].both.value, 0);
    assert_near(number_in(overlap, 1), seasons.persistence.pairs[0].both.low, 0);
    assert_near(number_in(overlap, 2), seasons.persistence.pairs[0].both.high, 0);
    const foci_json *always = foci_json_get(foci_json_get(foci_json_get(root, "classes"), "always"), "area_ha");
    assert_near(number_in(always, 0), seasons.persistence.classes[FOCI_CLASS_ALWAYS].value, 0);
    assert_string_equal(foci_json_text(foci_json_get(root, "title")), "Our corner");
    const foci_json *hotspot = foci_json_at(foci_json_get(root, "hotspots"), 0);
    assert_string_equal(foci_json_text(foci_json_get(hotspot, "class")), "always");
    assert_int_equal(foci_json_size(foci_json_get(hotspot, "seasons")), 2);
    foci_json_free(root);
    foci_seasons_free(&seasons);
}

/* Which comes first changes no overlap. */
static void the_order_changes_no_overlap(void **state) {
    (void)state;
    static const char *const same[] = {"both_ha", "neither_ha", "overlap_by_chance_ha"};
    static const char *const numbers[] = {"jaccard", "dice", "kappa", "persistence", "overlap_p"};
    foci_seasons other = {0};
    foci_error err = {0};
    assert_done(compare(&other, MORE(in_folder("b"), in_folder("a")), &err), err);
    foci_json *root = summary_of(&both), *turned = summary_of(&other);
    const foci_json *pair = foci_json_at(foci_json_get(root, "pairs"), 0);
    const foci_json *back = foci_json_at(foci_json_get(turned, "pairs"), 0);
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        for (size_t j = 0; j < 3; j++)
            assert_near(number_in(foci_json_get(pair, same[i]), j), number_in(foci_json_get(back, same[i]), j), 0);
    for (size_t j = 0; j < 3; j++)
        assert_near(number_in(foci_json_get(pair, "only_first_ha"), j),
                    number_in(foci_json_get(back, "only_second_ha"), j), 0);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        double first = NAN, second = NAN;
        assert_true(foci_json_number(foci_json_get(pair, numbers[i]), &first));
        assert_true(foci_json_number(foci_json_get(back, numbers[i]), &second));
        assert_near(first, second, 0);
    }
    foci_json_free(root);
    foci_json_free(turned);
    assert_true(says(&other.warnings, "2026 is dated 2026-08-10, after 2024 (2024-08-10)"));
    assert_false(says(&both.warnings, "is dated"));
    foci_seasons_free(&other);
}

/* ---- what should be known ---- */

static void unlike_thresholds_are_warned_of(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    map_survey("b15", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "15"));
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("b15")), &err), err);
    assert_true(says(&seasons.warnings, "thresholds differ; each season is held against its own"));
    assert_near(seasons.rounds[0].threshold, 12, 0);
    assert_near(seasons.rounds[1].threshold, 15, 0);
    foci_seasons_free(&seasons);
}

static void rounds_of_one_season_are_warned_of(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    map_survey("b24", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12", "--season", "2024"));
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("b24")), &err), err);
    assert_true(says(&seasons.warnings, "are both labeled 2024"));
    assert_string_equal(foci_seasons_label(&seasons, 1), "b24");
    foci_seasons_free(&seasons);
}

/* A map that an earlier season helped to make would hold the seasons against themselves. */
static void an_earlier_season_is_left_out_of_a_map(void **state) {
    (void)state;
    foci_seasons seasons = {0};
    foci_error err = {0};
    map_survey("helped", "b.csv", "field.geojson", sample_counts,
               MORE("--threshold", "12", "--earlier", in_folder("a")));
    assert_done(compare(&seasons, MORE(in_folder("a"), in_folder("helped")), &err), err);
    assert_true(says(&seasons.warnings, "was mapped with the help of an earlier season"));
    for (size_t i = 0; i < seasons.grid.columns * seasons.grid.rows; i++)
        assert_near(seasons.rounds[1].surface.chance[i], both.rounds[1].surface.chance[i], 0);
    foci_seasons_free(&seasons);
}

static double heading_of(const char *first, const char *second, bool *warned) {
    foci_error err = {0};
    foci_seasons seasons = {0};
    foci_seasons_work *work = calloc(1, sizeof *work);
    if (first)
        map_survey("rows-a", "a.csv", "field.geojson", sample_counts,
                   MORE("--threshold", "12", "--row-heading", first));
    else
        map_survey("rows-a", "a.csv", "field.geojson", sample_counts, MORE("--threshold", "12"));
    map_survey("rows-b", "b.csv", "field.geojson", sample_counts, MORE("--threshold", "12", "--row-heading", second));
    foci_settings settings = seasons_settings(MORE(in_folder("rows-a"), in_folder("rows-b")));
    work->settings = &settings;
    assert_done(foci_seasons_work_read(work, &err), err);
    assert_done(foci_seasons_work_estimate(&seasons, work, NULL, &err), err);
    *warned = says(&seasons.warnings, "no direction is assumed");
    double heading = work->row_heading;
    foci_seasons_work_free(work);
    free(work);
    foci_settings_free(&settings);
    foci_seasons_free(&seasons);
    return heading;
}

/* At this place grid north of zone 16 lies 1.306 degrees east of true north (from the series of the transverse
 * Mercator: the longitude's distance from 87 W times the sine of the latitude, 2.5 x sin 31.502, to a hundredth). */
static void rows_are_common_where_they_agree(void **state) {
    (void)state;
    bool warned = false;
    assert_near(heading_of("176", "2", &warned), 179 - 1.306, 0.01);
    assert_false(warned);
    assert_near(heading_of(NULL, "21.5", &warned), 21.5 - 1.306, 0.01);
    assert_false(warned);
    assert_true(isnan(heading_of("20", "31", &warned)));
    assert_true(warned);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pocket_that_is_there_again_came_back),
        cmocka_unit_test(cautions_are_always_there),
        cmocka_unit_test(elsewhere_cannot_be_told_from_chance),
        cmocka_unit_test(three_seasons_are_counted),
        cmocka_unit_test(a_season_without_pattern_is_compared),
        cmocka_unit_test(a_season_of_few_stops_is_not_compared),
        cmocka_unit_test(the_others_are_compared),
        cmocka_unit_test(scores_are_compared_too),
        cmocka_unit_test(every_key_of_the_contract_is_there),
        cmocka_unit_test(the_order_changes_no_overlap),
        cmocka_unit_test(unlike_thresholds_are_warned_of),
        cmocka_unit_test(rounds_of_one_season_are_warned_of),
        cmocka_unit_test(an_earlier_season_is_left_out_of_a_map),
        cmocka_unit_test(rows_are_common_where_they_agree),
    };
    return cmocka_run_group_tests(tests, begin, end);
}

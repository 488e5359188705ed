/* The sentences of the sheet, on a field of four cells whose answers are worked out by hand. */
#include "show/map_words.h"

#include "support/support.h"

static void areas_are_in_acres_first(void **state) {
    (void)state;
    char text[FOCI_WORDS_SIZE], acres[FOCI_WORDS_SIZE], metric[FOCI_WORDS_SIZE];
    /* 1 ha = 10000 / 4046.8564224 = 2.47105 acres (the international foot of 1959) */
    const struct {
        double hectares;
        const char *text, *acres, *metric;
    } cases[] = {
        {1.2545, "3.1 acres (1.3 ha)", "3.1", "1.3"},  {16.18742569, "40.0 acres (16.2 ha)", "40.0", "16.2"},
        {0.11, "0.3 acres (0.11 ha)", "0.3", "0.11"},  {0.0123, "under 0.1 acre (0.01 ha)", "< 0.1", "0.01"},
        {0, "under 0.1 acre (0.00 ha)", "0.0", "0.0"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_area(text, cases[i].hectares);
        assert_string_equal(text, cases[i].text);
        foci_words_area_columns(acres, metric, cases[i].hectares);
        assert_string_equal(acres, cases[i].acres);
        assert_string_equal(metric, cases[i].metric);
    }
}

/* Two by two cells; nothing here is owned by the round. */
typedef struct {
    foci_round round;
    double share[4], estimate[4], chance[4];
    int label[4];
    foci_hotspot spots[2];
    foci_stop stops[3];
    foci_sentences none;
} small_round;

static char percent[] = "percent of plants infected", hits[] = "hits per 100 ft", title[] = "Southern stem rot",
            cause[] = "Agroathelia rolfsii", name[] = "Home field", season[] = "2025", first[] = "2025-08-30",
            last[] = "2025-09-02", rated[] = "dug", reason[] = "The clinic confirmed it.", empty[] = "";
static const foci_surface_method kriging = {
    .name = "kriging", .title = "ordinary kriging", .needs_variogram = true, .gives_variance = true};
static const foci_surface_method distance = {.name = "idw", .title = "inverse distance"};

static int make_round(void **state) {
    static small_round small;
    small = (small_round){.share = {1, 1, 0.5, 0},
                          .estimate = {30, 12, 16, NAN},
                          .chance = {0.93, 0.4, 0.47, NAN},
                          .label = {1, 0, 0, 0},
                          .spots = {{.id = 1, .area_ha = 1.2545}, {.id = 2, .area_ha = 0.4}}};
    foci_round *round = &small.round;
    round->grid = (foci_grid){.columns = 2, .rows = 2, .cell = 20, .share = small.share};
    round->surface.estimate = small.estimate;
    round->surface.chance = small.chance;
    round->surface.mean = 20;
    round->surface.max = 30;
    round->hotspots.items = small.spots;
    round->hotspots.label = small.label;
    round->hotspots.count = 1;
    round->has_zones = true;
    round->stops.unit = percent;
    round->spread = (foci_spread){.max = 55, .zeros = 9};
    round->readings.count = 23;
    round->threshold = round->hotspots_options.threshold = 12.5;
    round->hotspots_options.treat_chance = 0.5;
    round->method.method = &kriging;
    round->season = round->first_date = round->last_date = round->rated = empty;
    *state = round;
    return 0;
}

static void assert_words(char *(*make)(const foci_round *, foci_error *), const foci_round *round, const char *wanted) {
    foci_error err = {0};
    char *words = make(round, &err);
    assert_non_null(words);
    assert_string_equal(words, wanted);
    free(words);
}

static void without_pattern_the_average_is_told(void **state) {
    foci_round *round = *state;
    round->pattern.verdict = FOCI_VERDICT_NO_PATTERN;
    round->pattern.field = (foci_field_mean){.mean = 8.25, .low = 6.1, .high = 10.4};
    assert_words(foci_words_finding, round, "No pattern found: use the field's average, 8.25 % (6.1 % to 10.4 %)");
}

static void the_finding_says_how_much_lies_inside(void **state) {
    foci_round *round = *state;
    /* 30 of 30 + 12 + 0.5 x 16 = 60 % inside */
    assert_words(foci_words_finding, round, "One hotspot, 3.1 acres (1.3 ha), holds most of the disease");
    round->hotspots.count = 2;
    round->has_profile = true;
    round->profile.title = title;
    assert_words(foci_words_finding, round, "Two hotspots, 4.1 acres (1.7 ha), hold most of the Southern stem rot");
    round->surface.estimate[0] = 5; /* 5 of 25 */
    assert_words(foci_words_finding, round,
                 "Two hotspots, 4.1 acres (1.7 ha), hold about 20 % of the Southern stem rot");
    round->readings.none = 1; /* on a scale that begins at 1 nobody found a 1: 4 of 4 + 11 + 0.5 x 15 */
    assert_words(foci_words_finding, round,
                 "Two hotspots, 4.1 acres (1.7 ha), hold about 18 % of the Southern stem rot");
    round->readings.none = 0;
    round->hotspots.label[1] = round->hotspots.label[2] = 2;
    assert_words(foci_words_finding, round, "Two hotspots, 4.1 acres (1.7 ha), hold all of the Southern stem rot");
}

static void no_hotspot_says_why(void **state) {
    foci_round *round = *state;
    round->hotspots.count = 0;
    round->surface.chance[0] = 0.49;
    assert_words(foci_words_finding, round, "No hotspot: nowhere is the chance of passing 12.5 % at least 50 %");
    round->surface.chance[0] = 0.5; /* reached, but the patch was too small to keep */
    round->hotspots_options.least_area_ha = 0.2;
    assert_words(foci_words_finding, round, "No hotspot: no patch above 12.5 % is as large as 0.5 acres (0.20 ha)");
    round->surface.chance = NULL;
    round->stops.unit = hits;
    round->surface.max = 12.4;
    assert_words(foci_words_finding, round, "No hotspot: nowhere does severity reach the threshold of 12.5");
    round->spread.max = 0;
    assert_words(foci_words_finding, round, "No disease found at 23 stops");
}

static void without_zones_the_average_counts(void **state) {
    foci_round *round = *state;
    round->has_zones = false;
    assert_words(foci_words_finding, round, "Disease averages 20 % over the field: no hotspots are drawn");
    round->stops.unit = hits;
    assert_words(foci_words_finding, round,
                 "Disease averages 20 hits per 100 ft over the field: no hotspots are drawn");
}

static void facts_name_field_disease_dates_and_stops(void **state) {
    foci_round *round = *state;
    foci_stop stops[] = {{.used = true, .pooled_into = FOCI_NOT_POOLED},
                         {.used = false, .pooled_into = FOCI_NOT_POOLED},
                         {.used = false, .pooled_into = 0}};
    round->field.area_ha = 16.18742569;
    assert_words(foci_words_facts, round,
                 "The field, 40.0 acres (16.2 ha)  \u00B7  23\u00A0stops used, none found at 9\u00A0of\u00A0them");
    round->field.name = name;
    round->has_profile = true;
    round->profile.title = title;
    round->profile.cause = cause;
    round->rated = rated;
    round->season = season;
    round->first_date = first;
    round->last_date = last;
    round->stops.items = stops;
    round->stops.count = 3;
    assert_words(
        foci_words_facts, round,
        "Home field, 40.0 acres (16.2 ha)  \u00B7  Southern stem rot (Agroathelia rolfsii), rated dug  \u00B7  "
        "scouted\u00A030\u00A0August\u00A02025 to 2\u00A0September\u00A02025  \u00B7  23\u00A0stops used, none "
        "found at 9\u00A0of\u00A0them, 1\u00A0left\u00A0out");
    round->first_date = last;
    round->season = title;
    char *words = foci_words_facts(round, &(foci_error){0});
    assert_non_null(strstr(words, "scouted\u00A02\u00A0September\u00A02025  \u00B7  season Southern stem rot  "));
    free(words);
}

/* A name from right to left is set apart; area, dates and counts stand after it in their order. */
static void names_from_right_to_left_are_set_apart(void **state) {
    foci_round *round = *state;
    static char hebrew[] = "\u05E9\u05D3\u05D4 12";
    round->field.area_ha = 16.18742569;
    round->field.name = hebrew;
    assert_words(foci_words_place, round, "\u2068\u05E9\u05D3\u05D4 12\u2069, 40.0 acres (16.2 ha)");
    assert_words(foci_words_when, round, "23\u00A0stops used, none found at 9\u00A0of\u00A0them");
}

static void the_method_is_told_in_words(void **state) {
    foci_round *round = *state;
    round->spacing = 33.37;
    snprintf(round->made, sizeof round->made, "2025-09-03T06:30:00Z");
    round->model.facts.variogram = (foci_variogram){
        .kind = foci_variogram_kind_find("spherical"), .nugget = 6, .partial_sill = 71, .range = 83, .ratio = 1};
    /* the spherical model reaches its sill at its range; 1 m = 3.2808 ft */
    assert_words(
        foci_words_made, round,
        "How made: ordinary kriging of 23 stops, about 33 m (110 ft) apart, in cells of 20 m (66 ft). Stops up "
        "to about 83 m (270 ft) from each other are alike (spherical model). Made 2025-09-03 by "
        "fieldfoci " FOCI_VERSION ".");
    round->surface.over = 0.25;
    round->field.area_ha = 16;
    round->has_cross_check = true;
    round->cross_check.rmse = 4.13;
    round->cross_check.coverage_90 = 0.883;
    round->model.facts.variogram.partial_sill = 0;
    round->spacing = NAN;
    assert_words(
        foci_words_made, round,
        "How made: ordinary kriging of 23 stops, in cells of 20 m (66 ft). Neighboring stops are no more alike "
        "than distant ones (spherical model). With the chance counted everywhere, not only in the hotspots, "
        "9.9 acres (4.0 ha) are expected to pass the threshold. Stops guessed from the others are missed by 4.1 % as a "
        "rule. "
        "Left-out stops fell inside their 90 % bounds 88 times in 100. Made 2025-09-03 by fieldfoci " FOCI_VERSION ".");
    round->surface.over = 0;
    round->has_cross_check = false;
    round->method.method = &distance;
    round->model.facts.variogram.kind = NULL;
    assert_words(foci_words_made, round,
                 "How made: inverse distance of 23 stops, in cells of 20 m (66 ft). Made 2025-09-03 by "
                 "fieldfoci " FOCI_VERSION ".");
}

static void what_is_missing_is_told(void **state) {
    foci_round *round = *state;
    char *reasons[] = {reason};
    assert_words(foci_words_even_so, round, "");
    round->even_so = (foci_sentences){1, reasons};
    assert_words(foci_words_even_so, round, "Drawn even so, for a stated reason: The clinic confirmed it.");
    round->method.method = &distance;
    assert_words(
        foci_words_no_chance, round,
        "Inverse distance does not tell how sure it is, so there is no chance to show. Hotspots are the places "
        "where the estimate itself is at or above the threshold.");
    round->threshold = NAN;
    assert_words(foci_words_no_chance, round, "No threshold was stated, so there is no chance to show.");
    assert_words(foci_words_caution, round,
                 "An estimate from 23 stops, not a diagnosis and not a recommendation. Dig and look before anyone "
                 "treats. The label is the law: follow it, local rules and licensed applicators.");
}

static const foci_round *attempted;

static bool attempt(foci_error *err) {
    char *(*const makers[])(const foci_round *, foci_error *) = {foci_words_finding,   foci_words_facts,
                                                                 foci_words_made,      foci_words_even_so,
                                                                 foci_words_no_chance, foci_words_caution};
    for (size_t i = 0; i < sizeof makers / sizeof *makers; i++) {
        char *words = makers[i](attempted, err);
        if (!words)
            return false;
        free(words);
    }
    return true;
}

static void every_allocation_may_fail(void **state) {
    attempted = *state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(areas_are_in_acres_first),
        cmocka_unit_test_setup(without_pattern_the_average_is_told, make_round),
        cmocka_unit_test_setup(the_finding_says_how_much_lies_inside, make_round),
        cmocka_unit_test_setup(no_hotspot_says_why, make_round),
        cmocka_unit_test_setup(without_zones_the_average_counts, make_round),
        cmocka_unit_test_setup(facts_name_field_disease_dates_and_stops, make_round),
        cmocka_unit_test_setup(names_from_right_to_left_are_set_apart, make_round),
        cmocka_unit_test_setup(the_method_is_told_in_words, make_round),
        cmocka_unit_test_setup(what_is_missing_is_told, make_round),
        cmocka_unit_test_setup(every_allocation_may_fail, make_round),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

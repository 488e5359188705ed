/* The sentences of the sheet, on a field of four cells whose answers are worked out by hand. */
#include "decide/words/survey_words.h"

#include "support/support.h"

static void areas_stand_in_two_columns(void **state) {
    (void)state;
    char first[FOCI_WORDS_SIZE], second[FOCI_WORDS_SIZE];
    static const struct {
        double hectares;
        const char *acres, *metric;
    } cases[] = {{1.2545, "3.1", "1.3"}, {0.11, "0.3", "0.11"}, {0.0123, "< 0.1", "0.01"}, {0, "0.0", "0.0"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_area_columns(first, second, cases[i].hectares, FOCI_ACRES);
        assert_string_equal(first, cases[i].acres);
        assert_string_equal(second, cases[i].metric);
        foci_words_area_columns(first, second, cases[i].hectares, FOCI_HECTARES);
        assert_string_equal(first, cases[i].metric);
        assert_string_equal(second, cases[i].acres);
    }
}

/* Two by two cells; nothing here is owned by the round. */
typedef struct {
    foci_survey round;
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
    foci_survey *round = &small.round;
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
    round->readings.spread = (foci_reading_range){.max = 55, .zeros = 9};
    round->readings.count = 23;
    round->threshold = round->hotspots_options.threshold = 12.5;
    round->hotspots_options.treat_chance = 0.5;
    round->method.method = &kriging;
    round->season = round->first_date = round->last_date = round->rated = empty;
    *state = round;
    return 0;
}

static void assert_words(char *(*make)(const foci_survey *, foci_error *), const foci_survey *round,
                         const char *wanted) {
    foci_error err = {0};
    char *words = make(round, &err);
    assert_non_null(words);
    assert_string_equal(words, wanted);
    free(words);
}

static void without_pattern_the_average_is_told(void **state) {
    foci_survey *round = *state;
    round->pattern.verdict = FOCI_VERDICT_NO_PATTERN;
    round->pattern.field = (foci_field_mean){.mean = {8.25, 6.1, 10.4}};
    assert_words(foci_words_finding, round, "No pattern found: use the field's average, 8.25 % (6.1 % to 10.4 %)");
}

static void the_finding_says_how_much_lies_inside(void **state) {
    foci_survey *round = *state;
    /* 30 of 30 + 12 + 0.5 x 16 = 60 % inside, on 1 of 2.5 cells */
    assert_words(foci_words_finding, round, "One hotspot, 3.1 acres (1.3 ha), holds about 60 % of the disease");
    round->hotspots.count = 2;
    round->has_profile = true;
    round->profile.title = title;
    round->profile.cause = cause;
    assert_words(foci_words_finding, round,
                 "Two hotspots, 4.1 acres (1.7 ha), hold about 60 % of the southern stem rot");
    round->hotspots_options.treat_chance = 0.3; /* likelier cold than hot: what they hold is not known */
    assert_words(foci_words_finding, round, "Two hotspots of southern stem rot, 4.1 acres (1.7 ha)");
    round->hotspots_options.treat_chance = 0.5;
    round->surface.estimate[0] = 5; /* 5 of 25 = 20 %, on 40 % of the ground */
    assert_words(foci_words_finding, round, "Two hotspots of southern stem rot, 4.1 acres (1.7 ha)");
    round->surface.estimate[0] = 30;
    round->readings.none = 1; /* on a scale that begins at 1 nobody found a 1: 29 of 29 + 11 + 0.5 x 15 */
    assert_words(foci_words_finding, round,
                 "Two hotspots, 4.1 acres (1.7 ha), hold about 61 % of the southern stem rot");
    round->readings.none = 0;
    round->surface.estimate[1] = round->surface.estimate[2] = 0;
    assert_words(foci_words_finding, round,
                 "Two hotspots, 4.1 acres (1.7 ha), hold more than 99 % of the southern stem rot");
    round->surface.chance = NULL;
    round->paper = foci_paper_find("a4");
    assert_words(foci_words_finding, round, "Two hotspots of southern stem rot, 1.7 ha (4.1 acres)");
}

static void a_title_inside_a_sentence_is_small_but_for_names(void **state) {
    (void)state;
    static struct {
        char title[40], cause[60];
        const char *wanted;
    } cases[] = {
        {"Pod rot of peanut", "Pythium, Rhizoctonia and Fusarium species", "pod rot of peanut"},
        {"Sclerotinia stem rot of soybean", "Sclerotinia sclerotiorum", "Sclerotinia stem rot of soybean"},
        {"Rust of peanut", "Puccinia arachidis", "rust of peanut"},
        {"CBR of peanut", "Calonectria ilicicola", "CBR of peanut"},
        {"", "Fungus fungus", "disease"},
    };
    char text[FOCI_WORDS_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        foci_words_disease(text, &(foci_profile){.title = cases[i].title, .cause = cases[i].cause});
        assert_string_equal(text, cases[i].wanted);
    }
}

static void a_zone_says_what_can_be_done(void **state) {
    foci_survey *round = *state;
    assert_string_equal(foci_words_zone(round, FOCI_ZONE_TREAT), "Treat");
    round->has_profile = true;
    assert_string_equal(foci_words_zone(round, FOCI_ZONE_TREAT), "Treat");
    round->profile.too_late_in_season = true;
    assert_string_equal(foci_words_zone(round, FOCI_ZONE_TREAT), "Plan for next season");
    assert_string_equal(foci_words_zone(round, FOCI_ZONE_DIG), "Dig and look first");
    assert_string_equal(foci_words_zone(round, FOCI_ZONE_LEAVE), "Leave");
}

static void counts_are_incidence(void **state) {
    foci_survey *round = *state;
    assert_string_equal(foci_words_measured(round), "Severity");
    round->stops.kind = FOCI_READING_COUNT;
    assert_string_equal(foci_words_measured(round), "Incidence");
    round->hotspots.count = 0;
    round->surface.chance = NULL;
    round->surface.max = 12.4;
    assert_words(foci_words_finding, round, "No hotspot: nowhere does incidence reach 12.5 %");
}

/* 1 ha = 2.47105 acres: 49.42 a hectare are 20 an acre */
static void money_is_told_per_acre(void **state) {
    foci_survey *round = *state;
    assert_words(foci_words_economics, round, "");
    round->has_economics = true;
    round->economics_options = (foci_economics_options){.cost = 49.421076293433075, .loss = 123.55269073358268};
    round->economics.zones.net_share = 24.710538146716534;
    round->economics.whole.net_share = -24.710538146716534;
    assert_words(foci_words_economics, round,
                 "Expected net per acre of the field: treating the zones 10.00, the whole field -10.00, nothing 0. It "
                 "assumes that treating costs 20 per acre and avoids a loss of 50 per acre where the threshold is "
                 "passed, and none elsewhere.");
    round->paper = foci_paper_find("a4");
    assert_words(
        foci_words_economics, round,
        "Expected net per hectare of the field: treating the zones 24.71, the whole field -24.71, nothing 0. It "
        "assumes that treating costs 49.42 per hectare and avoids a loss of 123.6 per hectare where the "
        "threshold is passed, and none elsewhere.");
}

static void no_hotspot_says_why(void **state) {
    foci_survey *round = *state;
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
    round->readings.spread.max = 0;
    assert_words(foci_words_finding, round, "No disease found at 23 stops");
}

static void without_zones_the_average_counts(void **state) {
    foci_survey *round = *state;
    round->has_zones = false;
    assert_words(foci_words_finding, round, "Disease averages 20 % over the field: no hotspots are drawn");
    round->stops.unit = hits;
    assert_words(foci_words_finding, round,
                 "Disease averages 20 hits per 100 ft over the field: no hotspots are drawn");
}

static void facts_name_field_disease_dates_and_stops(void **state) {
    foci_survey *round = *state;
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
        "scouted\u00A0August\u00A030\u00A0to\u00A0September\u00A02,\u00A02025  \u00B7  23\u00A0stops used, none "
        "found at 9\u00A0of\u00A0them, 1\u00A0left\u00A0out");
    round->first_date = last;
    round->season = title;
    char *words = foci_words_facts(round, &(foci_error){0});
    assert_non_null(strstr(words, "scouted\u00A0September\u00A02,\u00A02025  \u00B7  season Southern stem rot  "));
    free(words);
}

/* A name from right to left is set apart; area, dates and counts stand after it in their order. */
static void names_from_right_to_left_are_set_apart(void **state) {
    foci_survey *round = *state;
    static char hebrew[] = "\u05E9\u05D3\u05D4 12";
    round->field.area_ha = 16.18742569;
    round->field.name = hebrew;
    assert_words(foci_words_place, round, "\u2068\u05E9\u05D3\u05D4 12\u2069, 40.0 acres (16.2 ha)");
    assert_words(foci_words_when, round, "23\u00A0stops used, none found at 9\u00A0of\u00A0them");
}

#define MADE "How made: each place is worked out from the stops around it, near ones count most"

static void the_method_is_told_in_words(void **state) {
    foci_survey *round = *state;
    round->readings.spacing = 33.37;
    snprintf(round->made, sizeof round->made, "2025-09-03T06:30:00Z");
    round->model.facts.variogram = (foci_variogram){
        .kind = foci_correlation_find("spherical"), .nugget = 6, .partial_sill = 71, .range = 83, .ratio = 1};
    /* the spherical model reaches its sill at its range; 1 m = 3.2808 ft */
    assert_words(foci_words_made, round,
                 MADE
                 "; 23 stops, about 110 ft (33 m) apart. Likeness fades out by about 270 ft (83 m). Made September "
                 "3, 2025, by fieldfoci " FOCI_VERSION ".");
    round->model.facts.variogram.ratio = 0.5; /* 41.5 m across = 136 ft */
    round->row_heading = 6;
    assert_words(foci_words_made, round,
                 MADE
                 "; 23 stops, about 110 ft (33 m) apart. Likeness fades out by about 270 ft (83 m) along the rows, "
                 "140 ft (42 m) across. Made September 3, 2025, by fieldfoci " FOCI_VERSION ".");
    round->surface.over = 0.25;
    round->field.area_ha = 16;
    round->has_cross_validation = true;
    round->cross_validation.rmse = 4.13;
    round->cross_validation.coverage_90 = 0.883;
    round->model.facts.variogram.partial_sill = 0;
    round->readings.spacing = NAN;
    assert_words(
        foci_words_made, round,
        MADE
        "; 23 stops. Stops near each other are no more alike than stops far apart. With the chance counted everywhere, "
        "not only in the hotspots, 9.9 acres (4.0 ha) are expected to pass the threshold. Guessed from the other "
        "stops, a stop is missed by about 4.1 percentage points as a rule, and falls inside its 9-in-10 "
        "range 88 times in 100. Made September 3, 2025, by fieldfoci " FOCI_VERSION ".");
    round->surface.over = 0;
    round->has_cross_validation = false;
    round->method.method = &distance;
    round->model.facts.variogram.kind = NULL;
    assert_words(foci_words_made, round, MADE "; 23 stops. Made September 3, 2025, by fieldfoci " FOCI_VERSION ".");
}

static void what_is_missing_is_told(void **state) {
    foci_survey *round = *state;
    char *reasons[] = {reason};
    assert_words(foci_words_even_so, round, "");
    round->even_so = (foci_sentences){1, reasons};
    assert_words(foci_words_even_so, round, "Drawn even so, for a stated reason: The clinic confirmed it.");
    round->method.method = &distance;
    assert_words(
        foci_words_no_chance, round,
        "This way of estimating does not tell how sure it is, so there is no chance to show. Hotspots are the places "
        "where the estimate itself is at or above the threshold.");
    round->threshold = NAN;
    assert_words(foci_words_no_chance, round, "No threshold was stated, so there is no chance to show.");
    assert_words(foci_words_caution, round,
                 "An estimate from 23 stops, not a diagnosis and not a recommendation. Dig and look before anyone "
                 "treats. The label is the law: follow it, local rules and licensed applicators.");
}

static const foci_survey *attempted;

static bool attempt(foci_error *err) {
    char *(*const makers[])(const foci_survey *, foci_error *) = {foci_words_finding,   foci_words_facts,
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
        cmocka_unit_test(areas_stand_in_two_columns),
        cmocka_unit_test_setup(without_pattern_the_average_is_told, make_round),
        cmocka_unit_test_setup(the_finding_says_how_much_lies_inside, make_round),
        cmocka_unit_test(a_title_inside_a_sentence_is_small_but_for_names),
        cmocka_unit_test_setup(a_zone_says_what_can_be_done, make_round),
        cmocka_unit_test_setup(counts_are_incidence, make_round),
        cmocka_unit_test_setup(money_is_told_per_acre, make_round),
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

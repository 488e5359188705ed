/* What is said of a comparison. */
#include "decide/words/seasons_words.h"

#include "support/support.h"

#include "show/seasons/sample_seasons.h"

static foci_seasons scene_of(size_t count) {
    foci_seasons seasons = {0};
    foci_error err = {0};
    assert_done(sample_seasons_make(&seasons, count, &err), err);
    return seasons;
}

static void assert_meaning(const foci_seasons *seasons, foci_class code, const char *wanted) {
    char text[2 * FOCI_WORDS_SIZE];
    foci_words_meaning(text, seasons, code);
    assert_string_equal(text, wanted);
}

static void test_classes_in_words(void **state) {
    (void)state;
    foci_seasons two = scene_of(2), four = scene_of(4);
    assert_meaning(&two, FOCI_CLASS_ALWAYS, "hot in both seasons");
    assert_meaning(&two, FOCI_CLASS_NEW, "hot in 2025, not before");
    assert_meaning(&two, FOCI_CLASS_GONE, "hot in 2024, not in 2025");
    assert_meaning(&two, FOCI_CLASS_NEVER, "hot in neither season");
    assert_meaning(&four, FOCI_CLASS_ALWAYS, "hot in all 4 seasons");
    assert_meaning(&four, FOCI_CLASS_OFTEN, "hot in two seasons or more: half of them, or also in 2025");
    assert_meaning(&four, FOCI_CLASS_GONE, "hot before, not often, and not in 2025");
    assert_meaning(&four, FOCI_CLASS_NEVER, "hot in none of the seasons");
    assert_meaning(&four, FOCI_CLASS_UNSURE, "the readings cannot tell: look there");
    assert_string_equal(foci_seasons_class_word(&two, FOCI_CLASS_ALWAYS), "both");
    assert_string_equal(foci_seasons_class_word(&two, FOCI_CLASS_NEVER), "neither");
    assert_string_equal(foci_seasons_class_word(&two, FOCI_CLASS_GONE), "gone");
    assert_string_equal(foci_seasons_class_word(&four, FOCI_CLASS_ALWAYS), "always");
    assert_string_equal(foci_seasons_class_word(&four, FOCI_CLASS_NEVER), "never");
    assert_false(foci_words_class_can_be(&two, FOCI_CLASS_OFTEN));
    assert_true(foci_words_class_can_be(&two, FOCI_CLASS_NEW));
    assert_true(foci_words_class_can_be(&four, FOCI_CLASS_OFTEN));
    foci_seasons_free(&two);
    foci_seasons_free(&four);
}

/* Where the last season cannot be compared the classes speak of those before it. */
static void test_what_is_not_compared_is_passed_over(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(4);
    free(seasons.persistence.chance[3]);
    seasons.persistence.chance[3] = NULL;
    seasons.persistence.compared = 3;
    assert_meaning(&seasons, FOCI_CLASS_NEW, "hot in 2024, not before");
    assert_int_equal(foci_words_pair_before(&seasons, 0)->first, 1);
    assert_int_equal(foci_words_pair_before(&seasons, 0)->second, 2);
    assert_int_equal(foci_words_pair_before(&seasons, 1)->first, 0);
    assert_null(foci_words_pair_before(&seasons, 2));
    assert_false(foci_words_is_compared(&seasons, 3));
    foci_seasons_free(&seasons);
}

static void test_seasons_are_called_by_their_label(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    foci_text text = {0};
    foci_error err = {0};
    const bool hot[FOCI_SEASONS_MOST] = {true, false, true};
    seasons.rounds[0].season[0] = '\0';
    assert_string_equal(foci_seasons_label(&seasons, 0), "2023");
    assert_string_equal(foci_seasons_label(&seasons, 2), "2025");
    assert_done(foci_words_add_hot(&text, &seasons, hot, &err), err);
    assert_string_equal(text.text, "2023, 2025");
    foci_text_free(&text);
    assert_done(foci_words_add_seasons(&text, &seasons, &err), err);
    assert_string_equal(text.text, "2023, 2024, 2025");
    foci_text_free(&text);
    foci_seasons_free(&seasons);
}

#define B "\u00A0"

static void assert_expected(double expected, double low, double high, const char *table, const char *sentence) {
    char text[FOCI_WORDS_SIZE];
    const foci_estimate area = {expected, low, high};
    foci_words_expected(text, &area, FOCI_HECTARES);
    assert_string_equal(text, table);
    foci_words_about(text, &area, FOCI_HECTARES);
    assert_string_equal(text, sentence);
}

static void test_areas(void **state) {
    (void)state;
    assert_expected(1.913, 0.871, 3.142, "1.9" B "(0.9" B "to" B "3.1)",
                    "about" B "1.9" B "ha" B "(0.9" B "to" B "3.1)");
    assert_expected(0.213, 0.004, 0.627, "0.21" B "(0.00" B "to" B "0.63)",
                    "about" B "0.21" B "ha" B "(0.00" B "to" B "0.63)");
    assert_expected(131.3, 99.2, 180.7, "131" B "(99" B "to" B "181)", "about" B "131" B "ha" B "(99" B "to" B "181)");
    assert_expected(NAN, NAN, NAN, "not compared", "not compared");
    char text[FOCI_WORDS_SIZE];
    foci_words_expected(text, &(foci_estimate){1.913, 0.871, 3.142}, FOCI_ACRES);
    assert_string_equal(text, "4.7" B "(2.2" B "to" B "7.8)");
}

static void test_numbers_that_are_none(void **state) {
    (void)state;
    char text[FOCI_WORDS_SIZE];
    foci_words_p(text, 0.0131);
    assert_string_equal(text, "0.013");
    foci_words_p(text, 0.2345);
    assert_string_equal(text, "0.23");
    foci_words_p(text, 0.00004);
    assert_string_equal(text, "below 0.001");
    foci_words_p(text, NAN);
    assert_string_equal(text, "not compared");
    foci_words_number(text, NAN, 2, "not defined");
    assert_string_equal(text, "not defined");
    foci_words_number(text, 0.4321, 2, "not defined");
    assert_string_equal(text, "0.43");
}

static void assert_said(char *text, const char *wanted) {
    assert_non_null(text);
    assert_string_equal(text, wanted);
    free(text);
}

static void test_a_pair(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_season_pair *pair = &seasons.persistence.pairs[0];
    foci_error err = {0};
    pair->both = (foci_estimate){1.9, 0.9, 3.1};
    pair->by_chance = (foci_estimate){0.63, 0.1, 1.3};
    assert_said(foci_words_verdict(&seasons, pair, &err), "2024 and 2025: came back (P = 0.013)");
    assert_said(foci_words_overlap(&seasons, pair, &err),
                "hot in both: about" B "4.7" B "acres" B "(2.2" B "to" B "7.7); by chance alone: about" B "1.6" B
                "acres" B "(0.2" B "to" B "3.2)");
    pair->p = 0.0001;
    assert_said(foci_words_verdict(&seasons, pair, &err), "2024 and 2025: came back (P below 0.001)");
    assert_done(sample_seasons_uncompare(&seasons, &err), err);
    assert_said(foci_words_verdict(&seasons, pair, &err), "2024 and 2025: no comparison");
    assert_said(foci_words_overlap(&seasons, pair, &err), "2025: it shows no pattern");
    assert_null(foci_words_pair_before(&seasons, 0));
    foci_seasons_free(&seasons);
}

static void test_sentences(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(2);
    foci_error err = {0};
    assert_said(foci_words_comparison_facts(&seasons, &err),
                "North Forty, 12.9 acres (5.2 ha)  \u00B7  Sclerotinia stem rot of soybean (Sclerotinia sclerotiorum), "
                "rated above-ground  \u00B7  2024 and 2025");
    assert_said(
        foci_words_comparison_made(&seasons, &err),
        "How made: the stops of all seasons are read together. Hot is where the true incidence is at or above the "
        "season's threshold. Made January 9, 2026, by fieldfoci " FOCI_VERSION ".");
    assert_said(foci_words_comparison_even_so(&seasons, &err), "");
    assert_done(foci_sentences_add(&seasons.even_so, &err, "the boundary moved."), err);
    assert_said(foci_words_comparison_even_so(&seasons, &err),
                "Compared even so, for a stated reason: the boundary moved.");
    assert_ptr_equal(foci_words_comparison_title(&seasons), seasons.sentences.items[0]);
    seasons.title = foci_copy_text("Next year's rotation", &err);
    assert_string_equal(foci_words_comparison_title(&seasons), "Next year's rotation");
    foci_seasons_free(&seasons);
}

static foci_seasons said;

static bool attempt(foci_error *err) {
    char *texts[] = {foci_words_comparison_facts(&said, err),
                     foci_words_comparison_made(&said, err),
                     foci_words_comparison_even_so(&said, err),
                     foci_words_comparison_caution(&said, err),
                     foci_words_overlap(&said, &said.persistence.pairs[0], err),
                     foci_words_verdict(&said, &said.persistence.pairs[0], err)};
    bool ok = true;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        ok = ok && texts[i];
        free(texts[i]);
    }
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    said = scene_of(3);
    support_fail_each_allocation(attempt);
    foci_seasons_free(&said);
}

static void test_thresholds_are_compared(void **state) {
    (void)state;
    foci_seasons seasons = scene_of(3);
    assert_false(foci_words_thresholds_differ(&seasons));
    seasons.rounds[0].threshold = 10.5;
    assert_true(foci_words_thresholds_differ(&seasons));
    seasons.rounds[0].threshold = NAN;
    assert_true(foci_words_thresholds_differ(&seasons));
    seasons.rounds[1].threshold = seasons.rounds[2].threshold = NAN;
    assert_false(foci_words_thresholds_differ(&seasons));
    foci_seasons_free(&seasons);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_classes_in_words),
        cmocka_unit_test(test_what_is_not_compared_is_passed_over),
        cmocka_unit_test(test_seasons_are_called_by_their_label),
        cmocka_unit_test(test_thresholds_are_compared),
        cmocka_unit_test(test_areas),
        cmocka_unit_test(test_numbers_that_are_none),
        cmocka_unit_test(test_a_pair),
        cmocka_unit_test(test_sentences),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

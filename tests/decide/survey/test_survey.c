#include "fieldfoci/survey.h"

#include "support/support.h"

static void test_sentences_keep_their_order(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_sentences sentences = {0};
    for (int i = 0; i < 20; i++)
        assert_done(foci_sentences_add(&sentences, &err, "stop %d of %s", i, "twenty"), err);
    assert_int_equal(sentences.count, 20);
    assert_string_equal(sentences.items[0], "stop 0 of twenty");
    assert_string_equal(sentences.items[7], "stop 7 of twenty");
    assert_string_equal(sentences.items[8], "stop 8 of twenty");
    assert_string_equal(sentences.items[19], "stop 19 of twenty");
    foci_sentences_free(&sentences);
    assert_int_equal(sentences.count, 0);
    assert_null(sentences.items);
    foci_sentences_free(&sentences);
}

static void test_a_long_sentence_is_kept_whole(void **unused) {
    (void)unused;
    foci_error err = {0};
    foci_sentences sentences = {0};
    char word[3001];
    memset(word, 'a', sizeof word - 1);
    word[sizeof word - 1] = '\0';
    assert_done(foci_sentences_add(&sentences, &err, "%s.", word), err);
    assert_int_equal(strlen(sentences.items[0]), 3001);
    foci_sentences_free(&sentences);
}

static bool fill(foci_survey *round, foci_error *err) {
    return (round->season = foci_copy_text("2025", err)) && (round->title = foci_copy_text("One patch", err)) &&
           (round->rated = foci_copy_text("dug", err)) && (round->first_date = foci_copy_text("2025-08-12", err)) &&
           (round->last_date = foci_copy_text("2025-08-13", err)) &&
           (round->no_zones_why = foci_copy_text("it blows in", err)) &&
           (round->field.name = foci_copy_text("Long acre", err)) &&
           (round->surface.estimate = foci_new_array(4, sizeof(double), err)) &&
           (round->zones.code = foci_new_array(4, 1, err)) &&
           (round->hotspots.label = foci_new_array(4, sizeof(int), err)) &&
           foci_sentences_add(&round->cautions, err, "the label is the law") &&
           foci_sentences_add(&round->warnings, err, "only %d stops", 12) &&
           foci_sentences_add(&round->even_so, err, "a trial");
}

static bool attempt(foci_error *err) {
    foci_survey round = {0};
    bool ok = fill(&round, err);
    foci_survey_free(&round);
    assert_null(round.season);
    assert_null(round.surface.estimate);
    assert_null(round.zones.code);
    assert_int_equal(round.warnings.count, 0);
    foci_survey_free(&round);
    return ok;
}

/* The sanitizers see whether anything is left. */
static void test_a_round_is_freed_whole(void **unused) {
    (void)unused;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sentences_keep_their_order),
        cmocka_unit_test(test_a_long_sentence_is_kept_whole),
        cmocka_unit_test(test_a_round_is_freed_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

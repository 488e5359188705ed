/* What `profiles NAME --json` prints is a profile that reads back to the same. */
#include "fieldfoci/summary.h"

#include "support/scratch.h"

static char *summary_of(const char *name_or_file, foci_profile *profile) {
    foci_error err = {0};
    assert_done(foci_profile_read(profile, name_or_file, &err), err);
    char *text = foci_profile_summary(profile, &err);
    assert_done(text != NULL, err);
    return text;
}

static void same_fact(const foci_fact *a, const foci_fact *b) {
    assert_string_equal(a->text, b->text);
    assert_string_equal(a->source, b->source);
}

static void every_built_in_profile_reads_back(void **state) {
    (void)state;
    for (size_t i = 0; foci_profile_name(i); i++) {
        foci_profile first = {0}, again = {0};
        char *said = summary_of(foci_profile_name(i), &first);
        char *twice = summary_of(scratch_write("copy.json", said), &again);
        assert_string_equal(said, twice);
        assert_int_equal(first.lives_in, again.lives_in);
        assert_string_equal(first.rated, again.rated);
        same_fact(&first.when, &again.when);
        same_fact(&first.dig, &again.dig);
        assert_int_equal(first.dig_first, again.dig_first);
        same_fact(&first.diagnosis, &again.diagnosis);
        assert_int_equal(first.look_for_count, again.look_for_count);
        for (size_t k = 0; k < first.look_for_count; k++)
            same_fact(&first.look_for[k], &again.look_for[k]);
        assert_true(first.least == again.least && first.most == again.most);
        free(said);
        free(twice);
        foci_profile_free(&first);
        foci_profile_free(&again);
    }
}

/* What is not known is null, so that whoever changes the file sees what may be filled in. */
static void what_is_not_known_is_null(void **state) {
    (void)state;
    foci_profile profile = {0};
    char *said = summary_of("count", &profile);
    static const char *const members[] = {"lives_in", "when", "dig", "diagnosis", "rated", "margin", "aggregation"};
    for (size_t i = 0; i < sizeof members / sizeof *members; i++) {
        char words[40];
        snprintf(words, sizeof words, "\"%s\": null", members[i]);
        assert_non_null(strstr(said, words));
    }
    free(said);
    foci_profile_free(&profile);
}

static bool attempt(foci_error *err) {
    foci_profile profile = {0};
    bool ok = foci_profile_read(&profile, "rust-of-peanut", err);
    char *text = ok ? foci_profile_summary(&profile, err) : NULL;
    ok = text != NULL;
    free(text);
    foci_profile_free(&profile);
    return ok;
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_built_in_profile_reads_back),
        cmocka_unit_test(what_is_not_known_is_null),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, scratch_open, scratch_close);
}

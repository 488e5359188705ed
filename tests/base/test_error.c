#include "support/support.h"

#include "fieldfoci/error.h"

static void test_first_failure_wins(void **state) {
    (void)state;
    foci_error err = {0};
    assert_false(foci_fail(&err, FOCI_BAD_INPUT, "stops.csv", 17, "count %d is above %d checked", 12, 10));
    assert_false(foci_fail(&err, FOCI_NO_MEMORY, "other.csv", 3, "later"));
    assert_int_equal(err.status, FOCI_BAD_INPUT);
    assert_string_equal(err.source, "stops.csv");
    assert_int_equal(err.row, 17);
    assert_string_equal(err.text, "count 12 is above 10 checked");
}

static void test_line_shows_the_parts_that_are_there(void **state) {
    (void)state;
    char line[64];
    foci_error with_row = {.source = "stops.csv", .row = 17, .text = "is odd"};
    foci_error with_source = {.source = "--cell", .text = "is odd"};
    foci_error bare = {.text = "is odd"};
    foci_error_line(&with_row, line, sizeof line);
    assert_string_equal(line, "stops.csv:17: is odd");
    foci_error_line(&with_source, line, sizeof line);
    assert_string_equal(line, "--cell: is odd");
    foci_error_line(&bare, line, sizeof line);
    assert_string_equal(line, "is odd");
    foci_error_line(&with_row, line, 10);
    assert_string_equal(line, "stops.csv");
}

static void test_long_texts_are_cut_not_overrun(void **state) {
    (void)state;
    foci_error err = {0};
    char longer[2000];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    assert_false(foci_fail(&err, FOCI_NO_FILE, longer, 0, "%s", longer));
    assert_int_equal(strlen(err.source), sizeof err.source - 1);
    assert_int_equal(strlen(err.text), sizeof err.text - 1);
}

static void test_every_status_has_its_own_text(void **state) {
    (void)state;
    for (int i = 0; i < FOCI_STATUS_END; i++) {
        assert_non_null(foci_status_text((foci_status)i));
        for (int j = 0; j < i; j++)
            assert_string_not_equal(foci_status_text((foci_status)i), foci_status_text((foci_status)j));
    }
    assert_string_equal(foci_status_text(FOCI_STATUS_END), "unknown status");
}

static void test_source_may_be_missing(void **state) {
    (void)state;
    foci_error err = {0};
    assert_false(foci_fail(&err, FOCI_NO_FIT, NULL, 0, "no answer"));
    assert_string_equal(err.source, "");
}

/* Settings stand in texts as {name}: a library says their bare names, the program puts its hyphens before them. */
static void test_settings_are_named_as_who_prints_them_does(void **state) {
    (void)state;
    static const struct {
        const char *source, *key, *text, *bare, *marked;
    } rows[] = {
        {"{least-run}", "least-run", "needs lanes; give {swath} too", "least-run: needs lanes; give swath too",
         "--least-run: needs lanes; give --swath too"},
        {"stops.csv", "", "name it with {xy} XCOLUMN,YCOLUMN, or {crs}",
         "stops.csv: name it with xy XCOLUMN,YCOLUMN, or crs",
         "stops.csv: name it with --xy XCOLUMN,YCOLUMN, or --crs"},
        {"{A}.csv", "", "a {B}, a {, {}, {one two} and a }", "{A}.csv: a {B}, a {, {}, {one two} and a }",
         "{A}.csv: a {B}, a {, {}, {one two} and a }"},
        {"{a-name-that-no-setting-has-as-it-is-long}", "", "it", "{a-name-that-no-setting-has-as-it-is-long}: it",
         "{a-name-that-no-setting-has-as-it-is-long}: it"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        foci_error err = {0}, again = {0};
        char line[512];
        assert_false(foci_fail(&err, FOCI_BAD_SETTING, rows[i].source, 0, "%s", rows[i].text));
        assert_string_equal(err.key, rows[i].key);
        assert_string_equal(err.source, *rows[i].key ? "" : rows[i].source);
        foci_error_line(&err, line, sizeof line);
        assert_string_equal(line, rows[i].bare);
        foci_error_line_marked(&err, "--", line, sizeof line);
        assert_string_equal(line, rows[i].marked);
        assert_false(foci_fail_again(&again, &err));
        assert_memory_equal(&again, &err, sizeof err);
        foci_error_text(&err, "--", line, 8);
        assert_true(strlen(line) < 8);
    }
    foci_error first = {0};
    const foci_error second = {.status = FOCI_NO_FILE};
    assert_false(foci_fail(&first, FOCI_NO_FIT, NULL, 0, "first"));
    assert_false(foci_fail_again(&first, &second));
    assert_int_equal(first.status, FOCI_NO_FIT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_first_failure_wins),
        cmocka_unit_test(test_line_shows_the_parts_that_are_there),
        cmocka_unit_test(test_long_texts_are_cut_not_overrun),
        cmocka_unit_test(test_every_status_has_its_own_text),
        cmocka_unit_test(test_source_may_be_missing),
        cmocka_unit_test(test_settings_are_named_as_who_prints_them_does),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

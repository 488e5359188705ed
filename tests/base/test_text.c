#include "support/support.h"

#include <locale.h>

#include "base/text.h"

static void test_text_grows(void **state) {
    (void)state;
    foci_error err = {0};
    foci_text text = {0};
    for (int i = 0; i < 300; i++)
        assert_done(foci_text_add(&text, &err, "%d,", i % 10), err);
    assert_int_equal(text.length, 600);
    assert_int_equal(strlen(text.text), 600);
    assert_memory_equal(text.text + 594, "7,8,9,", 7);
    foci_text_free(&text);
    foci_text_free(&text);
    assert_null(text.text);
    assert_done(foci_text_add(&text, &err, "%s", ""), err);
    assert_string_equal(text.text, "");
    foci_text_free(&text);
}

static void test_numbers(void **state) {
    (void)state;
    const struct {
        const char *text;
        double number;
    } good[] = {{"2.385", 2.385},     {" -17 ", -17}, {"+.5", 0.5},       {"3.", 3},    {"1e-3", 1e-3},
                {"6.02E+2\r\n", 602}, {"\t0\t", 0},   {"00012.50", 12.5}, {"0.1", 0.1}, {"-0", 0}};
    const char *bad[] = {"",      " ",     "2,385", "1.234,5", "nan",        "NaN", "inf", "-infinity",
                         "0x10",  "1e",    "1e+",   ".",       "-",          "--1", "1 2", "12m",
                         "1e999", "1.2.3", "e5",    "1_000",   "\xc2\xa0+5", "5%",  "+ 5"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        double number = NAN;
        assert_true(foci_number_parse(good[i].text, &number));
        assert_true(number == good[i].number);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double number = 4.75;
        if (foci_number_parse(bad[i], &number))
            fail_msg("'%s' was taken for %g", bad[i], number);
        assert_true(number == 4.75);
    }
    assert_false(foci_number_parse(NULL, NULL));
}

/* Where the machine has a locale with a decimal comma; the library must not care. */
static void test_numbers_in_a_locale_with_comma(void **state) {
    (void)state;
    const char *names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "fr_FR.utf8", "nl_NL.utf8"};
    bool set = false;
    for (size_t i = 0; i < sizeof names / sizeof *names && !set; i++)
        set = setlocale(LC_ALL, names[i]) != NULL;
    if (!set)
        skip();
    assert_true(strtod("2,5", NULL) == 2.5); /* the locale is in force */
    double number = NAN;
    bool point = foci_number_parse("2.385", &number), comma = foci_number_parse("2,385", &(double){0});
    setlocale(LC_ALL, "C");
    assert_true(point && number == 2.385);
    assert_false(comma);
}

static void test_nearest_word(void **state) {
    (void)state;
    const char *const words[] = {"spherical", "exponential", "gaussian", "matern", NULL};
    assert_string_equal(foci_text_nearest("sperical", words), "spherical");       /* dropped */
    assert_string_equal(foci_text_nearest("exponentiall", words), "exponential"); /* added */
    assert_string_equal(foci_text_nearest("gausian", words), "gaussian");
    assert_string_equal(foci_text_nearest("mattren", words), "matern"); /* added and swapped */
    assert_string_equal(foci_text_nearest("MATERN", words), "matern");
    assert_null(foci_text_nearest("linear", words));
    assert_null(foci_text_nearest("", words));
    const char *const letters[] = {"xy", "lon", NULL};
    assert_string_equal(foci_text_nearest("x", letters), "xy");
    assert_null(foci_text_nearest("ab", letters)); /* no letter in common */
}

/* A third of the word's length, at least 2: 9 letters allow 3 changes, 6 allow 2. */
static void test_nearest_word_has_a_limit(void **state) {
    (void)state;
    const char *const nine[] = {"abcdefghi", NULL}, *const six[] = {"abcdef", NULL};
    assert_non_null(foci_text_nearest("abcdefXYZ", nine));
    assert_null(foci_text_nearest("abcdeWXYZ", nine));
    assert_non_null(foci_text_nearest("abcdXY", six));
    assert_null(foci_text_nearest("abcXYZ", six));
    const char *const near[] = {"abcdXY", "abcdeX", "abcdeY", NULL}; /* the nearest, of equals the first */
    assert_string_equal(foci_text_nearest("abcdef", near), "abcdeX");
    char longer[400];
    memset(longer, 'q', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    const char *const both[] = {longer, "abcdeX", NULL};
    assert_string_equal(foci_text_nearest("abcdef", both), "abcdeX");
    assert_null(foci_text_nearest(longer, both));
}

static void test_same_without_case(void **state) {
    (void)state;
    assert_true(foci_text_same("Easting", "eASTING"));
    assert_true(foci_text_same("", ""));
    assert_false(foci_text_same("lon", "long"));
    assert_false(foci_text_same("long", "lon"));
    assert_false(foci_text_same("@", "`")); /* 32 apart as well, but no letters */
}

static bool add_twice(foci_error *err) {
    foci_text text = {0};
    bool ok = foci_text_add(&text, err, "%s", "first") && foci_text_add(&text, err, "%100d", 5);
    foci_text_free(&text);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(add_twice);
}

/* FSI and PDI of Unicode's bidirectional algorithm (UAX #9) stand round what runs from right to left, and round nothing
 * else; bytes that are no letters do no harm. */
static void test_names_are_set_apart(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        bool apart;
        const char *line; /* where it is not the name */
    } names[] = {{"North Forty", false, NULL},
                 {"Zażółć 北の畑 №7", false, NULL},
                 {"\u05E9\u05D3\u05D4 12", true, NULL},   /* Hebrew */
                 {"plot \u062D\u0642\u0644", true, NULL}, /* Arabic, further on */
                 {"\uFE8D", true, NULL},                  /* a presentation form */
                 {"\U0001E900", true, NULL},              /* Adlam */
                 {"a\u202Eb", true, "a b"},               /* a mark that turns what follows */
                 {"two\nlines", false, "two lines"},
                 {"\xE5\xA9", false, "??"},
                 {"\xF0", false, "?"},
                 {"", false, NULL}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char wanted[64];
        foci_text text = {0};
        foci_error err = {0};
        snprintf(wanted, sizeof wanted, names[i].apart ? "\u2068%s\u2069" : "%s",
                 names[i].line ? names[i].line : names[i].name);
        assert_done(foci_text_add_name(&text, names[i].name, &err), err);
        assert_string_equal(text.text, wanted);
        foci_text_free(&text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text_grows),        cmocka_unit_test(test_names_are_set_apart),
        cmocka_unit_test(test_numbers),           cmocka_unit_test(test_numbers_in_a_locale_with_comma),
        cmocka_unit_test(test_nearest_word),      cmocka_unit_test(test_nearest_word_has_a_limit),
        cmocka_unit_test(test_same_without_case), cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

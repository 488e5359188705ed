/* Text for HTML and XML, and base 64. */
#include "base/text.h"

#include "fieldfoci/words.h"
#include "support/support.h"

static void assert_escaped(const char *plain, const char *wanted) {
    foci_text text = {0};
    foci_error err = {0};
    assert_done(foci_text_add(&text, &err, "[") && foci_text_add_escaped(&text, plain, &err) &&
                    foci_text_add(&text, &err, "]"),
                err);
    assert_int_equal(text.length, strlen(text.text));
    char whole[200];
    snprintf(whole, sizeof whole, "[%s]", wanted);
    assert_string_equal(text.text, whole);
    foci_text_free(&text);
}

static void test_what_means_something_is_escaped(void **state) {
    (void)state;
    assert_escaped("A & B <c>", "A &amp; B &lt;c&gt;");
    assert_escaped("\"it's\" &amp;", "&quot;it&#39;s&quot; &amp;amp;");
    assert_escaped("", "");
    assert_escaped("100 %s %n", "100 %s %n");
    assert_escaped("a\tb\nc\x7F\x01", "a b c  ");
}

static void test_utf8_stays(void **state) {
    (void)state;
    assert_escaped("K\xC3\xB6nigs \xE2\x82\xAC \xF0\x9F\x8C\xB1", "K\xC3\xB6nigs \xE2\x82\xAC \xF0\x9F\x8C\xB1");
}

/* A lone lead byte, a lone trailing byte, an overlong slash, half a surrogate, beyond the last plane, a C1 control, a
 * noncharacter, a cut sequence at the end. */
static void test_what_is_no_utf8_is_marked(void **state) {
    (void)state;
#define MARK "\xEF\xBF\xBD"
    assert_escaped("a\xC3z", "a" MARK "z");
    assert_escaped("\x80", MARK);
    assert_escaped("\xC0\xAF", MARK MARK);
    assert_escaped("\xED\xA0\x80", MARK MARK MARK);
    assert_escaped("\xF4\x90\x80\x80", MARK MARK MARK MARK);
    assert_escaped("\xC2\x85", MARK MARK);
    assert_escaped("\xEF\xBF\xBF", MARK MARK MARK);
    assert_escaped("x\xE2\x82", "x" MARK MARK);
    assert_escaped("\xFF", MARK);
}

static void assert_one_line(const char *plain, const char *wanted) {
    char text[100];
    snprintf(text, sizeof text, "%s", plain);
    foci_words_one_line(text);
    assert_string_equal(text, wanted);
}

/* Names as they come, and all that a terminal obeys: controls (ECMA-48: C0, DEL, C1), line and paragraph separators,
 * marks, embeddings and overrides of direction (UAX #9). */
static void test_one_line(void **state) {
    (void)state;
    assert_one_line("", "");
    assert_one_line("K\xC3\xB6nigs \xE2\x82\xAC, \xD7\xA9\xD7\x93\xD7\x94 \xF0\x9F\x8C\xB1",
                    "K\xC3\xB6nigs \xE2\x82\xAC, \xD7\xA9\xD7\x93\xD7\x94 \xF0\x9F\x8C\xB1");
    assert_one_line("a\r\nb\tc\x1B[31m\x7F\a", "a  b c [31m  ");
    assert_one_line("\xC2\x9B"
                    "31m\xC2\x85\xC2\xA0",
                    " 31m \xC2\xA0");
    assert_one_line("\u2028\u2029|\u202A\u202D\u202E|\u200E\u200F\u061C|\u2066\u2067", "  |   |   |  ");
    assert_one_line("\u2068\u05E9\u2069 \u200D", "\u2068\u05E9\u2069 \u200D"); /* isolates and joiners stay */
    assert_one_line("\x9B"
                    "31m\xE2\x80",
                    "?31m??");
}

/* RFC 4648, section 10. */
static void test_base64(void **state) {
    (void)state;
    static const char *const known[][2] = {{"", ""},
                                           {"f", "Zg=="},
                                           {"fo", "Zm8="},
                                           {"foo", "Zm9v"},
                                           {"foob", "Zm9vYg=="},
                                           {"fooba", "Zm9vYmE="},
                                           {"foobar", "Zm9vYmFy"}};
    foci_error err = {0};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        foci_text text = {0};
        assert_done(foci_text_add(&text, &err, "data,") &&
                        foci_text_add_base64(&text, known[i][0], strlen(known[i][0]), &err),
                    err);
        assert_string_equal(text.text + 5, known[i][1]);
        assert_int_equal(text.length, strlen(text.text));
        foci_text_free(&text);
    }
    static const unsigned char high[] = {0xFB, 0xFF, 0xBF, 0x00};
    foci_text text = {0};
    assert_done(foci_text_add_base64(&text, high, sizeof high, &err), err);
    assert_string_equal(text.text, "+/+/AA==");
    foci_text_free(&text);
}

static bool attempt(foci_error *err) {
    foci_text text = {0};
    bool ok = foci_text_add_escaped(&text, "<a long enough text & more of it, so that the array must grow once again>",
                                    err) &&
              foci_text_add_base64(&text, "some bytes", 10, err);
    foci_text_free(&text);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_means_something_is_escaped),
        cmocka_unit_test(test_utf8_stays),
        cmocka_unit_test(test_what_is_no_utf8_is_marked),
        cmocka_unit_test(test_base64),
        cmocka_unit_test(test_one_line),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

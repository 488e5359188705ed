#include "support/support.h"

#include "show/draw/xml_file.h"

static char *make_text(foci_error *err) {
    foci_xml *root = foci_xml_root("ROOT", err);
    foci_xml *first = foci_xml_child(root, "FIRST", err);
    char *text = NULL;
    if (foci_xml_put(root, "B", err, "%d", 7) && foci_xml_put(root, "A", err, "%s", "caf\xC3\xA9 <&> \"'") &&
        foci_xml_put(first, "C", err, "%.9f", 42.5) && foci_xml_child(first, "INNER", err) &&
        foci_xml_child(root, "LAST", err))
        text = foci_xml_print(root, err);
    foci_xml_free(root);
    return text;
}

static void test_document(void **state) {
    (void)state;
    foci_error err = {0};
    char *text = make_text(&err);
    assert_non_null(text);
    assert_string_equal(text, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                              "<ROOT B=\"7\" A=\"caf\xC3\xA9 &lt;&amp;&gt; &quot;'\">\n"
                              "  <FIRST C=\"42.500000000\">\n"
                              "    <INNER/>\n"
                              "  </FIRST>\n"
                              "  <LAST/>\n"
                              "</ROOT>\n");
    free(text);
}

static void test_refusals(void **state) {
    (void)state;
    foci_error err = {0};
    char longest[600];
    memset(longest, 'x', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    foci_xml *root = foci_xml_root("ROOT", &err);
    assert_non_null(root);
    assert_fails(foci_xml_put(root, "A", &err, "%s", "caf\xE9"), err, FOCI_BAD_INPUT, "UTF-8");
    assert_fails(foci_xml_put(root, "A", &err, "%s", longest), err, FOCI_BAD_INPUT, "too long");
    foci_xml_free(root);

    /* A failure goes through: the callers check once, at the end. */
    err = (foci_error){0};
    assert_null(foci_xml_child(NULL, "A", &err));
    assert_false(foci_xml_put(NULL, "A", &err, "1"));
    foci_xml_free(NULL);
}

static bool attempt(foci_error *err) {
    char *text = make_text(err);
    bool ok = text != NULL;
    free(text);
    return ok;
}

static void test_no_memory(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_document), cmocka_unit_test(test_refusals),
                                       cmocka_unit_test(test_no_memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* HTML that is well-formed XML, whatever the text. */
#include "show/draw/html.h"

#include "support/support.h"

#include <libxml/parser.h>

static void test_what_it_writes(void **state) {
    (void)state;
    static const char *const heads[] = {"Name", "ha & ac", NULL};
    static const char *const cells[] = {"A & B <c>", "1.9 \"about\"", NULL};
    foci_html html = {0};
    foci_error err = {0};
    foci_html_raw(&html, "<main>");
    foci_html_element(&html, "p class=\"first\"", "5 < 6 100 %s");
    foci_html_table(&html, "What's there", heads);
    foci_html_row(&html, cells);
    foci_html_table_end(&html);
    foci_html_picture(&html, (const unsigned char *)"foob", 4, "a \"picture\"");
    foci_html_raw(&html, "</main>");
    assert_done(foci_html_finish(&html, &err), err);
    assert_string_equal(html.text.text,
                        "<main><p class=\"first\">5 &lt; 6 100 %s</p>\n"
                        "<div class=\"wide\"><table>\n<caption>What&#39;s there</caption>\n<thead><tr>"
                        "<th scope=\"col\">Name</th>\n<th scope=\"col\">ha &amp; ac</th>\n</tr></thead>\n<tbody>\n"
                        "<tr><th scope=\"row\">A &amp; B &lt;c&gt;</th>\n<td>1.9 &quot;about&quot;</td>\n</tr>\n"
                        "</tbody></table></div>\n"
                        "<img alt=\"a &quot;picture&quot;\" src=\"data:image/png;base64,Zm9vYg==\" />\n</main>");
    xmlDocPtr document = xmlReadMemory(html.text.text, (int)html.text.length, NULL, "UTF-8", XML_PARSE_NONET);
    assert_non_null(document);
    xmlFreeDoc(document);
    foci_html_free(&html);
    foci_html_free(&html);
}

static bool attempt(foci_error *err) {
    static const char *const cells[] = {"head", "cell", NULL};
    foci_html html = {0};
    foci_html_element(&html, "p", "a text & more of it");
    foci_html_table(&html, "caption", cells);
    foci_html_row(&html, cells);
    foci_html_table_end(&html);
    foci_html_picture(&html, (const unsigned char *)"some bytes of a picture", 23, "picture");
    const bool ok = foci_html_finish(&html, err);
    foci_html_free(&html);
    return ok;
}

static void test_each_allocation_can_fail(void **state) {
    (void)state;
    support_fail_each_allocation(attempt);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_it_writes),
        cmocka_unit_test(test_each_allocation_can_fail),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    xmlCleanupParser();
    return failed;
}

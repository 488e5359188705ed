#include "show/draw/html.h"

#include <string.h>

void foci_html_raw(foci_html *html, const char *markup) {
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add(&html->text, &html->err, "%s", markup);
}

void foci_html_text(foci_html *html, const char *text) {
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add_escaped(&html->text, text, &html->err);
}

void foci_html_element(foci_html *html, const char *tag, const char *text) {
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add(&html->text, &html->err, "<%s>", tag);
    foci_html_text(html, text);
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add(&html->text, &html->err, "</%.*s>\n", (int)strcspn(tag, " "), tag);
}

void foci_html_table(foci_html *html, const char *caption, const char *const *heads) {
    foci_html_raw(html, "<div class=\"wide\"><table>\n");
    foci_html_element(html, "caption", caption);
    foci_html_raw(html, "<thead><tr>");
    for (; *heads; heads++)
        foci_html_element(html, "th scope=\"col\"", *heads);
    foci_html_raw(html, "</tr></thead>\n<tbody>\n");
}

void foci_html_row(foci_html *html, const char *const *cells) {
    foci_html_raw(html, "<tr>");
    for (const char *const *cell = cells; *cell; cell++)
        foci_html_element(html, cell == cells ? "th scope=\"row\"" : "td", *cell);
    foci_html_raw(html, "</tr>\n");
}

void foci_html_table_end(foci_html *html) {
    foci_html_raw(html, "</tbody></table></div>\n");
}

void foci_html_picture(foci_html *html, const unsigned char *png, size_t size, const char *described) {
    foci_html_raw(html, "<img alt=\"");
    foci_html_text(html, described);
    foci_html_raw(html, "\" src=\"data:image/png;base64,");
    if (html->err.status == FOCI_OK)
        (void)!foci_text_add_base64(&html->text, png, size, &html->err);
    foci_html_raw(html, "\" />\n");
}

bool foci_html_finish(const foci_html *html, foci_error *err) {
    return html->err.status == FOCI_OK || foci_fail_again(err, &html->err);
}

void foci_html_free(foci_html *html) {
    foci_text_free(&html->text);
    *html = (foci_html){0};
}

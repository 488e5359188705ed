/* HTML as it grows: markup is given as it is, all text is escaped. Void elements are closed, so that the page is
 * well-formed XML too. What goes wrong is kept and told once, by foci_html_finish. */
#ifndef FOCI_SHOW_HTML_H
#define FOCI_SHOW_HTML_H

#include "base/text.h"

/* {0} is an empty page. */
typedef struct {
    foci_text text;
    foci_error err;
} foci_html;

/* Markup of our own. */
void foci_html_raw(foci_html *html, const char *markup);

/* Text of anybody's. */
void foci_html_text(foci_html *html, const char *text);

/* <tag>text</tag>; the tag may carry attributes: `p class="small"`. */
void foci_html_element(foci_html *html, const char *tag, const char *text);

/* Opens a table with its caption and the heads of its columns (ended by NULL). */
void foci_html_table(foci_html *html, const char *caption, const char *const *heads);

/* One row: its head, then its cells (ended by NULL). */
void foci_html_row(foci_html *html, const char *const *cells);
void foci_html_table_end(foci_html *html);

/* <img> with the picture inside it. */
void foci_html_picture(foci_html *html, const unsigned char *png, size_t size, const char *described);

/* False where anything failed before. */
bool foci_html_finish(const foci_html *html, foci_error *err) FOCI_MUST_CHECK;
void foci_html_free(foci_html *html);

#endif

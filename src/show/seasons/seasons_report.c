/* report.html of a comparison, in the form of a survey's. */
#include "show/seasons/seasons_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "show/page/page.h"
#include "show/seasons/seasons_files.h"
#include "show/seasons/seasons_sheet.h"
#include "decide/words/seasons_report_words.h"

static void add_section(foci_html *html, const char *title, const foci_seasons *seasons,
                        void (*add)(foci_html *html, const foci_seasons *seasons)) {
    foci_page_section(html, title);
    add(html, seasons);
    foci_page_section_end(html);
}

/* In statistical words, for who knows them. docs/seasons.md has the whole. */
static void add_model(foci_html *html, const foci_seasons *seasons) {
    char rows[FOCI_WORDS_LINE];
    if (!foci_words_any_compared(seasons))
        return;
    foci_html_element(html, "p",
                      seasons->rounds[0].stops.kind == FOCI_READING_COUNT ? foci_seasons_model_of_counts
                                                                          : foci_seasons_model_of_scores);
    foci_html_element(html, "p", foci_seasons_weights);
    if (isnan(seasons->row_heading))
        snprintf(rows, sizeof rows, "%s", foci_seasons_no_rows);
    else
        foci_words_rows(rows, seasons->row_heading);
    foci_html_element(html, "p", rows);
}

static void add_method(foci_html *html, const foci_seasons *seasons) {
    foci_html_raw(html, "<p>Method: ");
    foci_html_text(html, seasons->persistence.method ? seasons->persistence.method : foci_seasons_side_by_side);
    foci_html_raw(html, ".</p>\n");
    for (const char *const *line = foci_seasons_reading; *line; line++)
        foci_html_element(html, "p", *line);
    add_model(html, seasons);
}

static void add_head(foci_html *html, const foci_seasons *seasons, const char *facts, const char *warning) {
    const char *title = foci_words_comparison_title(seasons);
    foci_page_begin(html, title, seasons->rounds[seasons->count - 1].paper, "report.css", true);
    foci_html_raw(html, "<header>\n");
    foci_html_element(html, "h1", title);
    foci_html_element(html, "p", facts);
    foci_html_raw(html, "</header>\n<main>\n");
    foci_html_element(html, "p class=\"warning\"", warning);
    foci_page_section(html, foci_seasons_found);
    const bool titled = seasons->sentences.count > 0 && title != seasons->sentences.items[0];
    foci_page_sentences(html, "p class=\"first\"", &seasons->sentences, titled ? 0 : 1);
    foci_page_section_end(html);
}

static bool add_page(foci_html *html, const foci_seasons *seasons, foci_error *err) {
    char *facts = NULL, *even_so = NULL, *caution = NULL;
    bool ok = false;
    if (!(facts = foci_words_comparison_facts(seasons, err)) ||
        !(even_so = foci_words_comparison_even_so(seasons, err)) ||
        !(caution = foci_words_comparison_caution(seasons, err)))
        goto done;
    add_head(html, seasons, facts, *even_so ? even_so : caution);
    add_section(html, foci_report_the_map, seasons, foci_report_seasons_map);
    foci_page_said(html, even_so, &seasons->cautions, &seasons->warnings);
    if (foci_words_any_compared(seasons)) {
        add_section(html, foci_seasons_how_much, seasons, foci_report_classes);
        add_section(html, foci_seasons_where, seasons, foci_report_places);
    }
    add_section(html, foci_seasons_against, seasons, foci_report_pairs);
    add_section(html, foci_seasons_the_seasons, seasons, foci_report_rounds);
    add_section(html, foci_seasons_the_coefficients, seasons, foci_report_likeness);
    add_section(html, foci_report_how_made, seasons, add_method);
    add_section(html, foci_seasons_where_from, seasons, foci_report_provenance);
    foci_html_raw(html, "</main>\n");
    foci_page_end(html, true);
    ok = foci_html_finish(html, err);
done:
    free(facts);
    free(even_so);
    free(caution);
    return ok;
}

bool foci_seasons_report(const foci_seasons *seasons, const char *path, foci_error *err) {
    foci_html html = {0};
    const bool ok =
        add_page(&html, seasons, err) && foci_deliver_bytes(path, html.text.text, html.text.length, true, err);
    foci_html_free(&html);
    return ok;
}

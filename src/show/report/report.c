#include "show/report/report.h"

#include <stdlib.h>
#include <string.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "decide/words/report_words.h"
#include "decide/words/survey_words.h"
#include "show/page/page.h"
#include "show/report/report_parts.h"

/* The sentences of the sheet; owned. */
typedef struct {
    char *finding, *facts, *made, *economics, *even_so, *caution, *described;
} report_words;

static void free_words(report_words *words) {
    char *const all[] = {words->finding, words->facts,   words->made,     words->economics,
                         words->even_so, words->caution, words->described};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        free(all[i]);
}

static bool find_words(report_words *words, const foci_survey *round, foci_error *err) {
    return (words->finding = foci_words_finding(round, err)) && (words->facts = foci_words_facts(round, err)) &&
           (words->made = foci_words_made(round, err)) && (words->economics = foci_words_economics(round, err)) &&
           (words->even_so = foci_words_even_so(round, err)) && (words->caution = foci_words_caution(round, err)) &&
           (words->described = foci_words_map_described(words->finding, err));
}

static const char *title_of(const foci_survey *round, const report_words *words) {
    return round->title && *round->title ? round->title : words->finding;
}

static void add_head(foci_html *html, const foci_survey *round, const report_words *words) {
    const char *title = title_of(round, words);
    foci_page_begin(html, title, round->paper, "report.css", true);
    foci_html_raw(html, "<header>\n");
    foci_html_element(html, "h1", title);
    foci_html_element(html, "p", words->facts);
    foci_html_raw(html, "</header>\n<main>\n");
    if (strcmp(title, words->finding) != 0)
        foci_html_element(html, "p class=\"first\"", words->finding);
    foci_html_element(html, "p class=\"warning\"", *words->even_so ? words->even_so : words->caution);
    if (*words->economics)
        foci_html_element(html, "p class=\"first\"", words->economics);
}

/* A round that brings no cautions gets the one that stands on every sheet. */
static void add_said(foci_html *html, const foci_survey *round, const report_words *words) {
    char *only[] = {words->caution};
    const foci_sentences standard = {1, only};
    foci_page_said(html, words->even_so, round->cautions.count > 0 ? &round->cautions : &standard, &round->warnings);
}

static void add_page(foci_html *html, const foci_survey *round, const report_words *words) {
    add_head(html, round, words);
    foci_page_section(html, foci_report_the_map);
    foci_report_map(html, round, words->described);
    foci_page_section_end(html);
    add_said(html, round, words);
    foci_page_section(html, foci_report_where);
    foci_report_hotspots(html, round);
    foci_report_zones(html, round);
    foci_page_section_end(html);
    foci_page_section(html, foci_report_where_to_dig);
    foci_report_digs(html, round);
    foci_page_section_end(html);
    foci_page_section(html, foci_report_the_readings);
    foci_report_histogram(html, round);
    foci_report_variogram(html, round);
    foci_report_findings(html, round);
    foci_page_section_end(html);
    foci_page_section(html, foci_report_how_made);
    foci_html_element(html, "p", words->made);
    foci_report_model(html, round);
    foci_report_files(html, round);
    foci_page_section_end(html);
    foci_html_raw(html, "</main>\n");
    foci_page_end(html, true);
}

bool foci_report_write(const foci_survey *round, const char *path, foci_error *err) {
    report_words words = {0};
    foci_html html = {0};
    bool ok = foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) && find_words(&words, round, err);
    if (ok) {
        add_page(&html, round, &words);
        ok = foci_html_finish(&html, err) && foci_deliver_bytes(path, html.text.text, html.text.length, true, err);
    }
    foci_html_free(&html);
    free_words(&words);
    return ok;
}

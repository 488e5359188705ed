/* report.html: one file without scripts, links or fonts from elsewhere. */
#include "show/seasons/seasons_report.h"

#include <stdlib.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "show/draw/small_print.h"
#include "show/seasons/seasons_files.h"
#include "show/seasons/seasons_sheet.h"
#include "show/seasons/seasons_words.h"

static const char head[] = "<!DOCTYPE html>\n"
                           "<html lang=\"en\">\n"
                           "<head>\n"
                           "<meta charset=\"utf-8\" />\n"
                           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\" />\n"
                           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
                           "style-src 'unsafe-inline'\" />\n";

static const char style[] =
    "<style>\n"
    "body { font: 1rem/1.5 sans-serif; color: #1a1a1a; background: #fff; max-width: 72rem; margin: 0 auto; "
    "padding: 1rem; }\n"
    "h1 { font-size: 2rem; line-height: 1.2; margin: 0.5rem 0; }\n"
    "h2 { font-size: 1.35rem; margin: 2rem 0 0.5rem; border-bottom: 2px solid #1a1a1a; }\n"
    "p, li { max-width: 50rem; }\n"
    "figure { margin: 1rem 0; }\n"
    "img { width: 100%; height: auto; border: 1px solid #767676; }\n"
    ".wide { overflow-x: auto; }\n"
    "table { border-collapse: collapse; margin: 0.75rem 0; }\n"
    "caption { text-align: left; font-weight: bold; padding: 0.25rem 0; }\n"
    "th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.75rem 0.25rem 0; "
    "border-bottom: 1px solid #999; }\n"
    "thead th { border-bottom: 2px solid #1a1a1a; }\n"
    "td { overflow-wrap: break-word; }\n"
    ".first { font-size: 1.15rem; }\n"
    ".warning { border-left: 0.4rem solid #1a1a1a; padding-left: 0.75rem; font-weight: bold; }\n"
    "@media print {\n"
    "  body { font-size: 10pt; line-height: 1.35; max-width: none; padding: 0; }\n"
    "  h1 { font-size: 17pt; margin-top: 0; }\n"
    "  h2 { font-size: 13pt; margin-top: 1.25rem; }\n"
    "  p, li { max-width: none; margin-top: 0.4rem; margin-bottom: 0.4rem; }\n"
    "  h2, caption, thead { break-after: avoid; }\n"
    "  figure, table, tr { break-inside: avoid; }\n"
    "  .first { font-size: 11pt; }\n"
    "  img { max-height: 130mm; width: auto; max-width: 100%; }\n"
    "  .wide { overflow: visible; }\n"
    "  table { font-size: 8.5pt; }\n"
    "}\n"
    "</style>\n";

static void add_list(foci_html *html, const char *tag, const foci_sentences *sentences, size_t first) {
    for (size_t i = first; i < sentences->count; i++)
        foci_html_element(html, tag, sentences->items[i]);
}

static void add_section(foci_html *html, const char *title, const foci_seasons *seasons,
                        void (*add)(foci_html *html, const foci_seasons *seasons)) {
    foci_html_raw(html, "<section>\n");
    foci_html_element(html, "h2", title);
    add(html, seasons);
    foci_html_raw(html, "</section>\n");
}

/* In the order of every sheet; how it was made has a section of its own, at the end. */
static void add_said(foci_html *html, const foci_seasons *seasons, const char *even_so) {
    const foci_sentences *const said[FOCI_PRINT_PARTS] = {
        [FOCI_PRINT_CAUTIONS] = &seasons->cautions, [FOCI_PRINT_WARNINGS] = &seasons->warnings};
    for (int part = 0; part < FOCI_PRINT_PARTS; part++) {
        if (part == FOCI_PRINT_EVEN_SO && *even_so)
            foci_html_element(html, "p class=\"warning\"", even_so);
        if (!said[part] || said[part]->count == 0)
            continue;
        foci_html_raw(html, "<section>\n");
        foci_html_element(html, "h2", foci_print_title((foci_print_part)part));
        foci_html_raw(html, "<ul>\n");
        add_list(html, "li", said[part], 0);
        if (part == FOCI_PRINT_CAUTIONS)
            foci_html_raw(html, "<li>This report names no product and no rate: what may be used, and how, is on the "
                                "label.</li>\n");
        foci_html_raw(html, "</ul>\n</section>\n");
    }
}

static void add_method(foci_html *html, const foci_seasons *seasons) {
    foci_html_raw(html, "<p>Method: ");
    foci_html_text(html, seasons->persistence.method ? seasons->persistence.method : "seasons side by side");
    foci_html_raw(html,
                  ".</p>\n"
                  "<p>A place is hot in a season where the true reading there is at or above that season's "
                  "threshold. Always (both, of two): hot in every season. Often: hot in two or more, and in half of "
                  "the seasons or "
                  "in the last one, but not in all. New: hot only in the last season. Gone: hot before, not often, "
                  "and not in the last season. Never (neither, of two): hot in none. A cell takes the class whose "
                  "chance is one half "
                  "or more; where none is, and where a place is smaller than one stop's share of the field, it is "
                  "unsure.</p>\n"
                  "<p>Areas are expected ones: the chance counts everywhere, also outside the hotspots that a season's "
                  "own map outlines, so they differ from the hotspots' area there.</p>\n"
                  "<p>For the classes all seasons are read together: a season's stops also say something of the "
                  "others. The small maps show each season as it is by itself, so they may differ from the "
                  "classes. All small maps have the same colors for the same reading.</p>\n");
}

/* The papers have the names that style sheets know them by. */
static void add_page_size(foci_html *html, const foci_seasons *seasons) {
    const foci_paper *own = seasons->rounds[seasons->count - 1].paper;
    foci_html_raw(html, "<style>@page { size: ");
    foci_html_raw(html, (own ? own : foci_paper_find(NULL))->name);
    foci_html_raw(html, " portrait; margin: 14mm; }</style>\n");
}

static void add_head(foci_html *html, const foci_seasons *seasons, const char *facts) {
    const char *title = foci_words_comparison_title(seasons);
    foci_html_raw(html, head);
    foci_html_element(html, "title", title);
    foci_html_raw(html, style);
    add_page_size(html, seasons);
    foci_html_raw(html, "</head>\n<body>\n<header>\n");
    foci_html_element(html, "h1", title);
    foci_html_element(html, "p", facts);
    foci_html_raw(html, "</header>\n<main>\n<section>\n<h2>What was found</h2>\n");
    const bool titled = seasons->sentences.count > 0 && title != seasons->sentences.items[0];
    add_list(html, "p class=\"first\"", &seasons->sentences, titled ? 0 : 1);
    foci_html_raw(html, "</section>\n");
}

static bool add_sheet(foci_html *html, const foci_seasons *seasons, foci_error *err) {
    const char *shown = foci_words_any_compared(seasons) ? "The sheet for a meeting: a map of the classes, small maps "
                                                           "of the seasons and a table of areas; the tables below say "
                                                           "the same in words and numbers."
                                                         : "The sheet for a meeting: small maps of the seasons, and no "
                                                           "map of classes, because they could not be compared.";
    unsigned char *png = NULL;
    size_t size = 0;
    if (!foci_seasons_sheet_bytes(&png, &size, seasons, err))
        return false;
    foci_html_raw(html, "<figure>\n");
    foci_html_picture(html, png, size, shown);
    foci_html_raw(html, "<figcaption>The sheet for a meeting. It is also in persistence.png and persistence.pdf."
                        "</figcaption>\n</figure>\n");
    free(png);
    return true;
}

static bool add_page(foci_html *html, const foci_seasons *seasons, foci_error *err) {
    char *facts = NULL, *even_so = NULL;
    bool ok = false;
    if (!(facts = foci_words_comparison_facts(seasons, err)) ||
        !(even_so = foci_words_comparison_even_so(seasons, err)))
        goto done;
    add_head(html, seasons, facts);
    add_said(html, seasons, even_so);
    if (!add_sheet(html, seasons, err))
        goto done;
    if (foci_words_any_compared(seasons)) {
        add_section(html, "How much ground", seasons, foci_report_classes);
        add_section(html, "Where", seasons, foci_report_places);
    }
    add_section(html, "Season against season", seasons, foci_report_pairs);
    add_section(html, "The seasons", seasons, foci_report_rounds);
    add_section(html, "Coefficients", seasons, foci_report_likeness);
    add_section(html, "How it was made", seasons, add_method);
    add_section(html, "Where it comes from", seasons, foci_report_provenance);
    foci_html_raw(html, "</main>\n</body>\n</html>\n");
    ok = foci_html_finish(html, err);
done:
    free(facts);
    free(even_so);
    return ok;
}

bool foci_seasons_report(const foci_seasons *seasons, const char *path, foci_error *err) {
    foci_html html = {0};
    const bool ok =
        add_page(&html, seasons, err) && foci_deliver_bytes(path, html.text.text, html.text.length, true, err);
    foci_html_free(&html);
    return ok;
}

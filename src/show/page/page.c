#include "show/page/page.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "decide/words/report_words.h"
#include "data/files/fingerprint.h"
#include "data/files/vector_file.h"
#include "data/places/projection.h"
#include "fieldfoci/page.h"
#include "show/draw/small_print.h"

/* So that the script is well-formed XML too. */
#define SCRIPT_BEGIN "//<![CDATA[\n"
#define SCRIPT_END "\n//]]>"

const char *foci_page_asset_text(const char *name) {
    for (const foci_page_asset *asset = foci_page_assets; asset->name; asset++)
        if (strcmp(asset->name, name) == 0)
            return asset->text;
    return NULL;
}

/* ---- the policy ---- */

/* What stands inside <style> for an asset, and for a paper. */
#define STYLE_FORMAT "\n%s"
#define PAPER_FORMAT "@page { size: %s portrait; }"

/* " 'sha256-...'" of what `format` makes of `words`, as Content Security Policy Level 2 (W3C 2016, section 4.2) has it.
 */
static bool add_digest(foci_text *policy, const char *format, const char *words, foci_error *err) {
    foci_text whole = {0};
    unsigned char bytes[32];
    char hex[65];
    const char *parts = strstr(format, "%s");
    bool ok = foci_text_add(&whole, err, "%.*s%s%s", (int)(parts - format), format, words, parts + 2);
    if (ok) {
        foci_fingerprint_text(hex, whole.text);
        for (size_t i = 0; i < sizeof bytes; i++) {
            unsigned byte = 0;
            (void)!sscanf(hex + 2 * i, "%2x", &byte);
            bytes[i] = (unsigned char)byte;
        }
        ok = foci_text_add(policy, err, " 'sha256-") && foci_text_add_base64(policy, bytes, sizeof bytes, err) &&
             foci_text_add(policy, err, "'");
    }
    foci_text_free(&whole);
    return ok;
}

static bool add_policy(foci_text *policy, foci_error *err) {
    static const char *const styles[] = {"letter.css", "report.css", "viewer.css"};
    bool ok = foci_text_add(policy, err, "default-src 'none'; img-src data:; style-src");
    for (size_t i = 0; ok && i < sizeof styles / sizeof *styles; i++)
        ok = add_digest(policy, STYLE_FORMAT, foci_page_asset_text(styles[i]), err);
    for (const foci_paper *paper = foci_paper_table; ok && paper->name; paper++)
        ok = add_digest(policy, PAPER_FORMAT, paper->name, err);
    return ok && foci_text_add(policy, err, "; style-src-attr 'unsafe-inline'; script-src") &&
           add_digest(policy, SCRIPT_BEGIN "%s" SCRIPT_END, foci_page_asset_text("viewer.js"), err);
}

char *foci_page_policy(foci_error *err) {
    foci_text policy = {0};
    if (add_policy(&policy, err))
        return policy.text;
    foci_text_free(&policy);
    return NULL;
}

/* ---- the page ---- */

static void add_style(foci_html *html, const char *name) {
    foci_html_raw(html, "<style>\n");
    foci_html_raw(html, foci_page_asset_text(name));
    foci_html_raw(html, "</style>\n");
}

void foci_page_begin(foci_html *html, const char *title, const foci_paper *paper, const char *style, bool viewer) {
    char *policy = html->err.status == FOCI_OK ? foci_page_policy(&html->err) : NULL;
    foci_html_raw(html, "<!DOCTYPE html>\n"
                        "<html lang=\"en\">\n"
                        "<head>\n"
                        "<meta charset=\"utf-8\" />\n"
                        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\" />\n"
                        "<meta http-equiv=\"Content-Security-Policy\" content=\"");
    foci_html_raw(html, policy ? policy : "");
    free(policy);
    foci_html_raw(html, "\" />\n");
    foci_html_element(html, "title", title);
    add_style(html, style);
    if (viewer)
        add_style(html, "viewer.css");
    foci_html_raw(html, "<style>@page { size: ");
    foci_html_raw(html, (paper ? paper : foci_paper_find(NULL))->name);
    foci_html_raw(html, " portrait; }</style>\n</head>\n<body>\n");
}

void foci_page_end(foci_html *html, bool viewer) {
    if (viewer) {
        foci_html_raw(html, "<script>" SCRIPT_BEGIN);
        foci_html_raw(html, foci_page_asset_text("viewer.js"));
        foci_html_raw(html, SCRIPT_END "</script>\n");
    }
    foci_html_raw(html, "</body>\n</html>\n");
}

void foci_page_section(foci_html *html, const char *title) {
    foci_html_raw(html, "<section>\n");
    foci_html_element(html, "h2", title);
}

void foci_page_section_end(foci_html *html) {
    foci_html_raw(html, "</section>\n");
}

void foci_page_sentences(foci_html *html, const char *tag, const foci_sentences *sentences, size_t first) {
    for (size_t i = first; i < sentences->count; i++)
        foci_html_element(html, tag, sentences->items[i]);
}

void foci_page_said(foci_html *html, const char *even_so, const foci_sentences *cautions,
                    const foci_sentences *warnings) {
    const foci_sentences *const said[FOCI_PRINT_PARTS] = {
        [FOCI_PRINT_CAUTIONS] = cautions, [FOCI_PRINT_WARNINGS] = warnings};
    for (int part = 0; part < FOCI_PRINT_PARTS; part++) {
        if (part == FOCI_PRINT_EVEN_SO && *even_so)
            foci_html_element(html, "p class=\"warning\"", even_so);
        if (!said[part] || said[part]->count == 0)
            continue;
        foci_page_section(html, foci_print_title((foci_print_part)part));
        foci_html_raw(html, "<ul>\n");
        foci_page_sentences(html, "li", said[part], 0);
        if (part == FOCI_PRINT_CAUTIONS)
            foci_html_element(html, "li", foci_report_names_no_product);
        foci_html_raw(html, "</ul>\n");
        foci_page_section_end(html);
    }
}

void foci_page_job(foci_html *html, const foci_job_words *job) {
    foci_html_element(html, "h3", foci_report_the_job);
    foci_html_raw(html, "<ul class=\"job\">\n");
    for (size_t i = 0; i < job->names.count; i++) {
        foci_html_raw(html, "<li><strong>");
        foci_html_text(html, job->names.items[i]);
        foci_html_raw(html, "</strong> ");
        foci_html_text(html, job->values.items[i]);
        foci_html_raw(html, "</li>\n");
    }
    foci_html_raw(html, "</ul>\n");
}

void foci_page_programs(foci_html *html, const char *made, const char *work_crs, double cell) {
    char line[512];
    snprintf(line, sizeof line, "fieldfoci %s, GDAL %s, PROJ %s. Made %s. Worked in %.120s, cells of %.6g m.",
             FOCI_VERSION, foci_vector_file_version(), foci_projection_version(), made, work_crs, cell);
    foci_html_element(html, "p", line);
}

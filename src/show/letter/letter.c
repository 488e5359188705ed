#include "show/letter/letter.h"

#include <string.h>

#include "base/deliver.h"
#include "fieldfoci/words.h"
#include "show/page/page.h"
#include "decide/words/letter_words.h"
#include "decide/words/fixed_words.h"

#define COLUMNS 76 /* of the text, so that it can be quoted in a mail */

/* ---- as text ---- */

/* Words wrapped; lines after the first begin with `indent`. */
static bool add_wrapped(foci_text *text, const char *first, const char *indent, const char *words, foci_error *err) {
    size_t column = strlen(first);
    bool ok = foci_text_add(text, err, "%s", first), fresh = true;
    while (ok && *words) {
        const size_t length = strcspn(words, " ");
        size_t letters = 0;
        for (size_t i = 0; i < length; i++)
            letters += ((unsigned char)words[i] & 0xC0) != 0x80;
        if (!fresh && column + 1 + letters > COLUMNS) {
            ok = foci_text_add(text, err, "\n%s", indent);
            column = strlen(indent);
            fresh = true;
        }
        ok = ok && foci_text_add(text, err, "%s%.*s", fresh ? "" : " ", (int)length, words);
        column += letters + (fresh ? 0 : 1);
        fresh = false;
        words += length + strspn(words + length, " ");
    }
    return ok && foci_text_add(text, err, "\n");
}

static bool add_part(foci_text *text, const foci_letter *letter, foci_letter_part part, foci_error *err) {
    const foci_sentences *said = &letter->parts[part];
    bool ok = foci_text_add(text, err, "\n%s\n", foci_letter_heading(part));
    for (size_t i = 0; ok && i < said->count; i++)
        ok = add_wrapped(text, "- ", "  ", said->items[i], err);
    return ok;
}

static bool add_letter(foci_text *text, const foci_survey *round, const foci_letter *letter, foci_error *err) {
    char made[FOCI_WORDS_SIZE];
    foci_words_date(made, round->made);
    bool ok = foci_text_add(text, err, "%s\n\n", made) && add_wrapped(text, "", "", letter->about, err) &&
              foci_text_add(text, err, "\n") && add_wrapped(text, "", "", letter->finding, err);
    for (int part = 0; ok && part < FOCI_LETTER_PARTS; part++)
        ok = add_part(text, letter, (foci_letter_part)part, err);
    ok = ok && foci_text_add(text, err, "\n") && add_wrapped(text, "", "", foci_letter_enclosed, err);
    return ok &&
           (!round->letter_from || !*round->letter_from || foci_text_add(text, err, "\n%s\n", round->letter_from));
}

bool foci_letter_write_text(const foci_survey *round, const char *path, foci_error *err) {
    foci_letter letter = {0};
    foci_text text = {0};
    const bool ok = foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) && foci_letter_make(&letter, round, err) &&
                    add_letter(&text, round, &letter, err) &&
                    foci_deliver_bytes(path, text.text, text.length, false, err);
    foci_text_free(&text);
    foci_letter_free(&letter);
    return ok;
}

/* ---- as a page ---- */

static void part_html(foci_html *html, const foci_letter *letter, foci_letter_part part) {
    const foci_sentences *said = &letter->parts[part];
    const bool edited = part == FOCI_LETTER_CAUTIONS;
    foci_html_element(html, "h2", foci_letter_heading(part));
    if (edited)
        foci_html_raw(html, "<div class=\"edit\" contenteditable=\"true\" role=\"textbox\" aria-multiline=\"true\" "
                            "aria-label=\"Cautions, to be edited before printing\">\n");
    foci_html_raw(html, "<ul>\n");
    for (size_t i = 0; i < said->count; i++)
        foci_html_element(html, "li", said->items[i]);
    foci_html_raw(html, "</ul>\n");
    if (edited)
        foci_html_raw(
            html,
            "</div>\n<p class=\"small screen\">These lines can be changed here before the letter is printed.</p>\n");
}

static void letter_html(foci_html *html, const foci_survey *round, const foci_letter *letter) {
    char made[FOCI_WORDS_SIZE];
    foci_words_date(made, round->made);
    foci_page_begin(html, letter->finding, round->paper, "letter.css", false);
    foci_html_raw(html, "<main>\n");
    foci_html_element(html, "p class=\"small\"", made);
    foci_html_element(html, "p", letter->about);
    foci_html_element(html, "h1", letter->finding);
    for (int part = 0; part < FOCI_LETTER_PARTS; part++)
        part_html(html, letter, (foci_letter_part)part);
    foci_html_element(html, "p", foci_letter_enclosed);
    if (round->letter_from && *round->letter_from)
        foci_html_element(html, "p", round->letter_from);
    foci_html_raw(html, "</main>\n");
    foci_page_end(html, false);
}

bool foci_letter_write_html(const foci_survey *round, const char *path, foci_error *err) {
    foci_letter letter = {0};
    foci_html html = {0};
    bool ok = foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) && foci_letter_make(&letter, round, err);
    if (ok) {
        letter_html(&html, round, &letter);
        ok = foci_html_finish(&html, err) && foci_deliver_bytes(path, html.text.text, html.text.length, false, err);
    }
    foci_html_free(&html);
    foci_letter_free(&letter);
    return ok;
}

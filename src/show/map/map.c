#include "fieldfoci/map.h"

#include <stdlib.h>

#include "base/text.h"
#include "show/draw/sheet.h"
#include "show/map/map_body.h"
#include "show/map/map_field_page.h"
#include "decide/words/survey_words.h"
#include "decide/words/sheet_words.h"

#define INK FOCI_SHEET_INK
#define PALE 0x444444
#define MARGIN FOCI_SHEET_MARGIN
#define HIGH 1.15           /* so much higher than wide is a high field */
#define WORTH_STANDING 1.25 /* so much larger must the map then be */
#define BODY_LEAST 560.0    /* height that map and column need at least */

/* The sentences on the sheet; all owned. */
typedef struct {
    char *finding, *facts, *place, *when, *made, *economics, *even_so, *caution;
} sheet_words;

typedef struct {
    const foci_survey *round;
    sheet_words words;
} map_sheet;

static void free_words(sheet_words *words) {
    free(words->finding);
    free(words->facts);
    free(words->place);
    free(words->when);
    free(words->made);
    free(words->economics);
    free(words->even_so);
    free(words->caution);
    *words = (sheet_words){0};
}

static bool find_words(sheet_words *words, const foci_survey *round, foci_error *err) {
    return (words->finding = foci_words_finding(round, err)) && (words->facts = foci_words_facts(round, err)) &&
           (words->place = foci_words_place(round, err)) && (words->when = foci_words_when(round, err)) &&
           (words->made = foci_words_made(round, err)) && (words->economics = foci_words_economics(round, err)) &&
           (words->even_so = foci_words_even_so(round, err)) && (words->caution = foci_words_caution(round, err));
}

/* ---- the head ---- */

/* In two lines; a long name may take more, but when it was and how many stops there were is never cut. */
static double facts_draw(foci_canvas *canvas, double y, const sheet_words *words) {
    foci_lettering facts = {.size = 23, .colour = INK, .width = foci_canvas_width(canvas) - 2 * MARGIN, .lines = 2};
    if (!foci_canvas_cuts(canvas, &facts, words->facts))
        return foci_canvas_text(canvas, MARGIN, y, &facts, words->facts);
    facts.lines = 3;
    const double height = foci_canvas_text(canvas, MARGIN, y, &facts, words->place);
    return height + foci_canvas_text(canvas, MARGIN, y + height, &facts, words->when);
}

static double head_draw(foci_canvas *canvas, const void *what) {
    const foci_survey *round = ((const map_sheet *)what)->round;
    const sheet_words *words = &((const map_sheet *)what)->words;
    const double width = foci_canvas_width(canvas) - 2 * MARGIN;
    const foci_lettering second = {.size = 30, .bold = true, .colour = PALE, .width = width, .lines = 2};
    const bool titled = round->title && *round->title;
    double y = 26;
    y += foci_sheet_headline_draw(canvas, y, titled ? round->title : words->finding) + 2;
    if (titled)
        y += foci_canvas_text(canvas, MARGIN, y, &second, words->finding) + 2;
    y += facts_draw(canvas, y + 2, words) + 12;
    foci_sheet_rule_draw(canvas, y);
    return y + 16;
}

/* Of the second page. */
static double field_head_draw(foci_canvas *canvas, const void *what) {
    const foci_survey *round = ((const map_sheet *)what)->round;
    const sheet_words *words = &((const map_sheet *)what)->words;
    const foci_lettering title = {.size = 33, .bold = true, .heading = true, .colour = INK};
    const foci_lettering place = {
        .size = 23, .colour = INK, .width = foci_canvas_width(canvas) - 2 * MARGIN, .lines = 2};
    double y = 26;
    y += foci_canvas_text(canvas, MARGIN, y, &title, foci_words_take_along(round)) + 4;
    y += foci_canvas_text(canvas, MARGIN, y, &place, words->place) + 12;
    foci_sheet_rule_draw(canvas, y);
    return y + 16;
}

/* A round that brings no cautions gets the one that stands on every sheet. */
static bool gather_print(foci_small_print *print, const foci_survey *round, const sheet_words *words, foci_error *err) {
    return foci_small_print_add(print, FOCI_PRINT_EVEN_SO, words->even_so, err) &&
           foci_small_print_add_all(print, FOCI_PRINT_CAUTIONS, &round->cautions, err) &&
           (round->cautions.count > 0 || foci_small_print_add(print, FOCI_PRINT_CAUTIONS, words->caution, err)) &&
           foci_small_print_add_all(print, FOCI_PRINT_WARNINGS, &round->warnings, err) &&
           foci_small_print_add(print, FOCI_PRINT_MADE, words->economics, err) &&
           foci_small_print_add(print, FOCI_PRINT_MADE, words->made, err);
}

/* ---- the whole ---- */

static bool body_draw(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    return foci_map_body_draw(canvas, ((const map_sheet *)what)->round, frame, err);
}

static bool field_body_draw(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    return foci_map_field_page_draw(canvas, ((const map_sheet *)what)->round, frame, err);
}

static bool scale_of(double *scale, foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    return foci_map_body_scale(scale, canvas, ((const map_sheet *)what)->round, frame, err);
}

/* The paper stands where that makes the map of a high field larger by a good share; nobody shall turn a page for less.
 */
static bool stand_or_lie(foci_sheet *sheet, const foci_survey *round, foci_error *err) {
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    double lying = 0, standing = 0;
    foci_sheet other = *sheet;
    other.upright = true;
    if (box.north - box.south < HIGH * (box.east - box.west))
        return true;
    if (!foci_sheet_weigh(&lying, sheet, scale_of, err) || !foci_sheet_weigh(&standing, &other, scale_of, err))
        return false;
    sheet->upright = standing >= WORTH_STANDING * lying;
    return true;
}

static bool write_sheet(const foci_survey *round, const char *path,
                        bool (*write)(const foci_sheet *sheet, const char *path, foci_error *err), foci_error *err) {
    map_sheet map = {.round = round};
    foci_small_print print = {0}, reminder = {0};
    char *described = NULL;
    bool ok = false;
    if (!find_words(&map.words, round, err) || !gather_print(&print, round, &map.words, err) ||
        !foci_small_print_add(&reminder, FOCI_PRINT_CAUTIONS, map.words.caution, err) ||
        !(described = foci_words_sheet_described(round, map.words.finding, map.words.facts, map.words.made,
                                                 map.words.caution, err)))
        goto done;
    const foci_sheet second = {.title = foci_words_take_along(round),
                               .print = &reminder,
                               .body_least = BODY_LEAST,
                               .head = field_head_draw,
                               .body = field_body_draw,
                               .what = &map};
    foci_sheet sheet = {.title = round->title && *round->title ? round->title : map.words.finding,
                        .description = described,
                        .made = round->made,
                        .paper = round->paper,
                        .print = &print,
                        .body_least = BODY_LEAST,
                        .head = head_draw,
                        .body = body_draw,
                        .what = &map,
                        .next = foci_map_field_page_applies(round) ? &second : NULL};
    ok = stand_or_lie(&sheet, round, err) && write(&sheet, path, err);
done:
    free(described);
    foci_small_print_free(&reminder);
    foci_small_print_free(&print);
    free_words(&map.words);
    return ok;
}

bool foci_map_write_png(const foci_survey *round, const char *path, foci_error *err) {
    return foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) && write_sheet(round, path, foci_sheet_write_png, err);
}

bool foci_map_write_pdf(const foci_survey *round, const char *path, foci_error *err) {
    return foci_survey_is_at(round, FOCI_STAGE_DECIDED, err) && write_sheet(round, path, foci_sheet_write_pdf, err);
}

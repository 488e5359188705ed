#include "show/seasons/seasons_sheet.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/words/seasons_report_words.h"
#include "show/draw/sheet.h"
#include "show/seasons/seasons_maps.h"

#define WIDTH FOCI_SHEET_WIDTH
#define MARGIN FOCI_SHEET_MARGIN
#define SIDE 600.0  /* width of the column beside the map of classes */
#define GUTTER 40.0 /* between columns */
#define BAND 300.0  /* height of the small maps where they stand above */
#define TABLE 480.0 /* about the height of the table, for comparing layouts */
#define REASONS 130.0
#define BODY_LEAST 560.0

enum { PAIRS_ABOVE = 3 }; /* verdicts that are shown where the small maps do not need the room */

/* The sentences on the sheet; all owned. */
typedef struct {
    char *facts, *made, *even_so, *caution;
} sheet_words;

typedef struct {
    const foci_seasons *seasons;
    sheet_words words;
} seasons_sheet;

static void free_words(sheet_words *words) {
    free(words->facts);
    free(words->made);
    free(words->even_so);
    free(words->caution);
    *words = (sheet_words){0};
}

static bool find_words(sheet_words *words, const foci_seasons *seasons, foci_error *err) {
    return (words->facts = foci_words_comparison_facts(seasons, err)) &&
           (words->made = foci_words_comparison_made(seasons, err)) &&
           (words->even_so = foci_words_comparison_even_so(seasons, err)) &&
           (words->caution = foci_words_comparison_caution(seasons, err));
}

static double head_draw(foci_canvas *canvas, const void *what) {
    const foci_seasons *seasons = ((const seasons_sheet *)what)->seasons;
    const sheet_words *words = &((const seasons_sheet *)what)->words;
    const double width = WIDTH - 2 * MARGIN;
    const foci_lettering second = {.size = 28, .bold = true, .colour = 0x444444, .width = width, .lines = 2};
    const foci_lettering facts = {.size = 23, .colour = FOCI_SHEET_INK, .width = width, .lines = 4};
    const char *title = foci_words_comparison_title(seasons);
    double y = 26;
    y += foci_sheet_headline_draw(canvas, y, title) + 2;
    if (seasons->sentences.count > 0 && title != seasons->sentences.items[0])
        y += foci_canvas_text(canvas, MARGIN, y, &second, seasons->sentences.items[0]) + 2;
    y += foci_canvas_text(canvas, MARGIN, y + 2, &facts, words->facts) + 12;
    foci_sheet_rule_draw(canvas, y);
    return y + 14;
}

/* The sentences of what was found stand in the table, beside the map and in the report. */
static bool gather_print(foci_small_print *print, const foci_seasons *seasons, const sheet_words *words,
                         foci_error *err) {
    return foci_small_print_add(print, FOCI_PRINT_EVEN_SO, words->even_so, err) &&
           foci_small_print_add_all(print, FOCI_PRINT_CAUTIONS, &seasons->cautions, err) &&
           (seasons->cautions.count > 0 || foci_small_print_add(print, FOCI_PRINT_CAUTIONS, words->caution, err)) &&
           foci_small_print_add_all(print, FOCI_PRINT_WARNINGS, &seasons->warnings, err) &&
           foci_small_print_add(print, FOCI_PRINT_MADE, words->made, err);
}

/* Why there is no map of classes. */
static bool reasons_draw(foci_canvas *canvas, const foci_seasons *seasons, foci_box frame, foci_error *err) {
    const foci_lettering plain = {.size = 26, .colour = FOCI_SHEET_INK, .width = frame.east - frame.west, .lines = 2};
    double y = frame.north;
    for (size_t i = 0; i < seasons->persistence.pair_count && y < frame.south - 70; i++) {
        const foci_season_pair *pair = &seasons->persistence.pairs[i];
        char *verdict = foci_words_verdict(seasons, pair, err);
        char *overlap = verdict ? foci_words_overlap(seasons, pair, err) : NULL;
        char *line = overlap ? foci_format_text(err, "%s. %s", verdict, overlap) : NULL;
        if (line)
            y += foci_canvas_text(canvas, frame.west, y, &plain, line) + 4;
        free(verdict);
        free(overlap);
        free(line);
        if (!line)
            return false;
    }
    return true;
}

static bool no_classes_draw(foci_canvas *canvas, const foci_seasons *seasons, foci_box frame, foci_error *err) {
    foci_box maps = frame, below = frame;
    double height = 0;
    maps.south -= REASONS;
    if (!foci_seasons_small_maps_draw(&height, canvas, seasons, maps, err))
        return false;
    below.north += height + 14;
    return reasons_draw(canvas, seasons, below, err);
}

/* The scale of the map of classes in a room of this size. */
static double large_scale(const foci_seasons *seasons, double width, double height) {
    const foci_map_view view = foci_map_view_fit(&seasons->rounds[0].field.shape, foci_seasons_turn(seasons), 0, 0,
                                                 width, height - FOCI_CLASS_MAP_UNDER, 8);
    return view.scale;
}

/* Whether the small maps stand above the large one rather than beside it, under the table: where both gain more. */
static bool stand_above(const foci_seasons *seasons, foci_box frame) {
    const double width = frame.east - frame.west, height = frame.south - frame.north;
    const double beside = foci_seasons_small_maps_scale(seasons, SIDE, height - TABLE) *
                          large_scale(seasons, width - SIDE - GUTTER, height);
    const double above = foci_seasons_small_maps_scale(seasons, width, BAND) *
                         large_scale(seasons, width - SIDE - GUTTER, height - BAND);
    return above > beside;
}

static bool classes_draw(foci_canvas *canvas, const foci_seasons *seasons, foci_box frame, foci_error *err) {
    const bool above = stand_above(seasons, frame);
    foci_box left = frame, right = frame;
    double height = 0;
    if (above) {
        foci_box band = frame;
        band.south = frame.north + BAND;
        if (!foci_seasons_small_maps_draw(&height, canvas, seasons, band, err))
            return false;
        left.north = right.north = frame.north + height + 6;
    }
    left.east = frame.east - SIDE - GUTTER;
    right.west = frame.east - SIDE;
    if (!foci_seasons_class_map_draw(canvas, seasons, left, err) ||
        !foci_seasons_table_draw(&height, canvas, seasons, above ? PAIRS_ABOVE : 1, right, err))
        return false;
    right.north += height + 14;
    return above || foci_seasons_small_maps_draw(&height, canvas, seasons, right, err);
}

static bool body_draw(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    const foci_seasons *seasons = ((const seasons_sheet *)what)->seasons;
    return foci_words_any_compared(seasons) ? classes_draw(canvas, seasons, frame, err)
                                            : no_classes_draw(canvas, seasons, frame, err);
}

/* What a sheet borrows from; all owned. */
typedef struct {
    seasons_sheet made;
    foci_small_print print;
    char *described;
} sheet_parts;

static void free_parts(sheet_parts *parts) {
    free(parts->described);
    foci_small_print_free(&parts->print);
    free_words(&parts->made.words);
}

static bool make_sheet(foci_sheet *sheet, sheet_parts *parts, const foci_seasons *seasons, foci_error *err) {
    const char *title = foci_words_comparison_title(seasons);
    const sheet_words *words = &parts->made.words;
    parts->made.seasons = seasons;
    if (!find_words(&parts->made.words, seasons, err) || !gather_print(&parts->print, seasons, words, err) ||
        !(parts->described = foci_words_seasons_described(seasons, words->facts, words->made, words->caution, err)))
        return false;
    *sheet = (foci_sheet){.title = title,
                          .description = parts->described,
                          .made = seasons->made,
                          .paper = seasons->rounds[seasons->count - 1].paper, /* the newest's */
                          .print = &parts->print,
                          .body_least = BODY_LEAST,
                          .head = head_draw,
                          .body = body_draw,
                          .what = &parts->made};
    return true;
}

static bool write_sheet(const foci_seasons *seasons, const char *path,
                        bool (*write)(const foci_sheet *sheet, const char *path, foci_error *err), foci_error *err) {
    foci_sheet sheet = {0};
    sheet_parts parts = {0};
    const bool ok = make_sheet(&sheet, &parts, seasons, err) && write(&sheet, path, err);
    free_parts(&parts);
    return ok;
}

bool foci_seasons_sheet_png(const foci_seasons *seasons, const char *path, foci_error *err) {
    return write_sheet(seasons, path, foci_sheet_write_png, err);
}

bool foci_seasons_sheet_pdf(const foci_seasons *seasons, const char *path, foci_error *err) {
    return write_sheet(seasons, path, foci_sheet_write_pdf, err);
}

bool foci_seasons_sheet_bytes(unsigned char **out, size_t *size, const foci_seasons *seasons, foci_error *err) {
    foci_sheet sheet = {0};
    sheet_parts parts = {0};
    const bool ok = make_sheet(&sheet, &parts, seasons, err) && foci_sheet_png_bytes(out, size, &sheet, err);
    free_parts(&parts);
    return ok;
}

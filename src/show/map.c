#include "fieldfoci/map.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/projection.h"
#include "show/map_field.h"
#include "show/map_side.h"
#include "show/map_symbols.h"
#include "show/map_words.h"
#include "show/png_file.h"

#define INK 0x1A1A1A
#define PALE 0x444444
#define WIDTH 1600
#define HEIGHT 1236
#define DOTS_PER_METRE 5727 /* 1600 dots on 11 inches */
#define MARGIN 40.0
#define SIDE 480.0       /* width of the column beside the map */
#define SIDE_LEAST 768.0 /* height that column needs */
#define GUTTER 40.0      /* between columns */
#define UNDER 116.0      /* height of the strip below the map: key of the stops, scale, north */
#define PRINT_MOST 232.0
#define PRINT_SIZE 17.0
#define FIRST_CAUTIONS 5 /* these come before more warnings */
#define PARAGRAPHS_MOST 24

/* The sentences on the sheet; all owned. */
typedef struct {
    char *finding, *facts, *made, *even_so, *caution;
} sheet_words;

static void free_words(sheet_words *words) {
    free(words->finding);
    free(words->facts);
    free(words->made);
    free(words->even_so);
    free(words->caution);
    *words = (sheet_words){0};
}

static bool find_words(sheet_words *words, const foci_round *round, foci_error *err) {
    return (words->finding = foci_words_finding(round, err)) && (words->facts = foci_words_facts(round, err)) &&
           (words->made = foci_words_made(round, err)) && (words->even_so = foci_words_even_so(round, err)) &&
           (words->caution = foci_words_caution(round, err));
}

/* ---- the head ---- */

/* In the largest of three sizes that needs no more than two lines, and those about equally long. Returns its height. */
static double headline_draw(foci_canvas *canvas, double y, const char *text) {
    static const double sizes[] = {46, 39, 33};
    foci_lettering bold = {.bold = true, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        bold.size = sizes[i];
        if (!foci_canvas_cuts(canvas, &bold, text))
            break;
    }
    const foci_lettering one = {.size = bold.size, .bold = true};
    while (foci_canvas_measure(canvas, &one, text).x > bold.width && bold.width > WIDTH / 2.0) {
        foci_lettering narrower = bold;
        narrower.width -= 20;
        if (foci_canvas_cuts(canvas, &narrower, text))
            break;
        bold = narrower;
    }
    return foci_canvas_text(canvas, MARGIN, y, &bold, text);
}

static double head_draw(foci_canvas *canvas, const foci_round *round, const sheet_words *words) {
    const double width = WIDTH - 2 * MARGIN;
    const foci_lettering second = {.size = 30, .bold = true, .colour = PALE, .width = width, .lines = 2};
    const foci_lettering facts = {.size = 23, .colour = INK, .width = width, .lines = 2};
    const bool titled = round->title && *round->title;
    double y = 26;
    y += headline_draw(canvas, y, titled ? round->title : words->finding) + 2;
    if (titled)
        y += foci_canvas_text(canvas, MARGIN, y, &second, words->finding) + 2;
    y += foci_canvas_text(canvas, MARGIN, y + 2, &facts, words->facts) + 12;
    const foci_point rule[] = {{MARGIN, y}, {WIDTH - MARGIN, y}};
    foci_canvas_line(canvas, rule, 2, false);
    foci_canvas_stroke(canvas, INK, 2.5);
    return y + 16;
}

/* ---- the small print ---- */

typedef struct {
    const char *text;
    foci_lettering lettering;
    double height;
} paragraph;

typedef struct {
    size_t count;
    paragraph items[PARAGRAPHS_MOST];
} small_print;

static void add_paragraph(small_print *print, foci_canvas *canvas, const char *text, double size, bool bold) {
    if (print->count == PARAGRAPHS_MOST || !*text)
        return;
    paragraph *item = &print->items[print->count++];
    item->text = text;
    item->lettering =
        (foci_lettering){.size = size, .bold = bold, .colour = INK, .width = (WIDTH - 2 * MARGIN - GUTTER) / 2};
    item->height = foci_canvas_measure(canvas, &item->lettering, text).y + 5;
}

static void add_sentences(small_print *print, foci_canvas *canvas, const foci_sentences *sentences, size_t first,
                          size_t most, bool bold) {
    for (size_t i = first; i < sentences->count && i < first + most; i++)
        add_paragraph(print, canvas, sentences->items[i], PRINT_SIZE, bold);
}

/* What must be known before anyone acts comes first, what can be spared last. */
static void gather_print(small_print *print, foci_canvas *canvas, const foci_round *round, const sheet_words *words) {
    const bool own = round->cautions.count == 0;
    add_paragraph(print, canvas, own ? words->caution : round->cautions.items[0], 20, true);
    add_paragraph(print, canvas, words->even_so, PRINT_SIZE, true);
    add_sentences(print, canvas, &round->warnings, 0, 1, true);
    add_paragraph(print, canvas, words->made, PRINT_SIZE, false);
    add_sentences(print, canvas, &round->cautions, 1, FIRST_CAUTIONS - 1, false);
    add_sentences(print, canvas, &round->warnings, 1, 2, true);
    add_sentences(print, canvas, &round->cautions, FIRST_CAUTIONS, PARAGRAPHS_MOST, false);
}

/* How many paragraphs stand in the left column: as many as make both alike, but no more than fit. The greater height
 * through `height`. */
static size_t split_print(double *height, const small_print *print, double most) {
    double all = 0, left = 0;
    size_t best = 0;
    for (size_t i = 0; i < print->count; i++)
        all += print->items[i].height;
    *height = all;
    for (size_t i = 0; i < print->count; i++) {
        left += print->items[i].height;
        if (left > most || fmax(left, all - left) >= *height)
            continue;
        *height = fmax(left, all - left);
        best = i + 1;
    }
    return best;
}

/* What does not fit is cut with an ellipsis: survey.json holds it all. */
static void column_draw(foci_canvas *canvas, const small_print *print, size_t first, size_t end, double x, double y) {
    const double bottom = HEIGHT - 22;
    for (size_t i = first; i < end; i++) {
        foci_lettering lettering = print->items[i].lettering;
        const double line = foci_canvas_measure(canvas, &(foci_lettering){.size = lettering.size}, "A").y;
        lettering.lines = (int)((bottom - y) / line);
        if (lettering.lines < 1)
            return;
        y += foci_canvas_text(canvas, x, y, &lettering, print->items[i].text) + 5;
    }
}

/* Not higher than `most`. Returns its top. */
static double print_draw(foci_canvas *canvas, const foci_round *round, const sheet_words *words, double most) {
    small_print print = {0};
    double height = 0;
    gather_print(&print, canvas, round, words);
    const size_t split = split_print(&height, &print, most);
    const double top = HEIGHT - 22 - fmin(height, most);
    const foci_point rule[] = {{MARGIN, top - 10}, {WIDTH - MARGIN, top - 10}};
    foci_canvas_line(canvas, rule, 2, false);
    foci_canvas_stroke(canvas, INK, 2.5);
    column_draw(canvas, &print, 0, split, MARGIN, top);
    column_draw(canvas, &print, split, print.count, MARGIN + (WIDTH - 2 * MARGIN + GUTTER) / 2, top);
    return top - 10;
}

/* ---- the map ---- */

static bool field_draw(foci_canvas *canvas, const foci_round *round, const double *edges, foci_box frame,
                       foci_error *err) {
    const double width = frame.east - frame.west;
    const foci_map_view view =
        foci_map_view_fit(&round->field.shape, frame.west, frame.north, width, frame.south - frame.north - UNDER, 8);
    const foci_box map = {frame.west, frame.south - UNDER, frame.east, frame.north};
    double turn = 0;
    if (!foci_meridian_convergence(&turn, round->field.work_crs, round->field.centre, err))
        return false;
    if (!foci_map_field_draw(canvas, &view, round, &foci_map_legends[FOCI_LEGEND_SEVERITY], edges, err) ||
        !foci_map_hotspots_draw(canvas, &view, round, FOCI_HOTSPOT_LINE, err))
        return false;
    foci_map_stops_draw(canvas, &view, round, edges, map);
    if (!foci_map_numbers_draw(canvas, &view, round, map, err))
        return false;
    foci_map_key_draw(canvas, frame.west, map.south + 10, width, round, edges);
    foci_map_scale_draw(canvas, frame.west, frame.south - 46, 300, view.scale);
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 20}, 20, -turn);
    return true;
}

static bool sheet_draw(foci_canvas *canvas, const foci_round *round, const sheet_words *words, foci_error *err) {
    double edges[FOCI_LEGEND_MOST];
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, round);
    const double top = head_draw(canvas, round, words);
    const double most = fmin(PRINT_MOST, HEIGHT - 46 - top - SIDE_LEAST);
    const double bottom = print_draw(canvas, round, words, most) - 14;
    const foci_box map = {MARGIN, bottom, WIDTH - MARGIN - SIDE - GUTTER, top};
    const foci_box side = {WIDTH - MARGIN - SIDE, bottom, WIDTH - MARGIN, top};
    return field_draw(canvas, round, edges, map, err) && foci_map_side_draw(canvas, round, edges, side, err);
}

bool foci_map_write_png(const foci_round *round, const char *path, foci_error *err) {
    foci_canvas *canvas = NULL;
    sheet_words words = {0};
    foci_text described = {0};
    unsigned char *rgb = NULL;
    bool ok = false;
    if (!find_words(&words, round, err) || !foci_canvas_open(&canvas, WIDTH, HEIGHT, err) ||
        !sheet_draw(canvas, round, &words, err) || !foci_canvas_rgb(&rgb, canvas, err) ||
        !foci_text_add(&described, err, "Map of disease severity. %s. %s. %s %s", words.finding, words.facts,
                       words.made, words.caution))
        goto done;
    const foci_png_text texts[] = {{"Title", round->title && *round->title ? round->title : words.finding},
                                   {"Description", described.text},
                                   {"Software", "fieldfoci " FOCI_VERSION},
                                   {"Creation Time", round->made},
                                   {0}};
    ok = foci_png_write(path, rgb, WIDTH, HEIGHT, DOTS_PER_METRE, texts, err);
done:
    free(rgb);
    foci_text_free(&described);
    free_words(&words);
    foci_canvas_close(canvas);
    return ok;
}

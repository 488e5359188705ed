#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/words/seasons_report_words.h"
#include "show/draw/sheet.h"
#include "show/seasons/seasons_looks.h"
#include "show/seasons/seasons_maps.h"

#define INK FOCI_SHEET_INK
#define SWATCH 52.0

static void rule_draw(foci_canvas *canvas, foci_box frame, double y) {
    const foci_point ends[] = {{frame.west, y}, {frame.east, y}};
    foci_canvas_line(canvas, ends, 2, false);
    foci_canvas_stroke(canvas, INK, 1.5);
}

/* A small area in the look of a class. */
static bool swatch_draw(foci_canvas *canvas, const foci_class_look *look, double x, double y, double height,
                        foci_error *err) {
    const int density = foci_canvas_density(canvas), width = (int)SWATCH * density, rows = (int)height * density;
    const double left = floor(x), top = floor(y);
    uint32_t *dots = foci_new_array((size_t)width * (size_t)rows, sizeof *dots, err);
    if (!dots)
        return false;
    for (int i = 0; i < width * rows; i++) {
        const int column = i % width, row = i / width;
        dots[i] = foci_class_look_at(look, left + (column + 0.5) / density, top + (row + 0.5) / density);
    }
    foci_canvas_image(canvas, dots, width, rows, (int)left, (int)top);
    foci_canvas_rectangle(canvas, left, top, SWATCH, floor(height));
    foci_canvas_stroke(canvas, INK, 1.5);
    free(dots);
    return true;
}

/* Columns end at these. */
typedef struct {
    double first, second;
    foci_measures measures; /* of the first */
} columns;

static double head_draw(foci_canvas *canvas, foci_box frame, const columns *at) {
    const foci_lettering bold = {.size = 25, .bold = true, .colour = INK};
    const foci_lettering right = {.size = 21, .bold = true, .colour = INK, .align = FOCI_ALIGN_RIGHT};
    const double height = foci_canvas_text(canvas, frame.west, frame.north, &bold, foci_seasons_was_it_hot);
    char about[FOCI_WORDS_SIZE];
    foci_words_about_unit(about, at->measures);
    foci_canvas_text(canvas, at->first, frame.north + 4, &right, about);
    foci_words_about_unit(about, foci_words_other(at->measures));
    foci_canvas_text(canvas, at->second, frame.north + 4, &right, about);
    rule_draw(canvas, frame, frame.north + height + 3);
    return height + 9;
}

/* The unsure ground has an area on the map and no expectation. */
static void row_number(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_class code,
                       foci_measures measure) {
    if (code == FOCI_CLASS_UNSURE)
        foci_words_unsure_on_map(text, seasons, measure);
    else
        foci_words_expected(text, &seasons->persistence.classes[code], measure);
}

/* NaN where memory is out. */
static double row_draw(foci_canvas *canvas, const foci_seasons *seasons, const foci_class_look *look, foci_box frame,
                       double y, const columns *at, foci_error *err) {
    const foci_lettering bold = {.size = 23, .bold = true, .colour = INK};
    const foci_lettering right = {.size = 21, .colour = INK, .align = FOCI_ALIGN_RIGHT};
    const foci_lettering small = {
        .size = 18, .colour = INK, .width = frame.east - frame.west - SWATCH - 14, .lines = 1};
    char first[FOCI_WORDS_SIZE], second[FOCI_WORDS_SIZE], meaning[2 * FOCI_WORDS_SIZE];
    row_number(first, seasons, look->code, at->measures);
    row_number(second, seasons, look->code, foci_words_other(at->measures));
    foci_words_meaning(meaning, seasons, look->code);
    const double left = frame.west + SWATCH + 14;
    double height = foci_canvas_text(canvas, left, y - 2, &bold, foci_seasons_class_word(seasons, look->code));
    foci_canvas_text(canvas, at->first, y, &right, first);
    foci_canvas_text(canvas, at->second, y, &right, second);
    height += foci_canvas_text(canvas, left, y + height - 4, &small, meaning) - 2;
    return swatch_draw(canvas, look, frame.west, y + 1, height - 4, err) ? height + 5 : NAN;
}

/* The verdict of a pair, and what both seasons share beside what chance would give. Returns the height, NaN where
 * memory is out; nothing is drawn, and 0 comes back, where there is no room. */
static double pair_draw(foci_canvas *canvas, const foci_seasons *seasons, const foci_season_pair *pair, foci_box frame,
                        double y, foci_error *err) {
    const double width = frame.east - frame.west;
    const foci_lettering bold = {.size = 20, .bold = true, .colour = INK, .width = width, .lines = 2};
    const foci_lettering plain = {.size = 19, .colour = INK, .width = width, .lines = 3};
    char *verdict = NULL, *overlap = NULL;
    double height = NAN;
    if (!(verdict = foci_words_verdict(seasons, pair, err)) || !(overlap = foci_words_overlap(seasons, pair, err)))
        goto done;
    const double first = foci_canvas_measure(canvas, &bold, verdict).y;
    const double second = foci_canvas_measure(canvas, &plain, overlap).y;
    height = y + first + second > frame.south ? 0 : first + second + 6;
    if (height > 0) {
        foci_canvas_text(canvas, frame.west, y, &bold, verdict);
        foci_canvas_text(canvas, frame.west, y + first, &plain, overlap);
    }
done:
    free(verdict);
    free(overlap);
    return height;
}

bool foci_seasons_table_draw(double *height, foci_canvas *canvas, const foci_seasons *seasons, size_t pairs,
                             foci_box frame, foci_error *err) {
    const foci_lettering small = {.size = 17, .colour = INK, .width = frame.east - frame.west, .lines = 4};
    const columns at = {frame.east - 218, frame.east, foci_words_comparison_measures(seasons)};
    double y = frame.north + head_draw(canvas, frame, &at);
    for (size_t i = 0; i < FOCI_CLASS_END; i++) {
        if (!foci_words_class_can_be(seasons, foci_class_looks[i].code))
            continue;
        const double row = row_draw(canvas, seasons, &foci_class_looks[i], frame, y, &at, err);
        if (isnan(row))
            return false;
        y += row;
    }
    rule_draw(canvas, frame, y);
    y += 5;
    y += foci_canvas_text(canvas, frame.west, y, &small, foci_seasons_brackets) + 7;
    const foci_season_pair *pair = NULL;
    for (size_t back = 0; back < pairs && (pair = foci_words_pair_before(seasons, back)); back++) {
        const double taken = pair_draw(canvas, seasons, pair, frame, y, err);
        if (isnan(taken))
            return false;
        y += taken;
    }
    *height = y - frame.north;
    return true;
}

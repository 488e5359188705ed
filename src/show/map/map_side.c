#include "show/map/map_side.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "show/map/map_symbols.h"
#include "decide/words/survey_words.h"
#include "decide/words/report_words.h"
#include "decide/words/sheet_words.h"

#define INK 0x1A1A1A
#define PALE 0x555555
#define KEY_WIDTH FOCI_CHANCE_KEY_WIDTH
#define BLOB 48 /* corners of the outline that stands for a hotspot */

typedef struct {
    double row, swatch, text; /* height of a class, width of its colour, size of its letters */
} legend_size;

static double heading_draw(foci_canvas *canvas, foci_box frame, double y, double scale, const char *text) {
    const foci_lettering bold = {
        .size = 25 * scale, .bold = true, .colour = INK, .width = frame.east - frame.west, .lines = 2};
    return foci_canvas_text(canvas, frame.west, y, &bold, text) + 6 * scale;
}

/* A break that has a name: a thin arrow up along the colors from it on, and the words. Nothing like the outline of a
 * hotspot. Returns its height. */
static double mark_draw(foci_canvas *canvas, double x, double y, const legend_size *size, const char *words) {
    const foci_lettering bold = {.size = size->text, .bold = true, .colour = INK};
    const double height = size->row * 0.86, middle = y + height / 2, right = x + size->swatch, tip = size->row * 0.3;
    foci_canvas_line(canvas, (const foci_point[]){{x, middle}, {right, middle}}, 2, false);
    foci_canvas_stroke(canvas, INK, 1.5);
    for (int i = 0; i < 3; i++) {
        const double at = x + size->swatch * (i + 0.5) / 3;
        foci_canvas_line(canvas, (const foci_point[]){{at - tip / 2, middle}, {at, y + 1}, {at + tip / 2, middle}}, 3,
                         true);
        foci_canvas_fill(canvas, INK);
    }
    const double letters = foci_canvas_measure(canvas, &bold, words).y;
    foci_canvas_text(canvas, right + 14, middle - letters / 2, &bold, words);
    return height;
}

/* The classes from much, on top, to little. Returns the height. */
static double classes_draw(foci_canvas *canvas, double x, double y, const legend_size *size,
                           const foci_map_legend *legend, const foci_survey *round, const double *edges) {
    const foci_lettering plain = {.size = size->text, .colour = INK};
    const double top = y;
    char words[2 * FOCI_WORDS_SIZE];
    for (size_t i = legend->classes; i-- > 0;) {
        foci_canvas_rectangle(canvas, x, y, size->swatch, size->row);
        foci_canvas_fill(canvas, legend->colours[i]);
        foci_canvas_rectangle(canvas, x, y, size->swatch, size->row);
        foci_canvas_stroke(canvas, INK, 1.5);
        foci_map_legend_label(words, sizeof words, legend, round, edges, i);
        const double letters = foci_canvas_measure(canvas, &plain, words).y;
        foci_canvas_text(canvas, x + size->swatch + 14, y + (size->row - letters) / 2, &plain, words);
        y += size->row;
        if (i > 0 && legend->mark(words, sizeof words, round, edges[i - 1]))
            y += mark_draw(canvas, x, y, size, words);
    }
    return y - top;
}

/* All readings are equal: the one colour there is, and where the threshold lies. Returns the height. */
static double even_draw(foci_canvas *canvas, double x, double y, const legend_size *size, const foci_survey *round,
                        const double *edges) {
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const double value = foci_map_even(round, legend);
    const foci_lettering plain = {.size = size->text, .colour = INK}, bold = {.size = size->text, .bold = true};
    char words[2 * FOCI_WORDS_SIZE];
    foci_canvas_rectangle(canvas, x, y, size->swatch, size->row);
    foci_canvas_fill(canvas, legend->colours[foci_map_legend_class(legend, edges, value)]);
    foci_canvas_rectangle(canvas, x, y, size->swatch, size->row);
    foci_canvas_stroke(canvas, INK, 1.5);
    foci_words_at_every_stop(words, round, value);
    const double letters = foci_canvas_measure(canvas, &plain, words).y;
    foci_canvas_text(canvas, x + size->swatch + 14, y + (size->row - letters) / 2, &plain, words);
    if (isnan(round->threshold))
        return size->row;
    foci_words_threshold(words, sizeof words, round);
    return size->row + foci_canvas_text(canvas, x, y + size->row + 4, &bold, words) + 4;
}

/* A small hotspot: its round outline and its number. Returns the height. */
static double hotspot_key_draw(foci_canvas *canvas, double x, double y, const legend_size *size,
                               const foci_survey *round) {
    const char *const words = foci_sheet_hotspot_key;
    const foci_lettering plain = {.size = size->text, .colour = INK};
    const foci_point middle = {x + size->swatch * 0.38, y + size->row / 2 + 6};
    foci_point outline[BLOB];
    if (round->hotspots.count == 0)
        return 0;
    for (int i = 0; i < BLOB; i++) {
        const double turn = 2 * M_PI * i / BLOB;
        outline[i] = (foci_point){middle.x + size->swatch * 0.36 * cos(turn), middle.y + size->row / 2 * sin(turn)};
    }
    const foci_map_label number = {
        .number = 1, .shown = true, .middle = {x + size->swatch * 0.84, middle.y}, .width = size->row * 0.76};
    foci_canvas_line(canvas, outline, BLOB, true);
    foci_canvas_fill(canvas, foci_map_legends[FOCI_LEGEND_SEVERITY].colours[3]);
    foci_canvas_line(canvas, outline, BLOB, true);
    foci_canvas_stroke(canvas, INK, FOCI_HOTSPOT_LINE * 0.75);
    foci_map_numbers_draw(canvas, &number, 1);
    const double letters = foci_canvas_measure(canvas, &plain, words).y;
    foci_canvas_text(canvas, x + size->swatch + 14, middle.y - letters / 2, &plain, words);
    return size->row + 14;
}

static void mesh_draw(foci_canvas *canvas, double x, double y, double width, double height) {
    const double reach = width + height;
    foci_canvas_rectangle(canvas, x, y, width, height);
    foci_canvas_clip(canvas);
    const int lines = (int)ceil(reach / (FOCI_MESH * M_SQRT2));
    for (int i = 0; i < lines; i++) {
        const double at = FOCI_MESH * M_SQRT2 * i - height;
        foci_canvas_line(canvas, (const foci_point[]){{x + at, y}, {x + at + reach, y + reach}}, 2, false);
        foci_canvas_line(canvas, (const foci_point[]){{x + at, y + height}, {x + at + reach, y + height - reach}}, 2,
                         false);
    }
    foci_canvas_stroke_on_white(canvas, INK, FOCI_MESH_LINE, 0);
    foci_canvas_unclip(canvas);
    foci_canvas_rectangle(canvas, x, y, width, height);
    foci_canvas_stroke(canvas, INK, 1.5);
}

/* What the hatching says. Returns the height. */
static double mesh_key_draw(foci_canvas *canvas, double x, double y, const legend_size *size, double width,
                            const foci_survey *round) {
    const char *words = foci_words_unspoken(round);
    const foci_lettering plain = {.size = size->text, .colour = INK, .width = width - size->swatch - 14};
    if (!words)
        return 0;
    const double letters = foci_canvas_measure(canvas, &plain, words).y;
    mesh_draw(canvas, x, y + 4, size->swatch, size->row);
    foci_canvas_text(canvas, x + size->swatch + 14, y + 4 + fmax(0, (size->row - letters) / 2), &plain, words);
    return fmax(letters, size->row) + 10;
}

/* Where no surface is drawn: what the stops' readings say together. */
static double readings_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double y, double scale) {
    const foci_lettering plain = {.size = 24 * scale, .colour = INK, .width = frame.east - frame.west, .lines = 2};
    char words[4 * FOCI_WORDS_SIZE];
    double height = 0;
    foci_words_average(words, round);
    height += foci_canvas_text(canvas, frame.west, y, &plain, words) + 4;
    foci_words_range_read(words, round);
    height += foci_canvas_text(canvas, frame.west, y + height, &plain, words) + 4;
    return height + 8;
}

double foci_map_severity_key_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, foci_box frame,
                                  double scale) {
    const legend_size size = {31 * scale, 60 * scale, 22 * scale};
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const foci_lettering unit = {.size = 20 * scale, .colour = INK, .width = frame.east - frame.west, .lines = 2};
    double y = frame.north + heading_draw(canvas, frame, frame.north, scale, foci_words_measured(round));
    y += foci_canvas_text(canvas, frame.west, y - 6 * scale, &unit, round->stops.unit) + 2;
    if (!legend->layer(round))
        return y + readings_draw(canvas, round, frame, y + 8, scale) - frame.north;
    y += isnan(foci_map_even(round, legend)) ? classes_draw(canvas, frame.west + 2, y, &size, legend, round, edges)
                                             : even_draw(canvas, frame.west + 2, y, &size, round, edges);
    y += 8 * scale;
    y += hotspot_key_draw(canvas, frame.west + 2, y, &size, round);
    y += mesh_key_draw(canvas, frame.west + 2, y, &size, frame.east - frame.west, round);
    return y - frame.north;
}

static double row_draw(foci_canvas *canvas, foci_box frame, double y, double scale, bool bold,
                       const char *const words[3]) {
    const foci_lettering left = {.size = 22 * scale, .bold = bold, .colour = INK};
    const foci_lettering right = {.size = 22 * scale, .bold = bold, .colour = INK, .align = FOCI_ALIGN_RIGHT};
    const double height = foci_canvas_text(canvas, frame.west, y, &left, words[0]);
    foci_canvas_text(canvas, frame.east - 110 * scale, y, &right, words[1]);
    foci_canvas_text(canvas, frame.east, y, &right, words[2]);
    return height + 3 * scale;
}

static double area_row_draw(foci_canvas *canvas, foci_box frame, double y, double scale, bool bold, const char *name,
                            double hectares, foci_measures measures) {
    char first[FOCI_WORDS_SIZE], second[FOCI_WORDS_SIZE];
    foci_words_area_columns(first, second, hectares, measures);
    const char *const words[3] = {name, first, second};
    return row_draw(canvas, frame, y, scale, bold, words);
}

static void rule_draw(foci_canvas *canvas, foci_box frame, double y) {
    const foci_point ends[] = {{frame.west, y}, {frame.east, y}};
    foci_canvas_line(canvas, ends, 2, false);
    foci_canvas_stroke(canvas, INK, 1.5);
}

static double table_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double scale) {
    static const foci_zone_code rows[] = {FOCI_ZONE_TREAT, FOCI_ZONE_DIG, FOCI_ZONE_LEAVE};
    const foci_measures first = foci_words_measures(round);
    const char *const head[3] = {"Zone", foci_words_area_unit(first), foci_words_area_unit(foci_words_other(first))};
    double y = frame.north;
    y += row_draw(canvas, frame, y, scale, true, head);
    rule_draw(canvas, frame, y);
    y += 4;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        y += area_row_draw(canvas, frame, y, scale, false, foci_words_zone(round, rows[i]),
                           round->zones.items[rows[i]].area_ha, first);
    rule_draw(canvas, frame, y + 1);
    y += 5;
    y += area_row_draw(canvas, frame, y, scale, true, foci_sheet_whole_field, round->field.area_ha, first);
    return y - frame.north;
}

/* The table, or why there is none. */
double foci_map_zones_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double scale) {
    const foci_lettering plain = {.size = 21 * scale, .colour = INK, .width = frame.east - frame.west, .lines = 8};
    if (round->has_zones)
        return table_draw(canvas, round, frame, scale);
    double y = frame.north;
    y += heading_draw(canvas, frame, y, scale, round->surface.estimate ? foci_sheet_no_zones : foci_sheet_no_map);
    y += foci_canvas_text(canvas, frame.west, y, &plain, round->no_zones_why ? round->no_zones_why : "");
    return y - frame.north;
}

bool foci_map_chance_title_draw(double *height, foci_canvas *canvas, const foci_survey *round, foci_box frame,
                                double scale, foci_error *err) {
    const foci_lettering plain = {.size = 21 * scale, .colour = PALE, .width = frame.east - frame.west, .lines = 8};
    char title[FOCI_WORDS_TITLE];
    *height = 0;
    if (!round->surface.estimate)
        return true;
    if (round->surface.chance) {
        foci_words_chance_of(title, round);
        *height = heading_draw(canvas, frame, frame.north, scale, title);
        return true;
    }
    char *why = foci_words_no_chance(round, err);
    if (!why)
        return false;
    *height = heading_draw(canvas, frame, frame.north, scale, foci_sheet_how_sure);
    *height += foci_canvas_text(canvas, frame.west, frame.north + *height, &plain, why);
    free(why);
    return true;
}

double foci_map_chance_key_draw(foci_canvas *canvas, const foci_survey *round, double x, double y, double scale) {
    const legend_size size = {28 * scale, 36 * scale, 20 * scale};
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_CHANCE];
    double edges[FOCI_LEGEND_MOST];
    if (!legend->layer(round))
        return 0;
    legend->breaks(edges, round);
    return classes_draw(canvas, x, y, &size, legend, round, edges);
}

bool foci_map_chance_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_error *err) {
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_CHANCE];
    double edges[FOCI_LEGEND_MOST];
    if (!legend->layer(round))
        return true;
    legend->breaks(edges, round);
    return foci_map_field_draw(canvas, view, round, legend, edges, err) &&
           foci_map_hotspots_draw(canvas, view, round, 2.5, err);
}

/* The column in this size; its height through `height`. A small map has its legend to the right. */
static bool column_draw(double *height, foci_canvas *canvas, const foci_survey *round, const double *edges, double turn,
                        foci_box frame, double scale, foci_error *err) {
    const double legend = KEY_WIDTH * scale;
    foci_box rest = frame;
    double title = 0;
    rest.north += foci_map_severity_key_draw(canvas, round, edges, rest, scale) + 18 * scale;
    rest.north += foci_map_zones_draw(canvas, round, rest, scale) + 22 * scale;
    if (!foci_map_chance_title_draw(&title, canvas, round, rest, scale, err))
        return false;
    rest.north += title;
    const double key = foci_map_chance_key_draw(canvas, round, rest.east - legend, rest.north + 2, scale);
    *height = rest.north + key + 2 - frame.north;
    if (key <= 0)
        return true;
    foci_map_view view = foci_map_view_fit(&round->field.shape, turn, rest.west, rest.north,
                                           rest.east - rest.west - legend - 20, fmax(rest.south - rest.north, key), 3);
    view.y = rest.north + 2 + fmax(0, (key - view.height) / 2);
    return foci_map_chance_draw(canvas, &view, round, err);
}

bool foci_map_side_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, double turn, foci_box frame,
                        foci_error *err) {
    static const double scales[] = {1, 0.92, 0.85, 0.78, 0.71};
    size_t i = 0;
    double height = INFINITY;
    bool ok = true;
    foci_canvas_mute(canvas, true);
    for (; ok && i < sizeof scales / sizeof *scales; i++) {
        ok = column_draw(&height, canvas, round, edges, turn, frame, scales[i], err);
        if (height <= frame.south - frame.north)
            break;
    }
    foci_canvas_mute(canvas, false);
    i = i < sizeof scales / sizeof *scales ? i : sizeof scales / sizeof *scales - 1;
    return ok && column_draw(&height, canvas, round, edges, turn, frame, scales[i], err);
}

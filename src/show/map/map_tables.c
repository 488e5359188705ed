#include "show/map/map_tables.h"

#include <math.h>
#include <stdio.h>

#include "decide/words/survey_words.h"
#include "decide/words/sheet_words.h"

#define INK 0x1A1A1A
#define PALE 0x777777
#define ROW 29.0      /* height of a row */
#define LETTERS 19.5  /* size of its letters */
#define HEAD 25.0     /* size of a heading's letters */
#define OPEN_ROW 38.0 /* of a line to write on */
#define GAP 20.0
#define LEAST 0.72 /* letters are not made smaller than this part of the usual */

enum { CELLS = 5, HOTSPOT_ROWS = 12, DIG_ROWS = 26, NOTE_ROWS = 3 };

/* The columns of a table, as parts of the frame's width; numbers end there, texts begin there. */
typedef struct {
    double at[CELLS];
    bool ends[CELLS];
} columns;

static const columns hotspot_columns = {{0.06, 0.22, 0.42, 0.60, 0.65}, {true, true, true, true, false}};
static const columns dig_columns = {{0.06, 0.09, 0.325, 0.825, 0.855}, {true, false, false, true, false}};

static double heading_draw(foci_canvas *canvas, foci_box frame, double y, double scale, const char *text) {
    const foci_lettering bold = {
        .size = HEAD * scale, .bold = true, .colour = INK, .width = frame.east - frame.west, .lines = 1};
    return foci_canvas_text(canvas, frame.west, y, &bold, text) + 4 * scale;
}

static void rule_draw(foci_canvas *canvas, foci_box frame, double west, double y, uint32_t colour) {
    foci_canvas_line(canvas, (const foci_point[]){{west, y}, {frame.east, y}}, 2, false);
    foci_canvas_stroke(canvas, colour, 1.2);
}

static double row_draw(foci_canvas *canvas, foci_box frame, double y, double scale, bool bold, const columns *table,
                       char words[CELLS][FOCI_WORDS_SIZE]) {
    for (size_t i = 0; i < CELLS; i++) {
        const foci_lettering cell = {.size = LETTERS * scale,
                                     .bold = bold,
                                     .colour = INK,
                                     .align = table->ends[i] ? FOCI_ALIGN_RIGHT : FOCI_ALIGN_LEFT};
        foci_canvas_text(canvas, frame.west + table->at[i] * (frame.east - frame.west), y, &cell, words[i]);
    }
    return ROW * scale;
}

static double more_draw(foci_canvas *canvas, foci_box frame, double y, double scale, size_t more, const char *file) {
    const foci_lettering plain = {.size = LETTERS * scale, .colour = INK};
    char words[FOCI_WORDS_SIZE];
    foci_words_more_rows(words, more, file);
    foci_canvas_text(canvas, frame.west + 0.11 * (frame.east - frame.west), y, &plain, words);
    return ROW * scale;
}

static double hotspots_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double y, double scale) {
    const foci_measures first = foci_words_measures(round);
    const size_t count = round->hotspots.count, shown = count > HOTSPOT_ROWS ? HOTSPOT_ROWS : count;
    char head[CELLS][FOCI_WORDS_SIZE] = {"no.", "", "", "chance", "center (lat, lon)"};
    char other[FOCI_WORDS_SIZE];
    const double top = y;
    if (count == 0)
        return 0;
    snprintf(head[1], sizeof head[1], "%s", foci_words_area_unit(first));
    snprintf(head[2], sizeof head[2], "average");
    y += heading_draw(canvas, frame, y, scale, "Hotspots");
    y += row_draw(canvas, frame, y, scale, true, &hotspot_columns, head);
    rule_draw(canvas, frame, frame.west, y - 2, INK);
    for (size_t i = 0; i < shown; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        char words[CELLS][FOCI_WORDS_SIZE];
        snprintf(words[0], sizeof words[0], "%d", spot->id);
        foci_words_area_columns(words[1], other, spot->area_ha, first);
        foci_words_reading(words[2], round, spot->mean);
        foci_words_chance(words[3], spot->chance);
        foci_words_lonlat(words[4], spot->centre);
        y += row_draw(canvas, frame, y, scale, false, &hotspot_columns, words);
    }
    if (count > shown)
        y += more_draw(canvas, frame, y, scale, count - shown, "survey.gpkg");
    return y + GAP * scale - top;
}

static double digs_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double y, double scale) {
    const size_t count = round->digs.count, shown = count > DIG_ROWS ? DIG_ROWS : count;
    char head[CELLS][FOCI_WORDS_SIZE] = {"no.", "to learn", "place (lat, lon)", "chance", "found"};
    const double top = y;
    if (count == 0)
        return 0;
    y += heading_draw(canvas, frame, y, scale, foci_sheet_of_digs);
    y += row_draw(canvas, frame, y, scale, true, &dig_columns, head);
    rule_draw(canvas, frame, frame.west, y - 2, INK);
    for (size_t i = 0; i < shown; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        char words[CELLS][FOCI_WORDS_SIZE] = {"", "", "", "", ""};
        snprintf(words[0], sizeof words[0], "%d", dig->visit);
        snprintf(words[1], sizeof words[1], "%s", foci_words_dig(dig->why));
        foci_words_lonlat(words[2], dig->lonlat);
        foci_words_chance(words[3], dig->chance);
        y += row_draw(canvas, frame, y, scale, false, &dig_columns, words);
        rule_draw(canvas, frame, frame.west + dig_columns.at[4] * (frame.east - frame.west), y - 4 * scale, PALE);
    }
    if (count > shown)
        y += more_draw(canvas, frame, y, scale, count - shown, "digs.gpx");
    return y + GAP * scale - top;
}

/* As many lines as there is room for. */
static void notes_draw(foci_canvas *canvas, foci_box frame, double y) {
    y += heading_draw(canvas, frame, y, 1, "Notes");
    const int lines = (int)floor((frame.south - y) / OPEN_ROW);
    for (int i = 1; i <= lines; i++)
        rule_draw(canvas, frame, frame.west, y + i * OPEN_ROW, PALE);
}

typedef double table_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double y, double scale);

/* How large the letters of these tables are, one below the other, where `room` is left for notes. */
static double scale_for(foci_canvas *canvas, const foci_survey *round, foci_box frame, double room,
                        table_draw *const *tables, size_t count) {
    double height = 0;
    foci_canvas_mute(canvas, true);
    for (size_t i = 0; i < count; i++)
        height += tables[i](canvas, round, frame, frame.north, 1);
    foci_canvas_mute(canvas, false);
    return fmax(fmin(1, (frame.south - frame.north - room) / fmax(height, 1)), LEAST);
}

static const double notes_room = HEAD + NOTE_ROWS * OPEN_ROW;

void foci_map_tables_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame) {
    table_draw *const tables[] = {hotspots_draw, digs_draw};
    const double scale = scale_for(canvas, round, frame, notes_room, tables, 2);
    double y = frame.north;
    for (size_t i = 0; i < 2; i++)
        y += tables[i](canvas, round, frame, y, scale);
    notes_draw(canvas, frame, y);
}

void foci_map_tables_beside_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double gutter) {
    table_draw *const tables[] = {hotspots_draw, digs_draw};
    foci_box left = frame, right = frame;
    left.east = (frame.west + frame.east - gutter) / 2;
    right.west = left.east + gutter;
    const double hotspots = scale_for(canvas, round, left, notes_room, tables, 1);
    const double digs = scale_for(canvas, round, right, 0, tables + 1, 1);
    notes_draw(canvas, left, left.north + hotspots_draw(canvas, round, left, left.north, hotspots));
    digs_draw(canvas, round, right, right.north, digs);
}

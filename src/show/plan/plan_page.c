/* The table to write on: a line a stop, in blocks side by side. */
#include <stdio.h>

#include "show/draw/sheet.h"
#include "show/plan/plan_sheet.h"

#define ROW 40.0  /* pixels: 0.275 in, room for handwriting */
#define HEAD 34.0 /* of the columns' names */
#define GUTTER 26.0
#define INK FOCI_SHEET_INK

/* Of a block: the room for a note and, at its left, the stop's name; of dig-checks it tells why. The readings share the
 * rest. */
#define NOTE 0.37
#define NAME 0.19
#define NAME_OF_DIG 0.25

enum { ROWS = 24, BLOCKS = 3, BLOCKS_WIDE = 2, COLUMNS_MOST = 5 };

/* Dig-checks have longer names, and say why. */
static size_t blocks_of(const foci_plan *plan) {
    return plan->of_digs ? BLOCKS_WIDE : BLOCKS;
}

size_t foci_plan_page_stops(const foci_plan *plan) {
    return blocks_of(plan) * ROWS;
}

typedef struct {
    size_t count;
    const char *names[COLUMNS_MOST];
    double edges[COLUMNS_MOST + 1]; /* of a block, pixels from its left */
} form;

static form form_of(const foci_plan *plan, double width) {
    const foci_plan_reading *reading = &plan->reading;
    const char *readings[] = {reading->value, reading->hits, reading->units_stated ? NULL : reading->checked};
    form f = {.count = 1, .names = {plan->of_digs ? "place" : "stop"}};
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++)
        if (readings[i])
            f.names[f.count++] = readings[i];
    const double name = plan->of_digs ? NAME_OF_DIG : NAME, each = (1 - name - NOTE) / (double)(f.count - 1);
    for (size_t i = 1; i <= f.count; i++)
        f.edges[i] = width * (name + each * (double)(i - 1));
    f.names[f.count++] = "note";
    f.edges[f.count] = width;
    return f;
}

static void line_draw(foci_canvas *canvas, double x, double y, double to_x, double to_y, double width) {
    const foci_point ends[] = {{x, y}, {to_x, to_y}};
    foci_canvas_line(canvas, ends, 2, false);
    foci_canvas_stroke(canvas, INK, width);
}

static void names_draw(foci_canvas *canvas, const form *f, double x, double y) {
    for (size_t i = 0; i < f->count; i++) {
        const foci_lettering bold = {
            .size = 19, .bold = true, .colour = INK, .width = f->edges[i + 1] - f->edges[i] - 8, .lines = 1};
        foci_canvas_text(canvas, x + f->edges[i] + 5, y + 4, &bold, f->names[i]);
    }
}

static void block_draw(foci_canvas *canvas, const foci_plan *plan, size_t first, size_t count, double x, double y,
                       double width) {
    const form f = form_of(plan, width);
    const double bottom = y + HEAD + ROW * (double)count;
    names_draw(canvas, &f, x, y);
    line_draw(canvas, x, y + HEAD, x + width, y + HEAD, 2.4);
    for (size_t i = 0; i < count; i++) {
        const double top = y + HEAD + ROW * (double)i;
        const foci_lettering name = {.size = 21, .bold = true, .colour = INK, .width = f.edges[1] - 8, .lines = 1};
        const foci_lettering note = {
            .size = 15, .colour = 0x444444, .width = f.edges[f.count] - f.edges[f.count - 1] - 10, .lines = 1};
        foci_canvas_text(canvas, x + 5, top + 7, &name, plan->names[first + i]);
        if (plan->of_digs || plan->layout.items[first + i].again != FOCI_OPEN)
            foci_canvas_text(canvas, x + f.edges[f.count - 1] + 5, top + 3, &note, plan->notes[first + i]);
        line_draw(canvas, x, top + ROW, x + width, top + ROW, 1);
    }
    for (size_t i = 0; i <= f.count; i++)
        line_draw(canvas, x + f.edges[i], y, x + f.edges[i], bottom, i == 0 || i == f.count ? 2.4 : 1);
}

void foci_plan_page_draw(foci_canvas *canvas, const foci_plan *plan, size_t first, foci_box frame) {
    const size_t blocks = blocks_of(plan);
    const double width = (frame.east - frame.west - GUTTER * (double)(blocks - 1)) / (double)blocks;
    for (size_t b = 0; b < blocks && first < plan->layout.count; b++, first += ROWS) {
        const size_t left = plan->layout.count - first;
        block_draw(canvas, plan, first, left < ROWS ? left : ROWS, frame.west + (double)b * (width + GUTTER),
                   frame.north, width);
    }
}

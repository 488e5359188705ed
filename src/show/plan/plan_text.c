#include "show/draw/sheet.h"
#include "show/plan/plan_sheet.h"

#define GUTTER 44.0

static foci_lettering lettering_of(const foci_plan_paragraph *item, double size, double width) {
    return (foci_lettering){.size = item->heading ? 1.08 * size : size,
                            .bold = item->heading,
                            .heading = item->heading,
                            .colour = FOCI_SHEET_INK,
                            .width = width};
}

/* Whether all of it has room; a heading never stands alone at a column's foot. */
static bool flow(foci_canvas *canvas, const foci_plan_words *words, size_t columns, foci_box frame, double size,
                 bool draw) {
    const double width = (frame.east - frame.west - GUTTER * (double)(columns - 1)) / (double)columns;
    double x = frame.west, y = frame.north;
    size_t column = 0;
    for (size_t i = 0; i < words->count; i++) {
        const foci_lettering lettering = lettering_of(&words->items[i], size, width);
        const double height = foci_canvas_measure(canvas, &lettering, words->items[i].text).y;
        double needed = height;
        if (words->items[i].heading && i + 1 < words->count) {
            const foci_lettering next = lettering_of(&words->items[i + 1], size, width);
            needed += foci_canvas_measure(canvas, &next, words->items[i + 1].text).y;
            y += y > frame.north ? 0.5 * size : 0;
        }
        if (y + needed > frame.south && y > frame.north) {
            if (++column == columns)
                return false;
            x += width + GUTTER;
            y = frame.north;
        }
        if (draw)
            foci_canvas_text(canvas, x, y, &lettering, words->items[i].text);
        y += height + 0.3 * size;
    }
    return y - 0.3 * size <= frame.south;
}

void foci_plan_words_draw(foci_canvas *canvas, const foci_plan_words *words, size_t columns, foci_box frame) {
    static const double sizes[] = {23, 21, 19, 17.5, 16, 15, 14, 13, 12, 11, 10};
    enum { SIZES = sizeof sizes / sizeof *sizes };
    size_t s = 0;
    while (s + 1 < SIZES && !flow(canvas, words, columns, frame, sizes[s], false))
        s++;
    flow(canvas, words, columns, frame, sizes[s], true);
}

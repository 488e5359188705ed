#include "show/draw/small_print.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/fixed_words.h"
#include "decide/words/sheet_words.h"

#define INK 0x1A1A1A
#define GUTTER 40.0  /* between columns */
#define GAP 5.0      /* below a paragraph */
#define MADE_LINES 2 /* of how it was made, where it is shortened and room is short */

static const char *const titles[FOCI_PRINT_PARTS] = {
    [FOCI_PRINT_EVEN_SO] = "",
    [FOCI_PRINT_CAUTIONS] = FOCI_BEFORE_ANYONE_ACTS,
    [FOCI_PRINT_WARNINGS] = foci_sheet_how_far_to_trust,
    [FOCI_PRINT_MADE] = "",
};

const char *foci_print_title(foci_print_part part) {
    return titles[part];
}

/* ---- gathering ---- */

static bool add_item(foci_small_print *print, foci_paragraph item, foci_error *err) {
    if (!*item.text)
        return true;
    if (!foci_grow_array((void **)&print->items, &print->capacity, print->count + 1, sizeof *print->items, err))
        return false;
    print->items[print->count++] = item;
    return true;
}

bool foci_small_print_add(foci_small_print *print, foci_print_part part, const char *text, foci_error *err) {
    const bool begins = print->count == 0 || print->items[print->count - 1].part != part;
    const foci_paragraph title = {.text = titles[part], .part = part, .bold = true, .title = true};
    if (!*text)
        return true;
    return (!begins || add_item(print, title, err)) &&
           add_item(print, (foci_paragraph){.text = text, .part = part, .bold = part == FOCI_PRINT_EVEN_SO}, err);
}

bool foci_small_print_add_all(foci_small_print *print, foci_print_part part, const foci_sentences *sentences,
                              foci_error *err) {
    for (size_t i = 0; i < sentences->count; i++)
        if (!foci_small_print_add(print, part, sentences->items[i], err))
            return false;
    return true;
}

void foci_small_print_free(foci_small_print *print) {
    free(print->items);
    *print = (foci_small_print){0};
}

/* ---- planning ---- */

/* From large letters to small ones: what each may take of the sheet's height before the next is tried. Letters below
 * WHOLE only come where what prevents harm needs them. */
static const struct {
    double size;
    size_t columns;
    double most;
} styles[] = {{FOCI_PRINT_SIZE, 2, 235}, {16, 2, 260}, {15, 3, 300}, {14, 3, 350}, {FOCI_PRINT_LEAST, 3, INFINITY}};

enum { STYLES = sizeof styles / sizeof *styles };
#define WHOLE 15.0

static double column_width(double width, size_t columns) {
    return (width - GUTTER * (double)(columns - 1)) / (double)columns;
}

static foci_lettering lettering_of(const foci_paragraph *item, double size, double width) {
    return (foci_lettering){.size = size, .bold = item->bold, .colour = INK, .width = width};
}

static void measure(double *heights, foci_canvas *canvas, const foci_small_print *print, double size, double width) {
    for (size_t i = 0; i < print->count; i++) {
        const foci_lettering as = lettering_of(&print->items[i], size, width);
        heights[i] = foci_canvas_measure(canvas, &as, print->items[i].text).y + GAP;
    }
}

/* Whether a column must end before paragraph `i`; a title stays with the paragraph below it. */
static bool breaks_before(const foci_small_print *print, const double *heights, size_t i, double left) {
    const bool title = print->items[i].title && i + 1 < print->count;
    return heights[i] + (title ? heights[i + 1] : 0) - GAP > left;
}

/* How many of the first `count` paragraphs stand whole in columns of this height. */
static size_t packed(const foci_small_print *print, const double *heights, size_t count, size_t columns,
                     double height) {
    size_t column = 1;
    double y = 0;
    for (size_t i = 0; i < count; i++) {
        if (breaks_before(print, heights, i, height - y)) {
            if (column++ == columns)
                return i;
            y = 0;
            if (breaks_before(print, heights, i, height))
                return i;
        }
        y += heights[i];
    }
    return count;
}

/* The least height of columns that hold the first `count` paragraphs; infinity where `most` does not do. */
static double least_height(const foci_small_print *print, const double *heights, size_t count, size_t columns,
                           double most) {
    double all = 0;
    for (size_t i = 0; i < count; i++)
        all += heights[i];
    double height = floor(all / (double)columns);
    while (height < most && packed(print, heights, count, columns, height) < count)
        height += 2;
    height = fmin(height, most);
    return packed(print, heights, count, columns, height) == count ? height : INFINITY;
}

/* Paragraphs that are never shortened: they stand before the others. */
static size_t needed(const foci_small_print *print) {
    size_t count = 0;
    while (count < print->count && print->items[count].part != FOCI_PRINT_MADE)
        count++;
    return count;
}

/* In this style, with how it was made whole or shortened; false where even what is needed does not stand in it. */
static bool plan_style(foci_print_plan *plan, foci_canvas *canvas, const foci_small_print *print, const double *heights,
                       double most, bool whole) {
    const size_t count = whole ? print->count : needed(print);
    const foci_lettering line = {.size = plan->size};
    const double least = least_height(print, heights, count, plan->columns, most);
    if (isinf(least))
        return false;
    const double more = whole ? 0 : MADE_LINES * foci_canvas_measure(canvas, &line, "Ag").y;
    plan->height = fmin(most, least + more);
    plan->shown = print->count;
    return true;
}

bool foci_small_print_plan(foci_print_plan *out, foci_canvas *canvas, const foci_small_print *print, double width,
                           double most, foci_error *err) {
    double *heights = foci_new_array(print->count, sizeof *heights, err);
    foci_print_plan plan = {0};
    bool done = print->count == 0;
    if (!heights)
        return false;
    for (size_t i = 0; i < 2 * STYLES && !done; i++) {
        const size_t style = i % STYLES;
        const bool whole = i < STYLES;
        if (whole && styles[style].size < WHOLE)
            continue;
        plan.size = styles[style].size;
        plan.columns = styles[style].columns;
        measure(heights, canvas, print, plan.size, column_width(width, plan.columns));
        done = plan_style(&plan, canvas, print, heights, fmin(most, styles[style].most), whole);
    }
    if (!done) {
        plan.height = most;
        plan.shown = packed(print, heights, print->count, plan.columns, most);
    }
    free(heights);
    *out = plan;
    return true;
}

/* ---- drawing ---- */

/* As many lines as stand in `left`; what is more ends in an ellipsis. */
static void shortened_draw(foci_canvas *canvas, const foci_paragraph *item, foci_lettering as, double x, double y,
                           double left) {
    const foci_lettering one = {.size = as.size};
    as.lines = (int)floor(left / foci_canvas_measure(canvas, &one, "Ag").y);
    if (as.lines > 0)
        foci_canvas_text(canvas, x, y, &as, item->text);
}

void foci_small_print_draw(foci_canvas *canvas, const foci_small_print *print, const foci_print_plan *plan, double x,
                           double y, double width) {
    const double column = column_width(width, plan->columns), bottom = y + plan->height;
    size_t which = 1;
    double at = y;
    for (size_t i = 0; i < plan->shown; i++) {
        const foci_paragraph *item = &print->items[i];
        const foci_lettering as = lettering_of(item, plan->size, column);
        double height = foci_canvas_measure(canvas, &as, item->text).y;
        if (item->title && i + 1 < print->count) {
            const foci_lettering next = lettering_of(&print->items[i + 1], plan->size, column);
            height += GAP + foci_canvas_measure(canvas, &next, print->items[i + 1].text).y;
        }
        if (at + height > bottom + 1e-6) {
            if (which == plan->columns) {
                shortened_draw(canvas, item, as, x, at, bottom - at);
                return;
            }
            which++;
            x += column + GUTTER;
            at = y;
        }
        at += foci_canvas_text(canvas, x, at, &as, item->text) + GAP;
    }
}

/* ---- what is left over ---- */

typedef struct {
    foci_canvas *canvas;
    foci_box frame;
    double page, width;    /* height of a page, width of a column */
    double x, y, low, top; /* where the next line goes, the lowest end of a column on this page, where columns begin */
    size_t column, pages;
} flow;

static void next_column(flow *rest) {
    rest->y = rest->top;
    if (rest->column++ == 0) {
        rest->x = rest->frame.west + rest->width + GUTTER;
        return;
    }
    foci_canvas_next_page(rest->canvas, rest->page);
    rest->pages++;
    rest->column = 0;
    rest->x = rest->frame.west;
    rest->low = rest->y = rest->top = rest->frame.north;
}

/* A paragraph goes on in the next column where it must. */
static bool paragraph_draw(flow *rest, const foci_paragraph *item, foci_error *err) {
    const foci_lettering as = lettering_of(item, FOCI_PRINT_SIZE, rest->width);
    const char *text = item->text;
    while (*text) {
        const size_t fits = foci_canvas_fit(rest->canvas, &as, text, rest->frame.south - rest->y);
        const bool fresh = rest->y == rest->top;
        if (fits == 0 && !fresh) {
            next_column(rest);
            continue;
        }
        const size_t length = fits == 0 ? strlen(text) : fits;
        char *part = foci_format_text(err, "%.*s", (int)length, text);
        if (!part)
            return false;
        rest->y += foci_canvas_text(rest->canvas, rest->x, rest->y, &as, part) + GAP;
        rest->low = fmax(rest->low, rest->y);
        free(part);
        text += length;
    }
    return true;
}

bool foci_small_print_rest_draw(double *height, foci_canvas *canvas, const foci_small_print *print, size_t first,
                                const char *title, foci_box frame, double page, foci_error *err) {
    const foci_lettering bold = {.size = 24, .bold = true, .colour = INK, .width = frame.east - frame.west, .lines = 2};
    flow rest = {.canvas = canvas, .frame = frame, .page = page, .width = column_width(frame.east - frame.west, 2)};
    rest.x = frame.west;
    rest.top = frame.north + foci_canvas_text(canvas, frame.west, frame.north, &bold, title) + 3 * GAP;
    rest.low = rest.y = rest.top;
    for (size_t i = first; i < print->count; i++)
        if (!paragraph_draw(&rest, &print->items[i], err))
            return false;
    *height = (double)rest.pages * page + rest.low - frame.north;
    return true;
}

#include "show/draw/sheet.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "show/draw/png_file.h"

#define MARGIN FOCI_SHEET_MARGIN
#define DOTS_PER_METRE 5727 /* 1600 dots on 11 inches */
#define FOOT 22.0           /* kept free below the small print */
#define BETWEEN 24.0        /* between it and the body */

double foci_sheet_headline_draw(foci_canvas *canvas, double y, const char *text) {
    static const double sizes[] = {46, 39, 33, 28};
    const double width = foci_canvas_width(canvas);
    foci_lettering bold = {
        .bold = true, .heading = true, .colour = FOCI_SHEET_INK, .width = width - 2 * MARGIN, .lines = 2};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        bold.size = sizes[i];
        bold.lines = sizes[i] < 33 ? 3 : 2;
        if (!foci_canvas_cuts(canvas, &bold, text))
            break;
    }
    const foci_lettering one = {.size = bold.size, .bold = true};
    while (foci_canvas_measure(canvas, &one, text).x > bold.width && bold.width > width / 2) {
        foci_lettering narrower = bold;
        narrower.width -= 20;
        if (foci_canvas_cuts(canvas, &narrower, text))
            break;
        bold = narrower;
    }
    return foci_canvas_text(canvas, MARGIN, y, &bold, text);
}

void foci_sheet_rule_draw(foci_canvas *canvas, double y) {
    const foci_point rule[] = {{MARGIN, y}, {foci_canvas_width(canvas) - MARGIN, y}};
    foci_canvas_line(canvas, rule, 2, false);
    foci_canvas_stroke(canvas, FOCI_SHEET_INK, 2.5);
}

/* ---- the whole ---- */

static int width_of(const foci_sheet *sheet) {
    return sheet->upright ? FOCI_SHEET_HEIGHT : FOCI_SHEET_WIDTH;
}

static int height_of(const foci_sheet *sheet) {
    return sheet->upright ? FOCI_SHEET_WIDTH : FOCI_SHEET_HEIGHT;
}

/* A line across the sheet, and the small print below it. */
static void print_draw(foci_canvas *canvas, const foci_sheet *sheet, const foci_print_plan *plan) {
    const double top = height_of(sheet) - FOOT - plan->height;
    foci_sheet_rule_draw(canvas, top - 10);
    foci_small_print_draw(canvas, sheet->print, plan, MARGIN, top, width_of(sheet) - 2 * MARGIN);
}

/* What the sheet has no room for: how high it is through `height`, 0 where nothing is left over. */
static bool rest_draw(double *height, foci_canvas *canvas, const foci_sheet *sheet, const foci_print_plan *plan,
                      foci_error *err) {
    const foci_box frame = {MARGIN, height_of(sheet) - MARGIN, width_of(sheet) - MARGIN, MARGIN};
    *height = 0;
    if (plan->shown == sheet->print->count)
        return true;
    char *title = foci_format_text(err, "%s (continued)", sheet->title);
    if (!title)
        return false;
    foci_canvas_next_page(canvas, height_of(sheet));
    const bool ok =
        foci_small_print_rest_draw(height, canvas, sheet->print, plan->shown, title, frame, height_of(sheet), err);
    *height += 2 * MARGIN;
    free(title);
    return ok;
}

/* Room for the body between head and foot. */
static bool find_frame(foci_box *frame, foci_print_plan *plan, foci_canvas *canvas, const foci_sheet *sheet,
                       foci_error *err) {
    const double top = sheet->head(canvas, sheet->what), wide = width_of(sheet), high = height_of(sheet);
    const double most = high - FOOT - BETWEEN - sheet->body_least - top;
    if (!foci_small_print_plan(plan, canvas, sheet->print, wide - 2 * MARGIN, fmax(most, 0), err))
        return false;
    *frame = (foci_box){MARGIN, high - FOOT - BETWEEN - plan->height, wide - MARGIN, top};
    return true;
}

bool foci_sheet_weigh(double *worth, const foci_sheet *sheet,
                      bool (*weigh)(double *worth, foci_canvas *canvas, const void *what, foci_box frame,
                                    foci_error *err),
                      foci_error *err) {
    foci_canvas *canvas = NULL;
    foci_print_plan plan = {0};
    foci_box frame = {0};
    if (!foci_canvas_open(&canvas, width_of(sheet), height_of(sheet), err))
        return false;
    foci_canvas_mute(canvas, true);
    const bool ok = find_frame(&frame, &plan, canvas, sheet, err) && weigh(worth, canvas, sheet->what, frame, err);
    foci_canvas_close(canvas);
    return ok;
}

/* Draws it all; `more` is the height beyond the sheet itself. */
static bool sheet_draw(double *more, foci_canvas *canvas, const foci_sheet *sheet, foci_error *err) {
    foci_print_plan plan = {0};
    foci_box frame = {0};
    if (!find_frame(&frame, &plan, canvas, sheet, err) || !sheet->body(canvas, sheet->what, frame, err))
        return false;
    print_draw(canvas, sheet, &plan);
    return rest_draw(more, canvas, sheet, &plan, err);
}

/* ---- files ---- */

/* A picture is opened as high as it will be: a first drawing tells whether that is more than the sheet. */
static bool draw_picture(unsigned char **rgb, int *height, const foci_sheet *sheet, foci_error *err) {
    foci_canvas *canvas = NULL;
    double more = 0;
    *height = height_of(sheet);
    if (!foci_canvas_open(&canvas, width_of(sheet), *height, err))
        return false;
    bool ok = sheet_draw(&more, canvas, sheet, err);
    if (ok && more > 0) {
        *height += (int)ceil(more);
        foci_canvas_close(canvas);
        canvas = NULL;
        ok = foci_canvas_open(&canvas, width_of(sheet), *height, err) && sheet_draw(&more, canvas, sheet, err);
    }
    ok = ok && foci_canvas_rgb(rgb, canvas, err);
    foci_canvas_close(canvas);
    return ok;
}

bool foci_sheet_write_png(const foci_sheet *sheet, const char *path, foci_error *err) {
    const foci_png_text texts[] = {{"Title", sheet->title},
                                   {"Description", sheet->description},
                                   {"Software", "fieldfoci " FOCI_VERSION},
                                   {"Creation Time", sheet->made},
                                   {0}};
    unsigned char *rgb = NULL;
    int height = 0;
    const bool ok = draw_picture(&rgb, &height, sheet, err) &&
                    foci_png_write(path, rgb, (unsigned)width_of(sheet), (unsigned)height, DOTS_PER_METRE, texts, err);
    free(rgb);
    return ok;
}

bool foci_sheet_png_bytes(unsigned char **out, size_t *size, const foci_sheet *sheet, foci_error *err) {
    static const foci_png_text none[] = {{0}};
    unsigned char *rgb = NULL;
    int height = 0;
    const bool ok =
        draw_picture(&rgb, &height, sheet, err) &&
        foci_png_bytes(out, size, rgb, (unsigned)width_of(sheet), (unsigned)height, DOTS_PER_METRE, none, err);
    free(rgb);
    return ok;
}

/* The paper turned as the sheet is. */
static foci_page page_of(const foci_sheet *sheet, const foci_paper *paper) {
    return (foci_page){sheet->upright ? paper->height : paper->width, sheet->upright ? paper->width : paper->height,
                       sheet->title, sheet->description, sheet->made};
}

bool foci_sheet_write_pdf(const foci_sheet *sheet, const char *path, foci_error *err) {
    const foci_paper *paper = sheet->paper ? sheet->paper : foci_paper_find(NULL);
    const foci_page first = page_of(sheet, paper);
    foci_canvas *canvas = NULL;
    double more = 0;
    if (!foci_canvas_open_page(&canvas, width_of(sheet), height_of(sheet), &first, err))
        return false;
    bool ok = sheet_draw(&more, canvas, sheet, err);
    for (const foci_sheet *next = sheet->next; ok && next; next = next->next) {
        const foci_page page = page_of(next, paper);
        foci_canvas_next_sheet(canvas, width_of(next), height_of(next), &page);
        ok = sheet_draw(&more, canvas, next, err);
    }
    ok = ok && foci_canvas_write_pdf(canvas, path, err);
    foci_canvas_close(canvas);
    return ok;
}

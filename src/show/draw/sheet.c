#include "show/draw/sheet.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "show/draw/png_file.h"

#define WIDTH FOCI_SHEET_WIDTH
#define HEIGHT FOCI_SHEET_HEIGHT
#define MARGIN FOCI_SHEET_MARGIN
#define DOTS_PER_METRE 5727 /* 1600 dots on 11 inches */
#define FOOT 22.0           /* kept free below the small print */
#define BETWEEN 24.0        /* between it and the body */

double foci_sheet_headline_draw(foci_canvas *canvas, double y, const char *text) {
    static const double sizes[] = {46, 39, 33, 28};
    foci_lettering bold = {
        .bold = true, .heading = true, .colour = FOCI_SHEET_INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        bold.size = sizes[i];
        bold.lines = sizes[i] < 33 ? 3 : 2;
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

void foci_sheet_rule_draw(foci_canvas *canvas, double y) {
    const foci_point rule[] = {{MARGIN, y}, {WIDTH - MARGIN, y}};
    foci_canvas_line(canvas, rule, 2, false);
    foci_canvas_stroke(canvas, FOCI_SHEET_INK, 2.5);
}

/* ---- the whole ---- */

/* A line across the sheet, and the small print below it. */
static void print_draw(foci_canvas *canvas, const foci_sheet *sheet, const foci_print_plan *plan) {
    const double top = HEIGHT - FOOT - plan->height;
    foci_sheet_rule_draw(canvas, top - 10);
    foci_small_print_draw(canvas, sheet->print, plan, MARGIN, top, WIDTH - 2 * MARGIN);
}

/* What the sheet has no room for: how high it is through `height`, 0 where nothing is left over. */
static bool rest_draw(double *height, foci_canvas *canvas, const foci_sheet *sheet, const foci_print_plan *plan,
                      foci_error *err) {
    const foci_box frame = {MARGIN, HEIGHT - MARGIN, WIDTH - MARGIN, MARGIN};
    *height = 0;
    if (plan->shown == sheet->print->count)
        return true;
    char *title = foci_format_text(err, "%s (continued)", sheet->title);
    if (!title)
        return false;
    foci_canvas_next_page(canvas, HEIGHT);
    const bool ok = foci_small_print_rest_draw(height, canvas, sheet->print, plan->shown, title, frame, HEIGHT, err);
    *height += 2 * MARGIN;
    free(title);
    return ok;
}

/* Draws it all; `more` is the height beyond the sheet itself. */
static bool sheet_draw(double *more, foci_canvas *canvas, const foci_sheet *sheet, foci_error *err) {
    foci_print_plan plan = {0};
    const double top = sheet->head(canvas, sheet->what);
    const double most = HEIGHT - FOOT - BETWEEN - sheet->body_least - top;
    if (!foci_small_print_plan(&plan, canvas, sheet->print, WIDTH - 2 * MARGIN, fmax(most, 0), err))
        return false;
    const foci_box frame = {MARGIN, HEIGHT - FOOT - BETWEEN - plan.height, WIDTH - MARGIN, top};
    if (!sheet->body(canvas, sheet->what, frame, err))
        return false;
    print_draw(canvas, sheet, &plan);
    return rest_draw(more, canvas, sheet, &plan, err);
}

/* ---- files ---- */

/* A picture is opened as high as it will be: a first drawing tells whether that is more than the sheet. */
static bool draw_picture(unsigned char **rgb, int *height, const foci_sheet *sheet, foci_error *err) {
    foci_canvas *canvas = NULL;
    double more = 0;
    *height = HEIGHT;
    if (!foci_canvas_open(&canvas, WIDTH, HEIGHT, err))
        return false;
    bool ok = sheet_draw(&more, canvas, sheet, err);
    if (ok && more > 0) {
        *height += (int)ceil(more);
        foci_canvas_close(canvas);
        canvas = NULL;
        ok = foci_canvas_open(&canvas, WIDTH, *height, err) && sheet_draw(&more, canvas, sheet, err);
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
    const bool ok =
        draw_picture(&rgb, &height, sheet, err) && foci_png_write(path, rgb, WIDTH, height, DOTS_PER_METRE, texts, err);
    free(rgb);
    return ok;
}

bool foci_sheet_png_bytes(unsigned char **out, size_t *size, const foci_sheet *sheet, foci_error *err) {
    static const foci_png_text none[] = {{0}};
    unsigned char *rgb = NULL;
    int height = 0;
    const bool ok = draw_picture(&rgb, &height, sheet, err) &&
                    foci_png_bytes(out, size, rgb, WIDTH, height, DOTS_PER_METRE, none, err);
    free(rgb);
    return ok;
}

bool foci_sheet_write_pdf(const foci_sheet *sheet, const char *path, foci_error *err) {
    const foci_paper *paper = sheet->paper ? sheet->paper : foci_paper_find(NULL);
    const foci_page page = {paper->width, paper->height, sheet->title, sheet->description, sheet->made};
    foci_canvas *canvas = NULL;
    double more = 0;
    if (!foci_canvas_open_page(&canvas, WIDTH, HEIGHT, &page, err))
        return false;
    bool ok = sheet_draw(&more, canvas, sheet, err);
    for (const foci_sheet *next = sheet->next; ok && next; next = next->next) {
        foci_canvas_next_page(canvas, HEIGHT);
        ok = sheet_draw(&more, canvas, next, err);
    }
    ok = ok && foci_canvas_write_pdf(canvas, path, err);
    foci_canvas_close(canvas);
    return ok;
}

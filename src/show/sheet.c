#include "show/sheet.h"

#include <math.h>
#include <stdlib.h>

#include "show/png_file.h"

#define WIDTH FOCI_SHEET_WIDTH
#define HEIGHT FOCI_SHEET_HEIGHT
#define MARGIN FOCI_SHEET_MARGIN
#define DOTS_PER_METRE 5727 /* 1600 dots on 11 inches */
#define GUTTER 40.0         /* between columns */
#define FOOT 22.0           /* kept free below the small print */

double foci_sheet_headline_draw(foci_canvas *canvas, double y, const char *text) {
    static const double sizes[] = {46, 39, 33};
    foci_lettering bold = {.bold = true, .colour = FOCI_SHEET_INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
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

void foci_sheet_rule_draw(foci_canvas *canvas, double y) {
    const foci_point rule[] = {{MARGIN, y}, {WIDTH - MARGIN, y}};
    foci_canvas_line(canvas, rule, 2, false);
    foci_canvas_stroke(canvas, FOCI_SHEET_INK, 2.5);
}

/* ---- the small print ---- */

void foci_small_print_add(foci_small_print *print, foci_canvas *canvas, const char *text, double size, bool bold) {
    if (print->count == FOCI_PARAGRAPHS_MOST || !*text)
        return;
    foci_paragraph *item = &print->items[print->count++];
    item->text = text;
    item->lettering = (foci_lettering){
        .size = size, .bold = bold, .colour = FOCI_SHEET_INK, .width = (WIDTH - 2 * MARGIN - GUTTER) / 2};
    item->height = foci_canvas_measure(canvas, &item->lettering, text).y + 5;
}

void foci_small_print_add_all(foci_small_print *print, foci_canvas *canvas, const foci_sentences *sentences,
                              size_t first, size_t most, bool bold) {
    for (size_t i = first; i < sentences->count && i - first < most; i++)
        foci_small_print_add(print, canvas, sentences->items[i], FOCI_PRINT_SIZE, bold);
}

/* How many paragraphs stand in the left column: as many as make both alike, but no more than fit. The greater height
 * through `height`. */
static size_t split_print(double *height, const foci_small_print *print, double most) {
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

/* A paragraph that does not fit whole is left out, and those after it; the summary's file holds them all. */
static void column_draw(foci_canvas *canvas, const foci_small_print *print, size_t first, size_t end, double x,
                        double y) {
    for (size_t i = first; i < end; i++) {
        const foci_paragraph *item = &print->items[i];
        if (y + item->height - 5 > HEIGHT - FOOT + 1)
            return;
        y += foci_canvas_text(canvas, x, y, &item->lettering, item->text) + 5;
    }
}

double foci_small_print_draw(foci_canvas *canvas, const foci_small_print *print, double most) {
    double height = 0;
    const size_t split = split_print(&height, print, most);
    const double top = HEIGHT - FOOT - fmin(height, most);
    foci_sheet_rule_draw(canvas, top - 10);
    column_draw(canvas, print, 0, split, MARGIN, top);
    column_draw(canvas, print, split, print->count, MARGIN + (WIDTH - 2 * MARGIN + GUTTER) / 2, top);
    return top - 10;
}

/* ---- files ---- */

/* The finished picture; owned by the caller. */
static bool draw_picture(unsigned char **rgb, const foci_sheet *sheet, foci_error *err) {
    foci_canvas *canvas = NULL;
    if (!foci_canvas_open(&canvas, WIDTH, HEIGHT, err))
        return false;
    const bool ok = sheet->draw(canvas, sheet->what, err) && foci_canvas_rgb(rgb, canvas, err);
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
    const bool ok =
        draw_picture(&rgb, sheet, err) && foci_png_write(path, rgb, WIDTH, HEIGHT, DOTS_PER_METRE, texts, err);
    free(rgb);
    return ok;
}

bool foci_sheet_png_bytes(unsigned char **out, size_t *size, const foci_sheet *sheet, foci_error *err) {
    static const foci_png_text none[] = {{0}};
    unsigned char *rgb = NULL;
    const bool ok =
        draw_picture(&rgb, sheet, err) && foci_png_bytes(out, size, rgb, WIDTH, HEIGHT, DOTS_PER_METRE, none, err);
    free(rgb);
    return ok;
}

bool foci_sheet_write_pdf(const foci_sheet *sheet, const char *path, foci_error *err) {
    const foci_paper *paper = sheet->paper ? sheet->paper : foci_paper_find(NULL);
    const foci_page page = {paper->width, paper->height, sheet->title, sheet->description, sheet->made};
    foci_canvas *canvas = NULL;
    if (!foci_canvas_open_page(&canvas, WIDTH, HEIGHT, &page, err))
        return false;
    const bool ok = sheet->draw(canvas, sheet->what, err) && foci_canvas_write_pdf(canvas, path, err);
    foci_canvas_close(canvas);
    return ok;
}

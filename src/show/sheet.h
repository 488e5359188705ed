/* What all sheets for a meeting share: their size, headline, rules and small print, and how they become files. */
#ifndef FOCI_SHOW_SHEET_H
#define FOCI_SHOW_SHEET_H

#include "fieldfoci/round.h"
#include "show/canvas.h"

#define FOCI_SHEET_WIDTH 1600 /* pixels: letter on its side */
#define FOCI_SHEET_HEIGHT 1236
#define FOCI_SHEET_MARGIN 40.0
#define FOCI_SHEET_INK 0x1A1A1A
#define FOCI_PRINT_SIZE 17.0 /* of the small print */

/* ---- parts ---- */

/* In the largest of three sizes that needs no more than two lines, and those about equally long. Returns its height. */
double foci_sheet_headline_draw(foci_canvas *canvas, double y, const char *text);

/* A line across the sheet. */
void foci_sheet_rule_draw(foci_canvas *canvas, double y);

enum { FOCI_PARAGRAPHS_MOST = 24 };

typedef struct {
    const char *text; /* borrowed */
    foci_lettering lettering;
    double height;
} foci_paragraph;

/* What must be known before anyone acts comes first, what can be spared last; {0} is empty. */
typedef struct {
    size_t count;
    foci_paragraph items[FOCI_PARAGRAPHS_MOST];
} foci_small_print;

/* An empty text, and what is beyond FOCI_PARAGRAPHS_MOST, is left out. */
void foci_small_print_add(foci_small_print *print, foci_canvas *canvas, const char *text, double size, bool bold);

/* At most `most` sentences from the one with index `first` on. */
void foci_small_print_add_all(foci_small_print *print, foci_canvas *canvas, const foci_sentences *sentences,
                              size_t first, size_t most, bool bold);

/* In two columns at the foot of the sheet, under a rule, not higher than `most`: what does not fit is cut with an
 * ellipsis. Returns where the rule is. */
double foci_small_print_draw(foci_canvas *canvas, const foci_small_print *print, double most);

/* ---- files ---- */

typedef struct {
    const char *title, *description, *made;
    const foci_paper *paper; /* of the page; NULL: the standard one */
    bool (*draw)(foci_canvas *canvas, const void *what, foci_error *err);
    const void *what;
} foci_sheet;

bool foci_sheet_write_png(const foci_sheet *sheet, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The same as a file in memory; owned by the caller. */
bool foci_sheet_png_bytes(unsigned char **out, size_t *size, const foci_sheet *sheet, foci_error *err) FOCI_MUST_CHECK;

/* The same drawing as a page, as large as the paper holds it and in its middle: lines and text stay lines and text. */
bool foci_sheet_write_pdf(const foci_sheet *sheet, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif

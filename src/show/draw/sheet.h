/* What all sheets for a meeting share: their size, headline, rules and small print, and how they become files. */
#ifndef FOCI_SHOW_SHEET_H
#define FOCI_SHOW_SHEET_H

#include "fieldfoci/survey.h"
#include "show/draw/canvas.h"
#include "show/draw/small_print.h"

#define FOCI_SHEET_WIDTH 1600 /* pixels: letter on its side */
#define FOCI_SHEET_HEIGHT 1236
#define FOCI_SHEET_MARGIN 40.0
#define FOCI_SHEET_INK 0x1A1A1A

/* ---- parts ---- */

/* In the largest of three sizes that needs no more than two lines, and those about equally long. Returns its height. */
double foci_sheet_headline_draw(foci_canvas *canvas, double y, const char *text);

/* A line across the sheet. */
void foci_sheet_rule_draw(foci_canvas *canvas, double y);

/* What all sheets share: a head, a body that takes the room between, and the small print at the foot. */
typedef struct foci_sheet foci_sheet;
struct foci_sheet {
    const char *title, *description, *made;
    const foci_paper *paper; /* of the page; NULL: the standard one */
    const foci_small_print *print;
    double body_least; /* the height that the body needs */
    bool upright;      /* the paper stands; else it lies on its side */
    /* The head from the top of the sheet; where the body begins. */
    double (*head)(foci_canvas *canvas, const void *what);
    bool (*body)(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err);
    const void *what;
    const foci_sheet *next; /* a PDF goes on with this one; NULL: no more. Pictures show the first alone */
};

/* Where the body would come: head and foot are measured, nothing is drawn. `weigh` says of that frame what the sheet is
 * worth. */
bool foci_sheet_weigh(double *worth, const foci_sheet *sheet,
                      bool (*weigh)(double *worth, foci_canvas *canvas, const void *what, foci_box frame,
                                    foci_error *err),
                      foci_error *err) FOCI_MUST_CHECK;

/* ---- files ---- */

/* Where what prevents harm is more than a sheet holds, it goes on below: the picture is then higher, the PDF has
 * another page. */
bool foci_sheet_write_png(const foci_sheet *sheet, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The same as a file in memory; owned by the caller. */
bool foci_sheet_png_bytes(unsigned char **out, size_t *size, const foci_sheet *sheet, foci_error *err) FOCI_MUST_CHECK;

/* The same drawing as a page, as large as the paper holds it and in its middle: lines and text stay lines and text. */
bool foci_sheet_write_pdf(const foci_sheet *sheet, const char *path, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Drawing: the only door to cairo and pango. Lengths are pixels from the top left corner, y downwards; colours are
 * 0xRRGGBB. A sheet is a picture or a page of a PDF: the same calls draw on both. What goes wrong inside is kept and
 * told once, by foci_canvas_rgb or foci_canvas_write_pdf. */
#ifndef FOCI_SHOW_CANVAS_H
#define FOCI_SHOW_CANVAS_H

#include <stdint.h>

#include "fieldfoci/geometry.h"

typedef struct foci_canvas foci_canvas;

/* A white sheet. FOCI_NO_FILE where no font is installed to write with. */
bool foci_canvas_open(foci_canvas **out, int width, int height, foci_error *err) FOCI_MUST_CHECK;

typedef struct {
    double width, height; /* points, 72 to the inch */
    const char *title, *subject;
    const char *made; /* ISO 8601 */
} foci_page;

/* A page that takes a sheet of width x height pixels, as large as it goes and in its middle. The same drawing gives the
 * same bytes: the only time in them is `made`. `page` is needed for this call only. */
bool foci_canvas_open_page(foci_canvas **out, int width, int height, const foci_page *page,
                           foci_error *err) FOCI_MUST_CHECK;

/* A page of its own size after the one of foci_canvas_open_page, for a sheet of width x height pixels. */
void foci_canvas_next_sheet(foci_canvas *canvas, int width, int height, const foci_page *page);
void foci_canvas_close(foci_canvas *canvas);

/* Of the sheet, pixels. */
double foci_canvas_width(const foci_canvas *canvas);

/* Dots of an image to the pixel, each way: 1 on a picture, more on a page, which is printed finer. */
int foci_canvas_density(const foci_canvas *canvas);

/* While it is mute nothing is drawn, but everything is measured: a trial. */
void foci_canvas_mute(foci_canvas *canvas, bool mute);
bool foci_canvas_is_mute(const foci_canvas *canvas);

/* Goes on below the first `height` pixels of a picture, which is that much higher, or on a new page of a PDF. */
void foci_canvas_next_page(foci_canvas *canvas, double height);

/* The finished page; what stood at `path` is replaced. Nothing is drawn afterwards. */
bool foci_canvas_write_pdf(foci_canvas *canvas, const char *path, foci_error *err) FOCI_MUST_CHECK;

/* The finished picture, 3 bytes a pixel, row by row from the top; owned by the caller. Nothing is drawn afterwards. */
bool foci_canvas_rgb(unsigned char **out, foci_canvas *canvas, foci_error *err) FOCI_MUST_CHECK;

/* ---- lines and areas: add to the path, then fill, stroke or clip, which use it up ---- */
void foci_canvas_line(foci_canvas *canvas, const foci_point *points, size_t count, bool closed);
void foci_canvas_circle(foci_canvas *canvas, foci_point middle, double radius);
void foci_canvas_rectangle(foci_canvas *canvas, double x, double y, double width, double height);

/* Even-odd: holes stay empty. */
void foci_canvas_fill(foci_canvas *canvas, uint32_t colour);
void foci_canvas_stroke(foci_canvas *canvas, uint32_t colour, double width);

/* A stroke on a white one that stands out by `halo` on either side. */
void foci_canvas_stroke_on_white(foci_canvas *canvas, uint32_t colour, double width, double halo);

/* Draws only inside the path (even-odd) until foci_canvas_unclip; not nested. */
void foci_canvas_clip(foci_canvas *canvas);
void foci_canvas_unclip(foci_canvas *canvas);

/* width x height dots, foci_canvas_density of them to the pixel each way, with the top left corner at (x, y). */
void foci_canvas_image(foci_canvas *canvas, const uint32_t *pixels, int width, int height, int x, int y);

/* ---- text ---- */
typedef enum { FOCI_ALIGN_LEFT, FOCI_ALIGN_MIDDLE, FOCI_ALIGN_RIGHT } foci_align;

typedef struct {
    double size; /* of the font, pixels */
    bool bold;
    bool heading; /* of the page: a PDF says so */
    uint32_t colour;
    foci_align align; /* about x */
    double width;     /* wraps at words; 0: one line, however long */
    int lines;        /* most lines, the last one then ends in an ellipsis; 0: as many as it takes */
} foci_lettering;

/* Writes with the text's top at y; returns its height. Control characters become blanks. */
double foci_canvas_text(foci_canvas *canvas, double x, double y, const foci_lettering *lettering, const char *text);

/* Width and height that the text would take. */
foci_point foci_canvas_measure(foci_canvas *canvas, const foci_lettering *lettering, const char *text);

/* How many bytes of the text, up to the end of a line, stand in this height; 0: not even one line does. */
size_t foci_canvas_fit(foci_canvas *canvas, const foci_lettering *lettering, const char *text, double height);

/* Whether the text would have to be cut. */
bool foci_canvas_cuts(foci_canvas *canvas, const foci_lettering *lettering, const char *text);

#endif

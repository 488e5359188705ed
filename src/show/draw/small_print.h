/* What is said beside the numbers, in one order everywhere: on the sheet, on the sheet of a comparison, in the report
 * and in the README of a task. What prevents harm comes first and is never cut. */
#ifndef FOCI_SHOW_SMALL_PRINT_H
#define FOCI_SHOW_SMALL_PRINT_H

#include "fieldfoci/survey.h"
#include "show/draw/canvas.h"

/* ---- the order ---- */

typedef enum {
    FOCI_PRINT_EVEN_SO,  /* the reasons given for going on past a guard */
    FOCI_PRINT_CAUTIONS, /* what prevents harm: the disease's own, the label, setbacks, dig first */
    FOCI_PRINT_WARNINGS, /* what changes how far to trust the map */
    FOCI_PRINT_MADE,     /* how it was made: the only part that is shortened where room is short */
    FOCI_PRINT_PARTS
} foci_print_part;

/* What stands over a part: "Before anyone acts"; "" for nothing. */
const char *foci_print_title(foci_print_part part);

/* ---- the print ---- */

typedef struct {
    const char *text; /* borrowed */
    foci_print_part part;
    bool bold, title;
} foci_paragraph;

/* {0} is empty. */
typedef struct {
    size_t count, capacity;
    foci_paragraph *items; /* owned */
} foci_small_print;

/* Parts are added in their order; the first sentence of one brings its title. An empty text adds nothing. */
bool foci_small_print_add(foci_small_print *print, foci_print_part part, const char *text,
                          foci_error *err) FOCI_MUST_CHECK;
bool foci_small_print_add_all(foci_small_print *print, foci_print_part part, const foci_sentences *sentences,
                              foci_error *err) FOCI_MUST_CHECK;
void foci_small_print_free(foci_small_print *print);

/* ---- on a sheet ---- */

/* The print takes the room that it needs: two columns, then three of smaller letters, down to FOCI_PRINT_LEAST. */
#define FOCI_PRINT_SIZE 17.0
#define FOCI_PRINT_LEAST                                                                                               \
    13.0 /* pixels: 6.4 points on letter, 6.3 on A4; a pesticide's label may not have less than 6                      \
            (40 CFR 156.10(a)(2), from memory) */

typedef struct {
    double size; /* of the letters */
    size_t columns;
    double height;
    size_t shown; /* paragraphs that stand on the sheet, the last one perhaps shortened; the others follow below it */
} foci_print_plan;

/* `most`: the height that is to be had. How it was made is shortened before letters smaller than 15 pixels are taken,
 * and nothing else ever is. */
bool foci_small_print_plan(foci_print_plan *out, foci_canvas *canvas, const foci_small_print *print, double width,
                           double most, foci_error *err) FOCI_MUST_CHECK;

/* As planned, with its top left corner at (x, y). */
void foci_small_print_draw(foci_canvas *canvas, const foci_small_print *print, const foci_print_plan *plan, double x,
                           double y, double width);

/* What the plan left over, in two columns on pages of this frame (the first page's is `frame` too), under `title`. The
 * height used through `height`: of all pages but the last `page` each, and of the last what it takes. */
bool foci_small_print_rest_draw(double *height, foci_canvas *canvas, const foci_small_print *print, size_t first,
                                const char *title, foci_box frame, double page, foci_error *err) FOCI_MUST_CHECK;

#endif

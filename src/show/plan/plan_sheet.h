/* The parts of a field sheet. Frames are in pixels, south being the larger y. */
#ifndef FOCI_SHOW_PLAN_SHEET_H
#define FOCI_SHOW_PLAN_SHEET_H

#include "fieldfoci/plan.h"
#include "show/draw/canvas.h"

/* The walk: boundary, stops with their numbers, start, scale and north. */
bool foci_plan_map_draw(foci_canvas *canvas, const foci_plan *plan, foci_box frame, foci_error *err) FOCI_MUST_CHECK;

/* Pixels per meter that it takes in a frame of this size. */
double foci_plan_map_scale(const foci_plan *plan, double width, double height);

/* How many stops have room on a page to write on. */
size_t foci_plan_page_stops(const foci_plan *plan);

/* The table to write on, from stop `first` on. */
void foci_plan_page_draw(foci_canvas *canvas, const foci_plan *plan, size_t first, foci_box frame);

/* What is read in the field, under headings. */
typedef struct {
    const char *text; /* owned by the words */
    bool heading;
} foci_plan_paragraph;

typedef struct {
    size_t count, capacity;
    foci_plan_paragraph *items; /* owned, with the texts */
} foci_plan_words;

void foci_plan_words_free(foci_plan_words *words);

/* How to stop, look and write it down, in a few lines; and signs, look-alikes, and what goes to a clinic. */
bool foci_plan_words_how(foci_plan_words *words, const foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;
bool foci_plan_words_signs(foci_plan_words *words, const foci_plan *plan, foci_error *err) FOCI_MUST_CHECK;

/* In columns, in the largest letters that have room: none is cut before the smallest. */
void foci_plan_words_draw(foci_canvas *canvas, const foci_plan_words *words, size_t columns, foci_box frame);

#endif

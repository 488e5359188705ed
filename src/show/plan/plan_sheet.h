/* The parts of a field sheet. Frames are in pixels, south being the larger y. */
#ifndef FOCI_SHOW_PLAN_SHEET_H
#define FOCI_SHOW_PLAN_SHEET_H

#include "decide/words/plan_words.h"
#include "show/draw/canvas.h"

/* The walk: boundary, stops with their numbers, start, scale and north. */
bool foci_plan_map_draw(foci_canvas *canvas, const foci_plan *plan, foci_box frame, foci_error *err) FOCI_MUST_CHECK;

/* Pixels per meter that it takes in a frame of this size. */
double foci_plan_map_scale(const foci_plan *plan, double width, double height);

/* How many stops have room on a page to write on. */
size_t foci_plan_page_stops(const foci_plan *plan);

/* The table to write on, from stop `first` on. */
void foci_plan_page_draw(foci_canvas *canvas, const foci_plan *plan, size_t first, foci_box frame);

/* In columns, in the largest letters that have room: none is cut before the smallest. */
void foci_plan_words_draw(foci_canvas *canvas, const foci_plan_words *words, size_t columns, foci_box frame);

#endif

/* The sheet's second page, for the one who drives or walks: the zones as they are, what is numbered in tables, and room
 * to write. */
#ifndef FOCI_SHOW_MAP_FIELD_PAGE_H
#define FOCI_SHOW_MAP_FIELD_PAGE_H

#include "fieldfoci/survey.h"
#include "show/draw/canvas.h"

/* Whether there is anything to show: dig-checks, or zones. */
bool foci_map_field_page_applies(const foci_survey *round);

/* The frame is in pixels, south being the larger y. */
bool foci_map_field_page_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame,
                              foci_error *err) FOCI_MUST_CHECK;

#endif

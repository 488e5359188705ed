/* The map with what explains it: beside each other, or, for a long and narrow field, one below the other. */
#ifndef FOCI_SHOW_MAP_BODY_H
#define FOCI_SHOW_MAP_BODY_H

#include "show/map/map_field.h"

/* Fills the frame (pixels, south being the larger y). */
bool foci_map_body_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, foci_error *err) FOCI_MUST_CHECK;

/* How large the map would be in the frame, pixels per metre. */
bool foci_map_body_scale(double *scale, foci_canvas *canvas, const foci_survey *round, foci_box frame,
                         foci_error *err) FOCI_MUST_CHECK;

#endif

/* The zones as they are to be driven and walked: told apart by hatching, so that a gray copy keeps them. */
#ifndef FOCI_SHOW_MAP_ZONES_H
#define FOCI_SHOW_MAP_ZONES_H

#include "show/map/map_field.h"

/* The zones that the round has, and the boundary. */
bool foci_map_zones_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                                foci_error *err) FOCI_MUST_CHECK;

/* The hatchings in one row, with their acres (or hectares); returns its height, 0 where the round has no zones. */
double foci_map_zones_row_draw(foci_canvas *canvas, double x, double y, double width, const foci_survey *round);

#endif

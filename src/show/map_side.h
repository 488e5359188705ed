/* The column beside the map: legend, table of areas, and the small map of chances. */
#ifndef FOCI_SHOW_MAP_SIDE_H
#define FOCI_SHOW_MAP_SIDE_H

#include "show/map_field.h"

/* Fills the frame (pixels, south being the larger y). `edges`: the breaks of severity. */
bool foci_map_side_draw(foci_canvas *canvas, const foci_round *round, const double *edges, foci_box frame,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

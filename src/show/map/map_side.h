/* What stands beside or below the map: legend, table of areas, and the small map of chances. Frames are in pixels,
 * south being the larger y; `scale` makes letters and rows smaller than usual; heights come back. */
#ifndef FOCI_SHOW_MAP_SIDE_H
#define FOCI_SHOW_MAP_SIDE_H

#include "show/map/map_field.h"

#define FOCI_CHANCE_KEY_WIDTH 226.0 /* of the legend of chances */

/* `edges`: the breaks of severity. Without a surface: what the stops' readings say together. */
double foci_map_severity_key_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, foci_box frame,
                                  double scale);

/* The table, or why there is none. */
double foci_map_zones_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, double scale);

/* What stands over the map of chances, or why there is no such map; nothing without a surface. */
bool foci_map_chance_title_draw(double *height, foci_canvas *canvas, const foci_survey *round, foci_box frame,
                                double scale, foci_error *err) FOCI_MUST_CHECK;

/* Nothing where the round has no chances; so too the map. */
double foci_map_chance_key_draw(foci_canvas *canvas, const foci_survey *round, double x, double y, double scale);
bool foci_map_chance_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                          foci_error *err) FOCI_MUST_CHECK;

/* All of it in one column, as large as the frame allows; the map is turned by `turn` degrees. */
bool foci_map_side_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, double turn, foci_box frame,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

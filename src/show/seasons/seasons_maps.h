/* The parts of the sheet of a comparison. Frames are in pixels, south being the larger y. */
#ifndef FOCI_SHOW_SEASONS_MAPS_H
#define FOCI_SHOW_SEASONS_MAPS_H

#include "show/map/map_field.h"
#include "decide/words/seasons_words.h"

#define FOCI_CLASS_MAP_UNDER 66.0 /* height of scale and north below the map of classes */

/* The breaks of severity that all seasons share: those of the season with the highest peak. */
void foci_seasons_breaks(double edges[FOCI_LEGEND_MOST], const foci_seasons *seasons);

/* How far all maps of the sheet are turned, degrees clockwise. */
double foci_seasons_turn(const foci_seasons *seasons);

/* How large the small maps would be in a frame of this size, pixels per metre. */
double foci_seasons_small_maps_scale(const foci_seasons *seasons, double width, double height);

/* Each season's own surface, side by side in the order of time, as large as they go, with the legend they share.
 * Returns the height they take. */
bool foci_seasons_small_maps_draw(double *height, foci_canvas *canvas, const foci_seasons *seasons, foci_box frame,
                                  foci_error *err) FOCI_MUST_CHECK;

/* The classes as the ground of a view, and the boundary. Only where there are classes. */
bool foci_seasons_class_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_seasons *seasons,
                                    foci_error *err) FOCI_MUST_CHECK;

/* The classes with the places' outlines and numbers, scale and north. Only where there are classes. */
bool foci_seasons_class_map_draw(foci_canvas *canvas, const foci_seasons *seasons, foci_box frame,
                                 foci_error *err) FOCI_MUST_CHECK;

/* Legend and table of areas in one, then the verdicts on the last `pairs` pairs of seasons that follow each other, as
 * far as there is room. The height it took comes back. */
bool foci_seasons_table_draw(double *height, foci_canvas *canvas, const foci_seasons *seasons, size_t pairs,
                             foci_box frame, foci_error *err) FOCI_MUST_CHECK;

#endif

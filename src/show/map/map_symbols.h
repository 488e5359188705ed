/* What stands on and under the map: stops by size, their key, scale bar and north arrow. */
#ifndef FOCI_SHOW_MAP_SYMBOLS_H
#define FOCI_SHOW_MAP_SYMBOLS_H

#include "show/map/map_field.h"
#include "show/map/map_labels.h"

#define FOCI_HOTSPOT_LINE 6.0 /* pixels */

/* How a stop is drawn: left out, none found, then three steps of severity. */
enum { FOCI_STOP_EXCLUDED, FOCI_STOP_NONE, FOCI_STOP_LITTLE, FOCI_STOP_MORE, FOCI_STOP_MUCH, FOCI_STOP_KINDS };

/* `size` 1 is that of the key. */
void foci_map_symbol_draw(foci_canvas *canvas, foci_point middle, int kind, double size);

/* Every stop that lies within the frame (pixels, south being the larger y). `edges`: the breaks of severity. */
void foci_map_stops_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, const double *edges,
                         foci_box frame);

/* Takes the room of all that foci_map_stops_draw draws in the room's frame. */
bool foci_map_stops_take(foci_map_room *room, const foci_map_view *view, const foci_survey *round, const double *edges,
                         foci_error *err) FOCI_MUST_CHECK;

/* The symbols explained in one row; returns its height. */
double foci_map_key_draw(foci_canvas *canvas, double x, double y, double width, const foci_survey *round,
                         const double *edges);

/* One dig-check: a box with the number of the visit; 0: a small box without. */
void foci_map_dig_draw(foci_canvas *canvas, foci_point middle, int visit);

/* The box explained in at most three lines, with how many of them and of the hotspots' numbers found no room; returns
 * its height, 0 where there is nothing to say. `labels`: the hotspots' first. */
double foci_map_digs_key_draw(foci_canvas *canvas, double x, double y, double width, const foci_map_label *labels,
                              size_t hotspots, size_t digs);

/* Two bars from one zero, feet above metres, each of a round length not above `most` pixels. */
void foci_map_scale_draw(foci_canvas *canvas, double x, double y, double most, double scale, foci_measures measures);

/* An arrow to true north, `reach` pixels from its middle to its tip; `turn` is its angle from straight up, degrees
 * clockwise. */
void foci_map_north_draw(foci_canvas *canvas, foci_point middle, double reach, double turn);

#endif

/* The field as a picture: the coloured layer, the boundary, hotspots, stops. */
#ifndef FOCI_SHOW_MAP_FIELD_H
#define FOCI_SHOW_MAP_FIELD_H

#include "show/canvas.h"
#include "show/map_legends.h"

/* How metres become pixels: north up, one scale both ways. */
typedef struct {
    double x, y, width, height; /* the field's box on the sheet, pixels */
    double west, north;         /* its corner, metres */
    double scale;               /* pixels per metre */
} foci_map_view;

/* The largest view of `shape` inside a frame, in its middle; `room` pixels are kept free on each side. */
foci_map_view foci_map_view_fit(const foci_multipolygon *shape, double x, double y, double width, double height,
                                double room);

foci_point foci_map_view_pixel(const foci_map_view *view, foci_point place);

/* The legend's layer, clipped to the field, and the boundary. */
bool foci_map_field_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round,
                         const foci_map_legend *legend, const double *edges, foci_error *err) FOCI_MUST_CHECK;

/* The outlines of the hotspots, `width` pixels, thinner round small ones. */
bool foci_map_hotspots_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round, double width,
                            foci_error *err) FOCI_MUST_CHECK;

/* The hotspots' numbers, each where it hides the fewest stops; a line leads to a hotspot that is too small to hold its
 * number. `frame` is the room there is (pixels,
 * south being the larger y). */
bool foci_map_numbers_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round, foci_box frame,
                           foci_error *err) FOCI_MUST_CHECK;

#endif

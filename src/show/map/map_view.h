/* How metres become pixels: one scale both ways, north up unless the field is so long and narrow that it would waste
 * the sheet. */
#ifndef FOCI_SHOW_MAP_VIEW_H
#define FOCI_SHOW_MAP_VIEW_H

#include "fieldfoci/geometry.h"

typedef struct {
    double x, y, width, height; /* the field's box on the sheet, pixels */
    double west, north;         /* its corner, metres, as the map is turned */
    double scale;               /* pixels per metre */
    double cosine, sine;        /* of the turn, clockwise; north up: 1 and 0 */
} foci_map_view;

/* How far to turn a map of `shape` in a frame of this size, degrees clockwise, above -90 to 90: 0 unless it would be
 * half as large again at least. */
double foci_map_turn(const foci_multipolygon *shape, double width, double height);

/* The largest view of `shape` inside a frame, in its middle; `room` pixels are kept free on each side. */
foci_map_view foci_map_view_fit(const foci_multipolygon *shape, double turn, double x, double y, double width,
                                double height, double room);

foci_point foci_map_view_pixel(const foci_map_view *view, foci_point place);

/* The place that is drawn at a pixel. */
foci_point foci_map_view_place(const foci_map_view *view, foci_point pixel);

/* Of a shape in pixels, south being the larger y. */
foci_box foci_map_view_box(const foci_map_view *view, const foci_multipolygon *shape);

/* The direction of grid north on the sheet, degrees clockwise from straight up. */
double foci_map_view_turn(const foci_map_view *view);

#endif

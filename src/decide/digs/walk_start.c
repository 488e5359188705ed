#include "decide/digs/walk_start.h"

#include <math.h>

#define FARTHEST_GATE 10000.0 /* meters from the field: beyond, longitude and latitude are likely exchanged */

static foci_point nearest_corner(const foci_multipolygon *field, foci_point first) {
    foci_point nearest = first;
    double least = INFINITY;
    for (size_t p = 0; p < field->count; p++)
        for (size_t i = 0; i < field->polygons[p].rings[0].count; i++) {
            foci_point corner = field->polygons[p].rings[0].points[i];
            double apart = hypot(corner.x - first.x, corner.y - first.y);
            if (apart < least) {
                least = apart;
                nearest = corner;
            }
        }
    return nearest;
}

bool foci_walk_start(foci_point *start, foci_point *start_lonlat, const foci_projection *projection,
                     const foci_multipolygon *field, foci_point first, const foci_point *gate, foci_error *err) {
    if (!gate) {
        *start = *start_lonlat = nearest_corner(field, first);
        return foci_projection_inverse(projection, start_lonlat, 1) == 0 ||
               foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a corner of the field has no longitude and latitude");
    }
    *start = *start_lonlat = *gate;
    bool placed = foci_projection_forward(projection, start, 1) == 0;
    double away = foci_multipolygon_edge_distance(field, *start);
    if (placed && (away <= FARTHEST_GATE || foci_multipolygon_contains(field, *start)))
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, "{gate}", 0,
                     "%g,%g is not within 10 km of the field; give the gate's longitude, then its latitude", gate->x,
                     gate->y);
}

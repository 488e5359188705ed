/* Points, rings and polygons in one plane (meters) or in degrees (x = longitude, y = latitude). */
#ifndef FIELDFOCI_GEOMETRY_H
#define FIELDFOCI_GEOMETRY_H

#include "fieldfoci/error.h"

typedef struct {
    double x, y;
} foci_point;

typedef struct {
    double west, south, east, north;
} foci_box;

/* The last point is joined to the first; it does not repeat it. */
typedef struct {
    size_t count;
    foci_point *points;
} foci_ring;

/* rings[0] is the outer ring (counter-clockwise), the others are holes (clockwise). */
typedef struct {
    size_t count;
    foci_ring *rings;
} foci_polygon;

typedef struct {
    size_t count;
    foci_polygon *polygons;
} foci_multipolygon;

FOCI_API void foci_multipolygon_free(foci_multipolygon *shape);

/* All rings and corners anew, owned by `out`. */
FOCI_API bool foci_multipolygon_copy(foci_multipolygon *out, const foci_multipolygon *shape,
                                     foci_error *err) FOCI_MUST_CHECK;

/* Plane area by the shoelace formula, holes taken out; square units of the coordinates. */
FOCI_API double foci_multipolygon_area(const foci_multipolygon *shape);

/* All zeros for an empty shape. */
FOCI_API foci_box foci_multipolygon_box(const foci_multipolygon *shape);

/* Area centroid, by the triangles of the shoelace formula; the middle of its box where the shape has no area, (0, 0)
 * where it is empty. */
FOCI_API foci_point foci_multipolygon_centroid(const foci_multipolygon *shape);

/* Inside by the even-odd (crossing) rule over all rings, so holes are outside. On an edge: inside where the shape lies
 * to its east (or north, of a level edge), so that of two shapes with a common edge just one contains it. */
FOCI_API bool foci_multipolygon_contains(const foci_multipolygon *shape, foci_point place);

/* Distance to the nearest edge of any ring, whether inside or outside; infinity for an empty shape. */
FOCI_API double foci_multipolygon_edge_distance(const foci_multipolygon *shape, foci_point place);

/* Area of the convex hull of `count` points, square units of their coordinates; 0 where they lie on one line. Monotone
 * chain (Andrew 1979, Information Processing Letters 9:216-219). */
FOCI_API bool foci_convex_hull_area(double *area, const foci_point *places, size_t count,
                                    foci_error *err) FOCI_MUST_CHECK;

#endif

/* Shapes for tests of geometry and grid: rings from plain lists, put together and freed in one call. */
#ifndef FOCI_TESTS_SHAPES_H
#define FOCI_TESTS_SHAPES_H

#include "support/support.h"

#include "fieldfoci/geometry.h"

typedef struct {
    size_t polygon, count; /* rings of one polygon follow one another, the outer one first; count 0 ends the list */
    const foci_point *points;
} plain_ring;

/* Every coordinate is moved by `shift`. Freed with foci_multipolygon_free. */
static inline foci_multipolygon make_shape(const plain_ring *rings, foci_point shift) {
    foci_error err = {0};
    foci_multipolygon shape = {0};
    shape.polygons = foci_new_array(8, sizeof *shape.polygons, &err);
    for (; rings->count > 0; rings++) {
        foci_polygon *polygon = &shape.polygons[rings->polygon];
        if (!polygon->rings)
            polygon->rings = foci_new_array(8, sizeof *polygon->rings, &err);
        foci_ring *ring = &polygon->rings[polygon->count++];
        ring->count = rings->count;
        ring->points = foci_new_array(rings->count, sizeof *ring->points, &err);
        for (size_t i = 0; i < rings->count; i++)
            ring->points[i] = (foci_point){rings->points[i].x + shift.x, rings->points[i].y + shift.y};
        shape.count = rings->polygon + 1;
    }
    assert_int_equal(err.status, FOCI_OK);
    return shape;
}

#define RING(polygon, points)                                                                                          \
    { polygon, sizeof(points) / sizeof *(points), points }

/* A rectangle of 40 x 30 = 1200 with a triangular hole of 8 x 6 / 2 = 24, and an L of 10 x 10 less 6 x 5 = 70. */
static const foci_point plain_field[] = {{0, 0}, {40, 0}, {40, 30}, {0, 30}};
static const foci_point plain_hole[] = {{10.5, 10.25}, {10.5, 16.25}, {18.5, 10.25}};
static const foci_point plain_ell[] = {{50, 0}, {60, 0}, {60, 5}, {54, 5}, {54, 10}, {50, 10}};
static const plain_ring plain_rings[] = {RING(0, plain_field), RING(0, plain_hole), RING(1, plain_ell), {0}};
#define PLAIN_AREA 1246.0

#endif

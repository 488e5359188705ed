#include "fieldfoci/geometry.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/edges.h"
#include "base/memory.h"

void foci_multipolygon_free(foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++) {
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            free(shape->polygons[p].rings[r].points);
        free(shape->polygons[p].rings);
    }
    free(shape->polygons);
    *shape = (foci_multipolygon){0};
}

static bool copy_ring(foci_ring *to, const foci_ring *from, foci_error *err) {
    to->points = foci_new_array(from->count, sizeof *to->points, err);
    if (!to->points)
        return false;
    to->count = from->count;
    if (from->count > 0)
        memcpy(to->points, from->points, from->count * sizeof *to->points);
    return true;
}

static bool copy_polygon(foci_polygon *to, const foci_polygon *from, foci_error *err) {
    to->rings = foci_new_array(from->count, sizeof *to->rings, err);
    if (!to->rings)
        return false;
    to->count = from->count;
    for (size_t r = 0; r < from->count; r++)
        if (!copy_ring(&to->rings[r], &from->rings[r], err))
            return false;
    return true;
}

bool foci_multipolygon_copy(foci_multipolygon *out, const foci_multipolygon *shape, foci_error *err) {
    foci_multipolygon copy = {0};
    copy.polygons = foci_new_array(shape->count, sizeof *copy.polygons, err);
    if (!copy.polygons)
        return false;
    copy.count = shape->count;
    for (size_t p = 0; p < shape->count; p++) {
        if (!copy_polygon(&copy.polygons[p], &shape->polygons[p], err)) {
            foci_multipolygon_free(&copy);
            return false;
        }
    }
    *out = copy;
    return true;
}

static const foci_point *next_of(const foci_ring *ring, size_t i) {
    return &ring->points[i + 1 < ring->count ? i + 1 : 0];
}

/* Calls `visit` for every ring; `role` is 1 for outer rings and -1 for holes. */
static void each_ring(const foci_multipolygon *shape, void (*visit)(void *context, const foci_ring *ring, double role),
                      void *context) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            visit(context, &shape->polygons[p].rings[r], r == 0 ? 1 : -1);
}

typedef struct {
    foci_point origin; /* near the shape, so that products of large coordinates do not cancel */
    double area, x, y; /* area and its first moments about the origin */
} moments;

static void add_moments(void *context, const foci_ring *ring, double role) {
    moments *sum = context;
    double twice = 0, x = 0, y = 0;
    for (size_t i = 0; i < ring->count; i++) {
        foci_point a = ring->points[i], b = *next_of(ring, i);
        double ax = a.x - sum->origin.x, ay = a.y - sum->origin.y;
        double bx = b.x - sum->origin.x, by = b.y - sum->origin.y;
        double cross = ax * by - bx * ay;
        twice += cross;
        x += (ax + bx) * cross;
        y += (ay + by) * cross;
    }
    double sign = twice < 0 ? -role : role; /* a ring's place says what it is, not its direction */
    sum->area += sign * twice / 2;
    sum->x += sign * x / 6;
    sum->y += sign * y / 6;
}

static moments moments_of(const foci_multipolygon *shape) {
    foci_box box = foci_multipolygon_box(shape);
    moments sum = {.origin = {(box.west + box.east) / 2, (box.south + box.north) / 2}};
    each_ring(shape, add_moments, &sum);
    return sum;
}

double foci_multipolygon_area(const foci_multipolygon *shape) {
    return moments_of(shape).area;
}

foci_point foci_multipolygon_centroid(const foci_multipolygon *shape) {
    moments sum = moments_of(shape);
    if (!(sum.area > 0))
        return sum.origin;
    return (foci_point){sum.origin.x + sum.x / sum.area, sum.origin.y + sum.y / sum.area};
}

static void add_box(void *context, const foci_ring *ring, double role) {
    foci_box *box = context;
    (void)role;
    for (size_t i = 0; i < ring->count; i++) {
        box->west = fmin(box->west, ring->points[i].x);
        box->east = fmax(box->east, ring->points[i].x);
        box->south = fmin(box->south, ring->points[i].y);
        box->north = fmax(box->north, ring->points[i].y);
    }
}

foci_box foci_multipolygon_box(const foci_multipolygon *shape) {
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    each_ring(shape, add_box, &box);
    return box.west <= box.east ? box : (foci_box){0};
}

typedef struct {
    foci_point place;
    bool inside;
    double least; /* squared distance */
} probe;

/* A ray to the east. */
static void cross_ring(void *context, const foci_ring *ring, double role) {
    probe *p = context;
    (void)role;
    for (size_t i = 0; i < ring->count; i++)
        p->inside ^= foci_edge_crossed(ring->points[i], *next_of(ring, i), p->place);
}

bool foci_multipolygon_contains(const foci_multipolygon *shape, foci_point place) {
    probe p = {.place = place};
    each_ring(shape, cross_ring, &p);
    return p.inside;
}

static void near_ring(void *context, const foci_ring *ring, double role) {
    probe *p = context;
    (void)role;
    for (size_t i = 0; i < ring->count; i++)
        p->least = fmin(p->least, foci_edge_squared_distance(ring->points[i], *next_of(ring, i), p->place));
}

double foci_multipolygon_edge_distance(const foci_multipolygon *shape, foci_point place) {
    probe p = {.place = place, .least = INFINITY};
    each_ring(shape, near_ring, &p);
    return sqrt(p.least);
}

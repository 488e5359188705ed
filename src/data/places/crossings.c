#include "data/places/crossings.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* Pairs of sides that are looked at: about a second (measured on one core). */
#define MOST_PAIRS 200000000

typedef struct {
    foci_point a, b;
    double least, most; /* of its x */
} side;

static int by_least(const void *p, const void *q) {
    double a = ((const side *)p)->least, b = ((const side *)q)->least;
    return (a > b) - (a < b);
}

static size_t count_sides(const foci_multipolygon *shape) {
    size_t count = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            count += shape->polygons[p].rings[r].count;
    return count;
}

static void fill_sides(side *sides, const foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++) {
            const foci_ring *ring = &shape->polygons[p].rings[r];
            for (size_t i = 0; i < ring->count; i++) {
                foci_point a = ring->points[i], b = ring->points[i + 1 < ring->count ? i + 1 : 0];
                *sides++ = (side){a, b, fmin(a.x, b.x), fmax(a.x, b.x)};
            }
        }
}

/* On which side of the line through a and b the place lies. */
static int turn(foci_point a, foci_point b, foci_point place) {
    double cross = (b.x - a.x) * (place.y - a.y) - (b.y - a.y) * (place.x - a.x);
    return (cross > 0) - (cross < 0);
}

static bool same(foci_point p, foci_point q) {
    return p.x == q.x && p.y == q.y;
}

/* Sides that lie on each other cross, too. */
static bool cross(const side *p, const side *q) {
    if (fmin(p->a.y, p->b.y) > fmax(q->a.y, q->b.y) || fmin(q->a.y, q->b.y) > fmax(p->a.y, p->b.y))
        return false;
    if (same(p->a, q->a) || same(p->a, q->b) || same(p->b, q->a) || same(p->b, q->b))
        return false;
    return turn(p->a, p->b, q->a) * turn(p->a, p->b, q->b) <= 0 && turn(q->a, q->b, p->a) * turn(q->a, q->b, p->b) <= 0;
}

bool foci_crossings_within(bool *within, const foci_multipolygon *shape, size_t most, foci_error *err) {
    const size_t count = count_sides(shape);
    side *sides = foci_new_array(count, sizeof *sides, err);
    if (!sides)
        return false;
    size_t crossings = 0, pairs = 0;
    fill_sides(sides, shape);
    qsort(sides, count, sizeof *sides, by_least);
    for (size_t i = 0; i < count && crossings <= most && pairs <= MOST_PAIRS; i++)
        for (size_t j = i + 1; j < count && sides[j].least <= sides[i].most && crossings <= most; j++, pairs++)
            crossings += cross(&sides[i], &sides[j]);
    free(sides);
    *within = crossings <= most && pairs <= MOST_PAIRS;
    return true;
}

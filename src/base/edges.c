#include "base/edges.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define LEAF 8 /* edges */

/* ---- one edge ---- */

bool foci_edge_crossed(foci_point a, foci_point b, foci_point place) {
    if ((a.y > place.y) == (b.y > place.y))
        return false;
    /* Taken from the same end whichever way the edge runs, so that neighbours agree on their common edge. */
    foci_point low = a.y < b.y ? a : b, high = a.y < b.y ? b : a;
    return (place.x - low.x) * (high.y - low.y) - (high.x - low.x) * (place.y - low.y) < 0;
}

double foci_edge_squared_distance(foci_point a, foci_point b, foci_point place) {
    double dx = b.x - a.x, dy = b.y - a.y;
    double px = place.x - a.x, py = place.y - a.y;
    double length = dx * dx + dy * dy;
    double along = length > 0 ? fmin(1, fmax(0, (px * dx + py * dy) / length)) : 0;
    px -= along * dx;
    py -= along * dy;
    return px * px + py * py;
}

/* ---- the tree ---- */

static const foci_box nowhere = {INFINITY, INFINITY, -INFINITY, -INFINITY};

static void widen(foci_box *box, foci_point place) {
    box->west = fmin(box->west, place.x);
    box->east = fmax(box->east, place.x);
    box->south = fmin(box->south, place.y);
    box->north = fmax(box->north, place.y);
}

static foci_box joined(const foci_box *a, const foci_box *b) {
    return (foci_box){fmin(a->west, b->west), fmin(a->south, b->south), fmax(a->east, b->east),
                      fmax(a->north, b->north)};
}

static void gather(foci_edges *to, const foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++) {
            const foci_ring *ring = &shape->polygons[p].rings[r];
            for (size_t i = 0; i < ring->count; i++)
                to->edges[to->count++] = (foci_edge){ring->points[i], ring->points[i + 1 < ring->count ? i + 1 : 0]};
        }
}

static void fill_boxes(foci_edges *of) {
    for (size_t i = 0; i < 2 * of->leaves; i++)
        of->boxes[i] = nowhere;
    for (size_t i = 0; i < of->count; i++) {
        widen(&of->boxes[of->leaves + i / LEAF], of->edges[i].a);
        widen(&of->boxes[of->leaves + i / LEAF], of->edges[i].b);
    }
    for (size_t node = of->leaves; node-- > 1;)
        of->boxes[node] = joined(&of->boxes[2 * node], &of->boxes[2 * node + 1]);
}

bool foci_edges_make(foci_edges *out, const foci_multipolygon *shape, foci_error *err) {
    foci_edges made = {.leaves = 1};
    size_t count = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            count += shape->polygons[p].rings[r].count;
    while (made.leaves * LEAF < count)
        made.leaves *= 2;
    if (!(made.edges = foci_new_array(count, sizeof *made.edges, err)) ||
        !(made.boxes = foci_new_array(2 * made.leaves, sizeof *made.boxes, err))) {
        foci_edges_free(&made);
        return false;
    }
    gather(&made, shape);
    fill_boxes(&made);
    *out = made;
    return true;
}

void foci_edges_free(foci_edges *edges) {
    free(edges->edges);
    free(edges->boxes);
    *edges = (foci_edges){0};
}

/* ---- asking it ---- */

typedef struct {
    const foci_edges *of;
    foci_point place;
    bool inside;
    double least; /* squared distance */
    double slack; /* by so much may a rounded squared distance be below that of the box which holds the edge */
} probe;

static size_t end_of_leaf(const foci_edges *of, size_t leaf) {
    return (leaf + 1) * LEAF < of->count ? (leaf + 1) * LEAF : of->count;
}

static void count_crossings(probe *p, size_t node) {
    const foci_box *box = &p->of->boxes[node];
    if (!(box->south <= p->place.y && p->place.y <= box->north && p->place.x <= box->east))
        return;
    if (node < p->of->leaves) {
        count_crossings(p, 2 * node);
        count_crossings(p, 2 * node + 1);
        return;
    }
    const size_t leaf = node - p->of->leaves;
    for (size_t i = leaf * LEAF; i < end_of_leaf(p->of, leaf); i++)
        p->inside ^= foci_edge_crossed(p->of->edges[i].a, p->of->edges[i].b, p->place);
}

static double squared_distance_of_box(const foci_box *box, foci_point place) {
    const double x = fmax(0, fmax(box->west - place.x, place.x - box->east));
    const double y = fmax(0, fmax(box->south - place.y, place.y - box->north));
    return x * x + y * y;
}

static void find_nearest(probe *p, size_t node) {
    if (node >= p->of->leaves) {
        const size_t leaf = node - p->of->leaves;
        for (size_t i = leaf * LEAF; i < end_of_leaf(p->of, leaf); i++)
            p->least = fmin(p->least, foci_edge_squared_distance(p->of->edges[i].a, p->of->edges[i].b, p->place));
        return;
    }
    const double first = squared_distance_of_box(&p->of->boxes[2 * node], p->place);
    const double second = squared_distance_of_box(&p->of->boxes[2 * node + 1], p->place);
    const bool swapped = second < first;
    if (!(fmin(first, second) > p->least + p->slack))
        find_nearest(p, 2 * node + swapped);
    if (!(fmax(first, second) > p->least + p->slack))
        find_nearest(p, 2 * node + !swapped);
}

bool foci_edges_contain(const foci_edges *edges, foci_point place) {
    probe p = {.of = edges, .place = place};
    count_crossings(&p, 1);
    return p.inside;
}

double foci_edges_distance(const foci_edges *edges, foci_point place) {
    const foci_box *all = &edges->boxes[1];
    const double reach = fmax(fmax(fabs(all->west - place.x), fabs(all->east - place.x)),
                              fmax(fabs(all->south - place.y), fabs(all->north - place.y)));
    probe p = {.of = edges, .place = place, .least = INFINITY, .slack = 1e-12 * reach * reach};
    find_nearest(&p, 1);
    return sqrt(p.least);
}

/* The edges of a shape, so laid out that few are looked at where many places are asked about one shape. The answers are
 * those of foci_multipolygon_contains and foci_multipolygon_edge_distance, to the last digit. */
#ifndef FOCI_BASE_EDGES_H
#define FOCI_BASE_EDGES_H

#include "fieldfoci/geometry.h"

typedef struct {
    foci_point a, b;
} foci_edge;

/* A tree of boxes over runs of edges, in the order of the rings: what is near in a ring is near on the ground. */
typedef struct {
    size_t count;
    foci_edge *edges; /* of all rings; owned */
    size_t leaves;    /* a power of two */
    foci_box *boxes;  /* boxes[1] holds boxes[2] and boxes[3], and so on; the leaves are last; owned */
} foci_edges;

bool foci_edges_make(foci_edges *out, const foci_multipolygon *shape, foci_error *err) FOCI_MUST_CHECK;
void foci_edges_free(foci_edges *edges);

bool foci_edges_contain(const foci_edges *edges, foci_point place);
double foci_edges_distance(const foci_edges *edges, foci_point place);

/* Of one edge: whether a ray to the east crosses it, and the square of its distance. An edge owns its lower end only,
 * so that a corner is counted once. */
bool foci_edge_crossed(foci_point a, foci_point b, foci_point place);
double foci_edge_squared_distance(foci_point a, foci_point b, foci_point place);

#endif

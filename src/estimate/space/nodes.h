/* Coarse nodes over a grid, some cells apart: smooth things are worked at the nodes and interpolated between them. */
#ifndef FOCI_ESTIMATE_NODES_H
#define FOCI_ESTIMATE_NODES_H

#include "fieldfoci/grid.h"

typedef struct {
    size_t step;          /* cells between nodes */
    size_t columns, rows; /* of nodes, one more than reach over the grid */
    size_t *index;        /* node -> its place, (size_t)-1 where no cell inside the field needs it; owned */
    size_t count;
    foci_point *places; /* middle of the node's cell, which may lie beyond the grid; owned */
} foci_nodes;

/* How many cells apart the nodes may lie: an eighth of the spacing of the stops. */
size_t foci_nodes_step(double spacing, double cell);

/* With the nodes around every cell that has a share in the field. */
bool foci_nodes_make(foci_nodes *out, const foci_grid *grid, size_t step, foci_error *err) FOCI_MUST_CHECK;
void foci_nodes_free(foci_nodes *nodes);

/* The four nodes around a cell inside the field, and their weights in bilinear interpolation. */
typedef struct {
    size_t place[4];
    double weight[4];
} foci_nodes_four;

foci_nodes_four foci_nodes_around(const foci_nodes *nodes, const foci_grid *grid, size_t cell);

#endif

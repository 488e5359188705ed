#include "estimate/space/nodes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define NONE ((size_t)-1)

size_t foci_nodes_step(double spacing, double cell) {
    double step = floor(spacing / 8 / cell);
    return step < 2 ? 1 : step > 64 ? 64 : (size_t)step;
}

void foci_nodes_free(foci_nodes *nodes) {
    free(nodes->index);
    free(nodes->places);
    *nodes = (foci_nodes){0};
}

/* The node to the north-west of a cell. */
static size_t corner(const foci_nodes *nodes, const foci_grid *grid, size_t cell) {
    return cell / grid->columns / nodes->step * nodes->columns + cell % grid->columns / nodes->step;
}

static void mark_needed(foci_nodes *nodes, const foci_grid *grid) {
    memset(nodes->index, 0xff, nodes->columns * nodes->rows * sizeof *nodes->index);
    for (size_t cell = 0; cell < grid->columns * grid->rows; cell++)
        if (grid->share[cell] > 0) {
            size_t node = corner(nodes, grid, cell);
            nodes->index[node] = nodes->index[node + 1] = 0;
            nodes->index[node + nodes->columns] = nodes->index[node + nodes->columns + 1] = 0;
        }
}

static foci_point node_place(const foci_nodes *nodes, const foci_grid *grid, size_t node) {
    size_t column = node % nodes->columns * nodes->step, row = node / nodes->columns * nodes->step;
    return (foci_point){grid->west + ((double)column + 0.5) * grid->cell,
                        grid->north - ((double)row + 0.5) * grid->cell};
}

bool foci_nodes_make(foci_nodes *out, const foci_grid *grid, size_t step, foci_error *err) {
    foci_nodes nodes = {.step = step, .columns = (grid->columns - 1) / step + 2, .rows = (grid->rows - 1) / step + 2};
    size_t total = nodes.columns * nodes.rows;
    nodes.index = foci_new_array(total, sizeof *nodes.index, err);
    if (!nodes.index)
        return false;
    mark_needed(&nodes, grid);
    for (size_t node = 0; node < total; node++)
        if (nodes.index[node] != NONE)
            nodes.index[node] = nodes.count++;
    nodes.places = foci_new_array(nodes.count, sizeof *nodes.places, err);
    if (!nodes.places) {
        foci_nodes_free(&nodes);
        return false;
    }
    for (size_t node = 0; node < total; node++)
        if (nodes.index[node] != NONE)
            nodes.places[nodes.index[node]] = node_place(&nodes, grid, node);
    *out = nodes;
    return true;
}

foci_nodes_four foci_nodes_around(const foci_nodes *nodes, const foci_grid *grid, size_t cell) {
    size_t node = corner(nodes, grid, cell);
    double east = (double)(cell % grid->columns % nodes->step) / (double)nodes->step;
    double south = (double)(cell / grid->columns % nodes->step) / (double)nodes->step;
    return (foci_nodes_four){
        .place = {nodes->index[node], nodes->index[node + 1], nodes->index[node + nodes->columns],
                  nodes->index[node + nodes->columns + 1]},
        .weight = {(1 - east) * (1 - south), east * (1 - south), (1 - east) * south, east * south},
    };
}

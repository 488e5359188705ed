/* Smooth methods are worked at the nodes of a coarser lattice and interpolated between them. How much that loses is
 * shown in the tests and in docs/surface.md. */
#include "estimate/surface_layers.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define NONE ((size_t)-1)
/* Shares nearer to 0 or 1 than this are not told apart. */
#define TINY 1e-12

size_t foci_surface_lattice_step(double spacing, double cell) {
    double step = floor(spacing / 8 / cell);
    return step < 2 ? 1 : step > 64 ? 64 : (size_t)step;
}

typedef struct {
    size_t step, columns, rows;
    size_t *index; /* node -> place, NONE where no cell needs it */
    foci_surface_places places;
} lattice;

static void lattice_free(lattice *nodes) {
    free(nodes->index);
    foci_surface_places_free(&nodes->places);
}

/* The node to the north-west of a cell. */
static size_t corner(const lattice *nodes, const foci_grid *grid, size_t cell) {
    return cell / grid->columns / nodes->step * nodes->columns + cell % grid->columns / nodes->step;
}

static void mark_needed(lattice *nodes, const foci_grid *grid, const foci_surface_places *cells) {
    memset(nodes->index, 0xff, nodes->columns * nodes->rows * sizeof *nodes->index);
    for (size_t k = 0; k < cells->count; k++) {
        size_t node = corner(nodes, grid, cells->cells[k]);
        nodes->index[node] = nodes->index[node + 1] = 0;
        nodes->index[node + nodes->columns] = nodes->index[node + nodes->columns + 1] = 0;
    }
}

/* The middle of the node's cell, which may lie beyond the grid. */
static foci_point node_place(const lattice *nodes, const foci_grid *grid, size_t node) {
    size_t column = node % nodes->columns * nodes->step, row = node / nodes->columns * nodes->step;
    return (foci_point){grid->west + ((double)column + 0.5) * grid->cell,
                        grid->north - ((double)row + 0.5) * grid->cell};
}

static bool lattice_make(lattice *nodes, const foci_grid *grid, const foci_surface_places *cells, size_t step,
                         foci_error *err) {
    nodes->step = step;
    nodes->columns = (grid->columns - 1) / step + 2;
    nodes->rows = (grid->rows - 1) / step + 2;
    size_t count = 0, total = nodes->columns * nodes->rows;
    nodes->index = foci_new_array(total, sizeof *nodes->index, err);
    if (!nodes->index)
        return false;
    mark_needed(nodes, grid, cells);
    for (size_t node = 0; node < total; node++)
        if (nodes->index[node] != NONE)
            nodes->index[node] = count++;
    if (!foci_surface_places_make(&nodes->places, count, cells->answers.variance != NULL, cells->answers.chance != NULL,
                                  err))
        return false;
    for (size_t node = 0; node < total; node++)
        if (nodes->index[node] != NONE)
            nodes->places.places[nodes->index[node]] = node_place(nodes, grid, node);
    return true;
}

/* The four nodes around a cell, and their weights. */
typedef struct {
    size_t place[4];
    double weight[4];
} around;

static around find_around(const lattice *nodes, const foci_grid *grid, size_t cell) {
    size_t node = corner(nodes, grid, cell);
    double east = (double)(cell % grid->columns % nodes->step) / (double)nodes->step;
    double south = (double)(cell / grid->columns % nodes->step) / (double)nodes->step;
    return (around){
        .place = {nodes->index[node], nodes->index[node + 1], nodes->index[node + nodes->columns],
                  nodes->index[node + nodes->columns + 1]},
        .weight = {(1 - east) * (1 - south), east * (1 - south), (1 - east) * south, east * south},
    };
}

static double logit_mean(const double *values, const around *four, double least, double most) {
    double sum = 0;
    for (int i = 0; i < 4; i++) {
        double share = (values[four->place[i]] - least) / (most - least);
        share = fmin(fmax(share, TINY), 1 - TINY);
        sum += four->weight[i] * log(share / (1 - share));
    }
    return least + (most - least) / (1 + exp(-sum));
}

static double log_mean(const double *values, const around *four) {
    double sum = 0;
    for (int i = 0; i < 4; i++)
        sum += four->weight[i] * log(fmax(values[four->place[i]], TINY));
    return exp(sum);
}

bool foci_surface_lattice_run(foci_surface_places *cells, const foci_surface_model *model, const foci_grid *grid,
                              size_t step, foci_error *err) {
    lattice nodes = {0};
    bool ok = lattice_make(&nodes, grid, cells, step, err) &&
              model->method->at(model->state, &nodes.places.answers, nodes.places.places, nodes.places.count, err);
    const foci_answers *from = &nodes.places.answers, *to = &cells->answers;
    for (size_t k = 0; ok && k < cells->count; k++) {
        around four = find_around(&nodes, grid, cells->cells[k]);
        to->estimate[k] = logit_mean(from->estimate, &four, model->least, model->most);
        if (!to->variance)
            continue;
        to->variance[k] = log_mean(from->variance, &four);
        to->low[k] = logit_mean(from->low, &four, model->least, model->most);
        to->high[k] = logit_mean(from->high, &four, model->least, model->most);
        if (to->chance)
            to->chance[k] = logit_mean(from->chance, &four, 0, 1);
    }
    lattice_free(&nodes);
    return ok;
}

#include "estimate/space/lattice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define NONE ((size_t)-1)

size_t foci_lattice_step(double spacing, double cell) {
    double step = floor(spacing / 8 / cell);
    return step < 2 ? 1 : step > 64 ? 64 : (size_t)step;
}

void foci_lattice_free(foci_lattice *lattice) {
    free(lattice->index);
    free(lattice->places);
    *lattice = (foci_lattice){0};
}

/* The node to the north-west of a cell. */
static size_t corner(const foci_lattice *lattice, const foci_grid *grid, size_t cell) {
    return cell / grid->columns / lattice->step * lattice->columns + cell % grid->columns / lattice->step;
}

static void mark_needed(foci_lattice *lattice, const foci_grid *grid) {
    memset(lattice->index, 0xff, lattice->columns * lattice->rows * sizeof *lattice->index);
    for (size_t cell = 0; cell < grid->columns * grid->rows; cell++)
        if (grid->share[cell] > 0) {
            size_t node = corner(lattice, grid, cell);
            lattice->index[node] = lattice->index[node + 1] = 0;
            lattice->index[node + lattice->columns] = lattice->index[node + lattice->columns + 1] = 0;
        }
}

static foci_point node_place(const foci_lattice *lattice, const foci_grid *grid, size_t node) {
    size_t column = node % lattice->columns * lattice->step, row = node / lattice->columns * lattice->step;
    return (foci_point){grid->west + ((double)column + 0.5) * grid->cell,
                        grid->north - ((double)row + 0.5) * grid->cell};
}

bool foci_lattice_make(foci_lattice *out, const foci_grid *grid, size_t step, foci_error *err) {
    foci_lattice lattice = {
        .step = step, .columns = (grid->columns - 1) / step + 2, .rows = (grid->rows - 1) / step + 2};
    size_t total = lattice.columns * lattice.rows;
    lattice.index = foci_new_array(total, sizeof *lattice.index, err);
    if (!lattice.index)
        return false;
    mark_needed(&lattice, grid);
    for (size_t node = 0; node < total; node++)
        if (lattice.index[node] != NONE)
            lattice.index[node] = lattice.count++;
    lattice.places = foci_new_array(lattice.count, sizeof *lattice.places, err);
    if (!lattice.places) {
        foci_lattice_free(&lattice);
        return false;
    }
    for (size_t node = 0; node < total; node++)
        if (lattice.index[node] != NONE)
            lattice.places[lattice.index[node]] = node_place(&lattice, grid, node);
    *out = lattice;
    return true;
}

foci_lattice_nodes foci_lattice_around(const foci_lattice *lattice, const foci_grid *grid, size_t cell) {
    size_t node = corner(lattice, grid, cell);
    double east = (double)(cell % grid->columns % lattice->step) / (double)lattice->step;
    double south = (double)(cell / grid->columns % lattice->step) / (double)lattice->step;
    return (foci_lattice_nodes){
        .place = {lattice->index[node], lattice->index[node + 1], lattice->index[node + lattice->columns],
                  lattice->index[node + lattice->columns + 1]},
        .weight = {(1 - east) * (1 - south), east * (1 - south), (1 - east) * south, east * south},
    };
}

#include "decide/digs/dig_ground.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/edges.h"
#include "base/frame.h"
#include "base/memory.h"

#define NONE ((size_t)-1)

void foci_dig_ground_free(foci_dig_ground *ground) {
    free(ground->cells);
    *ground = (foci_dig_ground){0};
}

/* sums[row x (columns + 1) + column]: cells not whole in the field, north and west of that corner. */
static void sum_cut_cells(uint32_t *sums, const foci_grid *grid) {
    size_t side = grid->columns + 1;
    for (size_t row = 1; row <= grid->rows; row++) {
        uint32_t run = 0;
        for (size_t column = 1; column <= grid->columns; column++) {
            run += !(grid->share[(row - 1) * grid->columns + column - 1] >= 1);
            sums[row * side + column] = sums[(row - 1) * side + column] + run;
        }
    }
}

/* Whether all cells within `reach` cells of this one are whole in the field: then no edge is within that distance. */
static bool is_deep_inside(const uint32_t *sums, const foci_grid *grid, size_t cell, size_t reach) {
    size_t row = cell / grid->columns, column = cell % grid->columns, side = grid->columns + 1;
    if (row < reach || column < reach || row + reach >= grid->rows || column + reach >= grid->columns)
        return false;
    size_t north = (row - reach) * side, south = (row + reach + 1) * side;
    size_t west = column - reach, east = column + reach + 1;
    return sums[south + east] - sums[north + east] == sums[south + west] - sums[north + west];
}

#define PART_OF_DEPTH 0.1

/* Cells need to be measured only where none is known to lie deep enough. */
bool foci_dig_ground_from_edge(double *out, const foci_grid *grid, const foci_multipolygon *field, double wanted,
                               foci_error *err) {
    const size_t cells = grid->rows * grid->columns, reach = (size_t)ceil(wanted / PART_OF_DEPTH / grid->cell);
    double deepest = 0;
    bool ok = false;
    foci_edges edges = {0};
    uint32_t *sums = foci_new_array(grid->rows + 1, (grid->columns + 1) * sizeof *sums, err);
    if (!sums || !foci_edges_make(&edges, field, err))
        goto done;
    sum_cut_cells(sums, grid);
    for (size_t i = 0; i < cells && deepest < wanted / PART_OF_DEPTH; i++)
        if (grid->share[i] >= 1 && is_deep_inside(sums, grid, i, reach))
            deepest = wanted / PART_OF_DEPTH;
    for (size_t i = 0; i < cells && deepest < wanted / PART_OF_DEPTH; i++)
        if (grid->share[i] > 0 && foci_edges_contain(&edges, foci_grid_centre(grid, i)))
            deepest = fmax(deepest, foci_edges_distance(&edges, foci_grid_centre(grid, i)));
    *out = fmin(wanted, PART_OF_DEPTH * deepest);
    ok = true;
done:
    free(sums);
    foci_edges_free(&edges);
    return ok;
}

/* Only cells near an edge need to be measured. */
bool foci_dig_ground_make(foci_dig_ground *out, const foci_grid *grid, const foci_multipolygon *field, double apart,
                          foci_error *err) {
    foci_dig_ground ground = {0};
    foci_edges edges = {0};
    bool ok = false;
    size_t cells = grid->rows * grid->columns, reach = (size_t)ceil(apart / grid->cell);
    uint32_t *sums = foci_new_array(grid->rows + 1, (grid->columns + 1) * sizeof *sums, err);
    if (!sums || !foci_edges_make(&edges, field, err))
        goto done;
    ground.cells = foci_new_array(grid->cells, sizeof *ground.cells, err);
    if (!ground.cells)
        goto done;
    sum_cut_cells(sums, grid);
    for (size_t i = 0; i < cells; i++) {
        if (!(grid->share[i] > 0))
            continue;
        foci_point place = foci_grid_centre(grid, i);
        if (is_deep_inside(sums, grid, i, reach) ||
            (foci_edges_contain(&edges, place) && foci_edges_distance(&edges, place) >= apart))
            ground.cells[ground.count++] = i;
    }
    *out = ground;
    ground = (foci_dig_ground){0};
    ok = true;
done:
    free(sums);
    foci_edges_free(&edges);
    foci_dig_ground_free(&ground);
    return ok;
}

typedef struct {
    double strip; /* whole number */
    double along; /* meters in the direction in which the strip is walked */
    size_t cell;
} step;

static int compare_steps(const void *left, const void *right) {
    const step *a = left, *b = right;
    if (a->strip != b->strip)
        return a->strip < b->strip ? -1 : 1;
    if (a->along != b->along)
        return a->along < b->along ? -1 : 1;
    return (a->cell > b->cell) - (a->cell < b->cell);
}

bool foci_dig_ground_along_rows(foci_dig_ground *ground, const foci_grid *grid, double heading, foci_error *err) {
    const foci_point corner = {grid->west, grid->north}; /* small numbers keep their digits */
    const foci_frame rows = foci_frame_make(&corner, 1, heading);
    double leftmost = INFINITY;
    step *steps = foci_new_array(ground->count, sizeof *steps, err);
    if (!steps)
        return false;
    for (size_t i = 0; i < ground->count; i++) {
        const foci_point turned = foci_frame_place(&rows, foci_grid_centre(grid, ground->cells[i]));
        steps[i] = (step){turned.y, turned.x, ground->cells[i]};
        leftmost = fmin(leftmost, steps[i].strip);
    }
    for (size_t i = 0; i < ground->count; i++) {
        steps[i].strip = floor((steps[i].strip - leftmost) / grid->cell + 0.5);
        if (fmod(steps[i].strip, 2) == 1)
            steps[i].along = -steps[i].along;
    }
    qsort(steps, ground->count, sizeof *steps, compare_steps);
    for (size_t i = 0; i < ground->count; i++)
        ground->cells[i] = steps[i].cell;
    free(steps);
    return true;
}

/* Squares of `side` x `side` cells over the grid, with the cell of each that lies nearest to its middle. */
typedef struct {
    size_t side, columns, rows;
    size_t *nearest; /* NONE where the ground has no cell in it */
} squares;

/* Squared distance of a cell from the middle of its square, in half cells. */
static size_t off_middle(const squares *s, const foci_grid *grid, size_t cell) {
    size_t row = 2 * (cell / grid->columns % s->side) + 1, column = 2 * (cell % grid->columns % s->side) + 1;
    size_t north = row > s->side ? row - s->side : s->side - row;
    size_t west = column > s->side ? column - s->side : s->side - column;
    return north * north + west * west;
}

/* Fills the squares and returns how many hold ground. */
static size_t fill_squares(squares *s, const foci_dig_ground *ground, const foci_grid *grid) {
    size_t filled = 0;
    s->columns = (grid->columns + s->side - 1) / s->side;
    s->rows = (grid->rows + s->side - 1) / s->side;
    for (size_t i = 0; i < s->columns * s->rows; i++)
        s->nearest[i] = NONE;
    for (size_t i = 0; i < ground->count; i++) {
        size_t cell = ground->cells[i];
        size_t *nearest = &s->nearest[cell / grid->columns / s->side * s->columns + cell % grid->columns / s->side];
        filled += *nearest == NONE;
        if (*nearest == NONE || off_middle(s, grid, cell) < off_middle(s, grid, *nearest))
            *nearest = cell;
    }
    return filled;
}

bool foci_dig_ground_spread(foci_dig_ground *out, const foci_dig_ground *ground, const foci_grid *grid, size_t most,
                            foci_error *err) {
    foci_dig_ground spread = {0};
    squares s = {.side = 1};
    bool ok = false;
    while ((s.side + 1) * (s.side + 1) * most <= ground->count)
        s.side++;
    size_t columns = (grid->columns + s.side - 1) / s.side, rows = (grid->rows + s.side - 1) / s.side;
    s.nearest = foci_new_array(columns * rows, sizeof *s.nearest, err);
    if (!s.nearest)
        goto done;
    while (fill_squares(&s, ground, grid) > most)
        s.side++;
    spread.cells = foci_new_array(most, sizeof *spread.cells, err);
    if (!spread.cells)
        goto done;
    for (size_t i = 0; i < s.columns * s.rows; i++)
        if (s.nearest[i] != NONE)
            spread.cells[spread.count++] = s.nearest[i];
    *out = spread;
    spread = (foci_dig_ground){0};
    ok = true;
done:
    free(s.nearest);
    foci_dig_ground_free(&spread);
    return ok;
}

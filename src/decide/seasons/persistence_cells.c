#include "decide/seasons/persistence_cells.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

#define WIDER 1.02

void foci_coarse_cells_free(foci_coarse_cells *cells) {
    free(cells->places);
    free(cells->area);
    *cells = (foci_coarse_cells){0};
}

typedef struct {
    const foci_grid *grid;
    double width; /* of a block, in cells, not always whole */
    size_t columns, rows;
    double *share; /* of the cells of each block; room for the smallest blocks; owned, as the next two */
    double *east, *south;
} blocks;

static void set_width(blocks *b, double width) {
    b->width = width;
    b->columns = (size_t)floor((double)(b->grid->columns - 1) / width) + 1;
    b->rows = (size_t)floor((double)(b->grid->rows - 1) / width) + 1;
}

static size_t block_of(const blocks *b, size_t cell) {
    size_t column = cell % b->grid->columns, row = cell / b->grid->columns;
    return (size_t)floor((double)row / b->width) * b->columns + (size_t)floor((double)column / b->width);
}

static size_t fill_blocks(blocks *b) {
    size_t count = b->columns * b->rows, used = 0;
    memset(b->share, 0, count * sizeof *b->share);
    memset(b->east, 0, count * sizeof *b->east);
    memset(b->south, 0, count * sizeof *b->south);
    for (size_t cell = 0; cell < b->grid->columns * b->grid->rows; cell++) {
        double share = b->grid->share[cell];
        if (!(share > 0))
            continue;
        size_t block = block_of(b, cell);
        used += b->share[block] == 0;
        b->share[block] += share;
        size_t column = cell % b->grid->columns, row = cell / b->grid->columns;
        b->east[block] += share * ((double)column + 0.5);
        b->south[block] += share * ((double)row + 0.5);
    }
    return used;
}

static bool blocks_open(blocks *b, foci_error *err) {
    size_t room = b->columns * b->rows;
    b->share = foci_new_array(room, 3 * sizeof *b->share, err);
    if (!b->share)
        return false;
    b->east = b->share + room;
    b->south = b->east + room;
    return true;
}

static void hand_over(foci_coarse_cells *cells, const blocks *b, double area_ha) {
    const foci_grid *grid = b->grid;
    size_t next = 0;
    double sum = 0;
    for (size_t block = 0; block < b->columns * b->rows; block++)
        if (b->share[block] > 0) {
            cells->places[next] = (foci_point){grid->west + grid->cell * b->east[block] / b->share[block],
                                               grid->north - grid->cell * b->south[block] / b->share[block]};
            cells->area[next++] = b->share[block];
            sum += b->share[block];
        }
    for (size_t k = 0; k < next; k++)
        cells->area[k] *= area_ha / sum;
}

bool foci_coarse_cells_make(foci_coarse_cells *out, const foci_grid *grid, double area_ha, foci_error *err) {
    if (grid->cells == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "no cell lies inside the field; check its boundary");
    blocks b = {.grid = grid};
    foci_coarse_cells cells = {0};
    bool ok = false;
    double width = fmax(1, sqrt((double)grid->cells / FOCI_COARSE_MOST));
    set_width(&b, width);
    if (!blocks_open(&b, err))
        goto done;
    for (cells.count = fill_blocks(&b); cells.count > FOCI_COARSE_MOST; cells.count = fill_blocks(&b))
        set_width(&b, width *= WIDER);
    cells.places = foci_new_array(cells.count, sizeof *cells.places, err);
    if (!cells.places)
        goto done;
    cells.area = foci_new_array(cells.count, sizeof *cells.area, err);
    if (!cells.area)
        goto done;
    hand_over(&cells, &b, area_ha);
    *out = cells;
    cells = (foci_coarse_cells){0};
    ok = true;
done:
    free(b.share);
    foci_coarse_cells_free(&cells);
    return ok;
}

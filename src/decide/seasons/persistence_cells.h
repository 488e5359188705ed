/* Coarse cells of a field, for what is drawn or tested over the whole of it. */
#ifndef FOCI_DECIDE_PERSISTENCE_CELLS_H
#define FOCI_DECIDE_PERSISTENCE_CELLS_H

#include "fieldfoci/grid.h"

enum { FOCI_COARSE_LEAST = 400, FOCI_COARSE_MOST = 600 };

typedef struct {
    size_t count;
    foci_point *places; /* middle of what lies inside the field; owned */
    double *area;       /* hectares, in proportion to the plane area inside the field; owned */
} foci_coarse_cells;

/* Rows and columns of the grid in blocks as square as its cells allow, so large that no more than FOCI_COARSE_MOST have
 * a share in the field (and hardly fewer than FOCI_COARSE_LEAST, where the grid has so many cells). Areas add up to
 * `area_ha`. FOCI_BAD_INPUT where no cell lies inside the field. */
bool foci_coarse_cells_make(foci_coarse_cells *out, const foci_grid *grid, double area_ha,
                            foci_error *err) FOCI_MUST_CHECK;
void foci_coarse_cells_free(foci_coarse_cells *cells);

#endif

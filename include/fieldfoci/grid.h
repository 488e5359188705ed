/* Square cells over the field, north up, in the work system. */
#ifndef FIELDFOCI_GRID_H
#define FIELDFOCI_GRID_H

#include "fieldfoci/geometry.h"
#include "fieldfoci/execution.h"

typedef struct {
    double west, north; /* outer corner of cell 0, meters; both are whole multiples of the cell size */
    double cell;        /* side of a cell, meters */
    size_t columns, rows;
    double *share; /* rows x columns from the north-west: share of the cell's area inside the field, 0 to 1; owned */
    size_t cells;  /* cells with share > 0 */
} foci_grid;

/* The grid that covers `field` (meters). `cell` 0 chooses: the largest of 1, 2, 5 x 10^k meters not above a fifteenth
 * of `spacing` (the stops' median nearest distance; NaN: of the field's side), made larger until no more than 250,000
 * cells cover the field's box. Errors: as foci_grid_fits at FOCI_GRID_BYTES; FOCI_BAD_SETTING for a cell larger than
 * the field; FOCI_BAD_INPUT for a field without area. */
FOCI_API bool foci_grid_over_field(foci_grid *out, const foci_multipolygon *field, double cell, double spacing,
                                   foci_error *err) FOCI_MUST_CHECK;

#define FOCI_GRID_MOST 100000000.0

/* Bytes a cell that a round takes with all its layers and files; as measured. */
#define FOCI_GRID_BYTES 105.0

/* Whether cells of this size are worked at all: FOCI_BAD_SETTING where they are not positive, more than FOCI_GRID_MOST,
 * or need more memory, at `bytes` each, than the machine has. How's teller hears of more than 1 GB. */
FOCI_API bool foci_grid_fits(const foci_multipolygon *field, double cell, double bytes, const foci_execution *how,
                             foci_error *err) FOCI_MUST_CHECK;

/* Center of the cell with this index. */
FOCI_API foci_point foci_grid_centre(const foci_grid *grid, size_t index);

/* Index of the cell that holds `place`, or (size_t)-1 outside the grid. */
FOCI_API size_t foci_grid_find(const foci_grid *grid, foci_point place);

FOCI_API void foci_grid_free(foci_grid *grid);

#endif

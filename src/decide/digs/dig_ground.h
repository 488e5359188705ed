/* The ground on which one may dig, as cells of the grid. */
#ifndef FOCI_DECIDE_DIG_GROUND_H
#define FOCI_DECIDE_DIG_GROUND_H

#include "fieldfoci/grid.h"

/* A list of cells; owned. */
typedef struct {
    size_t count;
    size_t *cells;
} foci_dig_ground;

/* How far from the edges to stay: `wanted` meters, but no more than a tenth of the way to the deepest cell: a field
 * narrower than twenty times `wanted` is asked for less. */
bool foci_dig_ground_from_edge(double *out, const foci_grid *grid, const foci_multipolygon *field, double wanted,
                               foci_error *err) FOCI_MUST_CHECK;

/* Cells whose center lies in the field and at least `apart` meters from all of its edges, in reading order. */
bool foci_dig_ground_make(foci_dig_ground *out, const foci_grid *grid, const foci_multipolygon *field, double apart,
                          foci_error *err) FOCI_MUST_CHECK;

/* Puts the cells into serpentine order: strips of one cell's width along `heading` (degrees clockwise from grid north),
 * walked up and down in turn, from left to right. */
bool foci_dig_ground_along_rows(foci_dig_ground *ground, const foci_grid *grid, double heading,
                                foci_error *err) FOCI_MUST_CHECK;

/* At most `most` of them, evenly: of each square of as many cells as needed the one nearest to its middle. */
bool foci_dig_ground_spread(foci_dig_ground *out, const foci_dig_ground *ground, const foci_grid *grid, size_t most,
                            foci_error *err) FOCI_MUST_CHECK;

void foci_dig_ground_free(foci_dig_ground *ground);

#endif

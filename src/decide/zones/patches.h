/* Connected patches of cells, and their outlines. */
#ifndef FOCI_DECIDE_PATCHES_H
#define FOCI_DECIDE_PATCHES_H

#include "fieldfoci/grid.h"

/* Numbers the patches of cells whose `class` is equal and not negative, joined by sides, from 0 in reading order.
 * `label` (one per cell, -1 where class is negative) is filled. Returns the number of patches through `count`. */
bool foci_patches_label(int *label, size_t *count, const signed char *class_of_cell, const foci_grid *grid,
                        foci_error *err) FOCI_MUST_CHECK;

/* Outlines of all patches in one pass over the grid: polygon i is that of label i, 0 <= i < count, each a valid polygon
 * in metres with a vertex at every cell corner on it (none left out, so that neighbours share them), outer ring
 * counter-clockwise, holes clockwise. `label` as foci_patches_label fills it: the cells of one label are joined by
 * sides. Labels outside 0 ... count - 1 are passed over. */
bool foci_patches_outlines(foci_multipolygon *out, const int *label, size_t count, const foci_grid *grid,
                           foci_error *err) FOCI_MUST_CHECK;

/* Outline of the cells with this label as a valid polygon in metres: a vertex at every cell corner on it (none left
 * out, so that neighbours share them), outer ring counter-clockwise, holes clockwise. Cells that are not joined by
 * sides give several polygons. */
bool foci_patches_outline(foci_multipolygon *out, const int *label, int wanted, const foci_grid *grid,
                          foci_error *err) FOCI_MUST_CHECK;

/* Each cell's largest value among the cells that come within `radius` metres of its centre, itself included, so that
 * what is alike grows by the radius to the nearest whole cell. `out` and `value`: one per cell, no NaN, not the same
 * array. In time proportional to cells x rows within the radius. */
bool foci_patches_widen(double *out, const double *value, double radius, const foci_grid *grid,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

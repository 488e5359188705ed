/* The parts of a look into a file. Each fills what it is named by and may leave it half filled on failure. */
#ifndef FOCI_RUN_LOOK_PARTS_H
#define FOCI_RUN_LOOK_PARTS_H

#include "data/files/vector_file.h"
#include "fieldfoci/look.h"

/* "points", "lines", ...: what the rows that were read are. */
const char *foci_look_shape(const foci_table *table);

/* Columns and first rows. Cells of text are given the numbers that they are read as. */
bool foci_look_columns(foci_look *look, foci_table *table, foci_error *err) FOCI_MUST_CHECK;

/* Notes on cells that are not what their column is, once the guesses are made. */
bool foci_look_odd_cells(foci_look *look, const foci_table *table, foci_error *err) FOCI_MUST_CHECK;

/* Points of a layer of points or a table. */
bool foci_look_points(foci_look *look, foci_table *table, const foci_look_options *options,
                      foci_error *err) FOCI_MUST_CHECK;

/* Outline, its area and the features' names. Lines that are taken for a boundary become areas. */
bool foci_look_outline(foci_look *look, foci_table *table, const foci_look_options *options,
                       foci_error *err) FOCI_MUST_CHECK;

/* What the columns of a layer of points or a table may be. */
bool foci_look_guesses(foci_look *look, const foci_table *table, const foci_look_options *options,
                       foci_error *err) FOCI_MUST_CHECK;

#endif

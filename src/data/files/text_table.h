/* What rows of text mean as a table: title lines, the header, rows of data, total lines. */
#ifndef FOCI_DATA_TEXT_TABLE_H
#define FOCI_DATA_TEXT_TABLE_H

#include "data/files/text_rows.h"
#include "data/files/vector_table.h"

/* Columns, cells and notes of `table` (all zero before) out of the rows, which lose their notes. Lines above the header
 * and lines of totals below the data are left out, with a note; rows of blanks too. FOCI_BAD_INPUT, with the row (1 is
 * the first below the header): a stray or open quote mark, more cells than columns, a line of totals that could be a
 * stop, or too many rows. Only the first rows are kept where `most_cells` says so (foci_table_head). */
bool foci_text_table_make(foci_table *table, foci_text_rows *rows, size_t most_cells, const char *file,
                          foci_error *err) FOCI_MUST_CHECK;

#endif

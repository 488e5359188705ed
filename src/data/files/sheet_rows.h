/* Sheets of workbooks (.xlsx and .ods), cell by cell. */
#ifndef FOCI_DATA_SHEET_ROWS_H
#define FOCI_DATA_SHEET_ROWS_H

#include "data/files/text_rows.h"

/* From begin to end this thread's workbooks are opened as plain cells: every one is text, no row has names. */
void foci_sheet_begin(void);
void foci_sheet_end(void);

/* The rows of a sheet (the library's handle of its layer). FOCI_BAD_INPUT where they are too many. */
bool foci_sheet_rows_read(foci_text_rows *out, void *layer, const char *file, foci_error *err) FOCI_MUST_CHECK;

/* FOCI_BAD_INPUT, with the cell where it can be told, where numbers are shown as percent but kept as shares. */
bool foci_sheet_check(const char *file, foci_error *err) FOCI_MUST_CHECK;

/* What to do about a workbook that cannot be read; NULL where the file is none. */
const char *foci_sheet_remedy(const char *file);

#endif

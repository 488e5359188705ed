/* Rows of cells out of a text file (RFC 4180 and its relatives) or a sheet, before anyone knows what they mean. */
#ifndef FOCI_DATA_TEXT_ROWS_H
#define FOCI_DATA_TEXT_ROWS_H

#include "fieldfoci/notes.h"

typedef enum {
    FOCI_ROW_WHOLE,
    FOCI_ROW_STRAY_QUOTE, /* a quote mark inside a plain cell, or letters behind a closing one */
    FOCI_ROW_OPEN_QUOTE   /* the file ends inside quotes */
} foci_row_fault;

typedef struct {
    size_t first, cells; /* where its cells begin in the list of cells; how many there are */
    size_t filled;       /* the last one, from 1, that is not blank; 0 for a row of blanks */
    size_t inner;        /* most cells that one line inside quotes would have */
    long line;           /* of the file, or row of the sheet, from 1 */
    foci_row_fault fault;
} foci_text_row;

typedef struct {
    size_t count, capacity;
    foci_text_row *rows;
    size_t cell_count, cell_capacity;
    size_t *cells; /* offsets into `letters` */
    size_t length, letter_capacity;
    char *letters;
    foci_notes notes; /* how the file was read */
    bool latin;       /* letters that are no UTF-8 are Latin-1 */
    bool is_sheet;    /* what stands to the right of the header is in order */
} foci_text_rows;

/* Reads a text file whose cells stand apart by commas, semicolons, tabs or upright lines, in UTF-8, UTF-16 or Latin-1,
 * with any line ends; empty lines are passed over. Blanks around cells are dropped. A seconds mark behind a degree sign
 * is no quote mark. `*is_table` is false where no line has two cells. FOCI_NO_FILE, FOCI_BAD_INPUT (no text). */
bool foci_text_rows_read(foci_text_rows *out, bool *is_table, const char *file, foci_error *err) FOCI_MUST_CHECK;

/* Adds a row of `count` cells (NULL: blank) from somewhere else. */
bool foci_text_rows_add(foci_text_rows *rows, const char *const *cells, size_t count, long line,
                        foci_error *err) FOCI_MUST_CHECK;

/* "" for a blank cell, and beyond the row's end. */
const char *foci_text_rows_cell(const foci_text_rows *rows, size_t row, size_t cell);

void foci_text_rows_free(foci_text_rows *rows);

#endif

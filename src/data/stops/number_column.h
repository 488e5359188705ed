/* Columns of numbers as people write them. */
#ifndef FOCI_DATA_NUMBER_COLUMN_H
#define FOCI_DATA_NUMBER_COLUMN_H

#include "data/files/vector_file.h"

typedef enum {
    FOCI_NUMBERS_SCORE, /* a percent sign is a unit */
    FOCI_NUMBERS_COUNT, /* a percent sign is an error; "3 of 10" is 3, and foci_number_of tells the 10 */
    FOCI_NUMBERS_PLACE, /* coordinates */
} foci_numbers_kind;

/* Gives the cells of a column of text their numbers. What stands for the decimal mark is settled for the whole column
 * by the cells that leave no choice (1,5; 1.5; 1,234.5), then 1,234 is read the same way; without such a cell it is
 * FOCI_BAD_INPUT with its row. Decimal points and commas in one column: the commas stay text. A unit behind the numbers
 * counts where every number but 0 has the same one. What stays text is for the checks. `*percent`: the unit is percent.
 * FOCI_BAD_INPUT also where not one cell is a number. */
bool foci_number_column_read(foci_table *table, const char *file, size_t column, foci_numbers_kind kind, bool *percent,
                             foci_error *err) FOCI_MUST_CHECK;

/* The 10 of a cell "3 of 10" or "3/10"; NaN for any other. */
double foci_number_of(const foci_cell *cell);

#endif

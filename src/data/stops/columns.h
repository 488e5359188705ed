/* Columns that the user names, and cells that should hold a number. */
#ifndef FOCI_DATA_COLUMNS_H
#define FOCI_DATA_COLUMNS_H

#include "data/files/vector_file.h"

/* Index of the column `name`: by its exact name, else in any case, else without the unit behind it, as in "Hits (per
 * 100 ft)", "Severity [%]" or "Severity %"; -1 where there is none, or more than one. */
long foci_column_named(const foci_table *table, const char *name);

/* The same. FOCI_BAD_INPUT (source `file`) lists the columns and suggests the nearest; also where several have the
 * name. A column found without its unit is a note. */
bool foci_column_find(size_t *out, foci_table *table, const char *file, const char *name,
                      foci_error *err) FOCI_MUST_CHECK;

/* The cell's number, NaN where it has none. `text` receives what stands there instead: "" for a blank cell, the cell's
 * text (cut) for words, "nan" for a stored NaN. Infinity, stored or written, comes back as infinity. */
double foci_cell_number(const foci_cell *cell, char text[32]);

/* Whether the text is not-a-number as programs write it. */
bool foci_is_nan_word(const char *text);

/* Whether the text would be a number with a point in place of its only comma. */
bool foci_is_decimal_comma(const char *text);

/* FOCI_BAD_INPUT where the column holds text and not one number. */
bool foci_column_holds_numbers(const foci_table *table, const char *file, size_t column,
                               foci_error *err) FOCI_MUST_CHECK;

/* Whether a unit's or column's name says percent. */
bool foci_column_says_percent(const char *text);

#endif

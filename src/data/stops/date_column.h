/* A column of dates as people write them. */
#ifndef FOCI_DATA_DATE_COLUMN_H
#define FOCI_DATA_DATE_COLUMN_H

#include "base/dates.h"
#include "data/files/vector_file.h"

/* Settles for a whole column whether the day or the month comes first, where its dates begin with one of them: `given`
 * says so, or the first date that leaves no choice (a number of 13 and more; a note names it). `*order` stays NULL
 * where nothing is to be settled. FOCI_BAD_INPUT, with the row: it cannot be told, two dates say different things, or a
 * date has a year of two digits and `given` is NULL. */
bool foci_date_column_settle(const foci_date_order **order, foci_table *table, const char *file, size_t column,
                             const foci_date_order *given, foci_error *err) FOCI_MUST_CHECK;

/* The date of a cell; false where it is none. */
bool foci_date_column_read(const char *text, const foci_date_order *order, char date[11]);

#endif

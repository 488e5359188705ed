/* The tables of a history. */
#ifndef FOCI_KEEP_HISTORY_TABLES_H
#define FOCI_KEEP_HISTORY_TABLES_H

#include "data/files/database.h"

enum { FOCI_HISTORY_FIELDS, FOCI_HISTORY_SURVEYS, FOCI_HISTORY_STOPS, FOCI_HISTORY_ZONES, FOCI_HISTORY_DIGS };

enum { FOCI_HISTORY_COUNTS = FOCI_HISTORY_DIGS - FOCI_HISTORY_STOPS + 1 };

/* The column of `surveys` that tells how many rows a survey has in FOCI_HISTORY_STOPS, _ZONES, _DIGS. */
extern const char *const foci_history_row_counts[];

/* In the order above; ends with a row of zeros. */
extern const foci_database_table foci_history_tables[];

#endif

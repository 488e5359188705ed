/* The tables of a history. */
#ifndef FOCI_RUN_HISTORY_TABLES_H
#define FOCI_RUN_HISTORY_TABLES_H

#include "data/database.h"

enum { FOCI_HISTORY_FIELDS, FOCI_HISTORY_SURVEYS, FOCI_HISTORY_STOPS, FOCI_HISTORY_ZONES, FOCI_HISTORY_DIGS };

/* In the order above; ends with a row of zeros. */
extern const foci_database_table foci_history_tables[];

#endif

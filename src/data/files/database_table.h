/* What a table of a database looks like. */
#ifndef FOCI_DATA_DATABASE_TABLE_H
#define FOCI_DATA_DATABASE_TABLE_H

#include "data/files/vector_file.h"

enum { FOCI_DATABASE_TABLES_MOST = 8 };

typedef struct {
    const char *name;
    foci_shape_kind kind; /* FOCI_SHAPE_NONE, _POINT or _AREA */
    const foci_column *columns;
    size_t column_count;
    size_t later;    /* so many of the last columns are missing in databases of earlier versions */
    const char *key; /* the column in which no two rows are alike, or NULL */
    const char *by;  /* each row is of one row of another table, whose key stands in this column; NULL: of none */
    const char *of;  /* that table */
} foci_database_table;

#endif

/* What a table of a database looks like. */
#ifndef FOCI_DATA_DATABASE_TABLE_H
#define FOCI_DATA_DATABASE_TABLE_H

#include "data/vector_file.h"

typedef struct {
    const char *name;
    foci_shape_kind kind; /* FOCI_SHAPE_NONE, _POINT or _AREA */
    const foci_column *columns;
    size_t column_count;
    const char *key; /* the column in which no two rows are alike, or NULL */
} foci_database_table;

#endif

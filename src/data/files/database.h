/* A database of tables with places: a GeoPackage file, or any database that OGR reaches by a connection string. */
#ifndef FOCI_DATA_DATABASE_H
#define FOCI_DATA_DATABASE_H

#include "data/files/database_table.h"
#include "fieldfoci/execution.h"

typedef struct foci_database foci_database;

/* Whether `name` is a connection string ("PG:dbname=farm") rather than a file. */
bool foci_database_is_connection(const char *name);

/* Opens for reading. `tables` (at most FOCI_DATABASE_TABLES_MOST, ended by a row of zeros, borrowed) must all be there
 * with all their columns but later ones: FOCI_BAD_INPUT where they are not, FOCI_NO_FILE where nothing can be opened.
 * how's teller hears that another program is waited for, which can be stopped; after a minute FOCI_NO_FILE. */
bool foci_database_open(foci_database **out, const char *name, const foci_database_table *tables,
                        const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Opens for writing, in one transaction. A file is not changed itself: a copy beside it is (a new one, where it is not
 * there), and commit puts that in its place. A database without the tables gets them, an existing file without them is
 * refused; columns of later versions are added, and so is what keeps a row from being there without the one that it is
 * of. Other writers of the same file wait until this one is closed; those of a connection do not, and what collides
 * with them fails as a whole (FOCI_NO_FILE) and can be tried again. */
bool foci_database_change(foci_database **out, const char *name, const foci_database_table *tables,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* One row; `texts` and `numbers` as for foci_vector_writer_add. */
bool foci_database_add(foci_database *database, const foci_database_table *table, const char *const *texts,
                       const double *numbers, const foci_point *point, const foci_multipolygon *area,
                       foci_error *err) FOCI_MUST_CHECK;

/* The rows with this text in `column`, or all (`column` NULL), with the table's own columns in their order. No row is
 * no error. `driver`, `crs` and `sha256` stay empty. */
bool foci_database_find(foci_table *out, foci_database *database, const foci_database_table *table, const char *column,
                        const char *text, foci_error *err) FOCI_MUST_CHECK;

/* How many rows have this text in `column`. */
bool foci_database_count(size_t *out, foci_database *database, const foci_database_table *table, const char *column,
                         const char *text, foci_error *err) FOCI_MUST_CHECK;

/* Puts `text` into `column` of the rows whose key is `key`. */
bool foci_database_set(foci_database *database, const foci_database_table *table, const char *key, const char *column,
                       const char *text, foci_error *err) FOCI_MUST_CHECK;

/* Takes out the rows with this text in `column`; none is no error. */
bool foci_database_remove(foci_database *database, const foci_database_table *table, const char *column,
                          const char *text, foci_error *err) FOCI_MUST_CHECK;

/* Makes all changes last, and closes. On failure a file is as it was; of a server that could not be heard any more it
 * is not known, and whoever opens it again can ask. Always frees the database. */
bool foci_database_commit(foci_database *database, foci_error *err) FOCI_MUST_CHECK;

/* Closes; changes are undone. NULL is allowed. */
void foci_database_close(foci_database *database);

#endif

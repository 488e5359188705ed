/* What the files that make up the door to databases share. */
#ifndef FOCI_DATA_DATABASE_HANDLE_H
#define FOCI_DATA_DATABASE_HANDLE_H

#include "data/files/database_table.h"
#include "data/files/gdal_session.h"
#include "fieldfoci/execution.h"

typedef struct foci_database foci_database;

struct foci_database {
    char *name;
    const foci_database_table *tables;
    bool connection, changing;
    char *fresh;   /* the file that is worked on, beside its final place, until commit */
    bool made;     /* it is a new one, no copy */
    int lock;      /* the file's folder, locked; -1 where there is none */
    int original;  /* the file that was copied; closed late, since closing it takes other holders' locks away */
    void *held;    /* the library's handle of that file, by which no other program changes it meanwhile */
    void *dataset; /* the library's handle */
    void *wgs84;   /* the library's handle of the coordinate system */
    foci_gdal_talk talk;
};

/* From enter to leave the library's messages are this call's own. */
void foci_database_enter(foci_database *database);
void foci_database_leave(void);

/* FOCI_NO_FILE with the library's own words. */
bool foci_database_fail(const foci_database *database, const char *what, foci_error *err);

/* One statement in the database's own language; `number` receives the first cell of its answer, where not NULL. */
bool foci_database_run(foci_database *database, void *dataset, const char *statement, double *number);

/* Opens `file` with the library; NULL where it cannot. */
void *foci_database_file_open(const char *file, bool update);

/* ---- database_file.c: a file is changed as a copy beside it ---- */

/* Locks the file's folder. Says so when that takes long, can be stopped, and gives up in the end. */
bool foci_database_file_lock(foci_database *database, const foci_execution *how, foci_error *err);

/* Opens the file for reading, or a copy of it, or a new one, for changing. */
bool foci_database_file_begin(foci_database *database, foci_error *err);

/* What was committed is on the disk, counted there, and in its place. */
bool foci_database_file_end(foci_database *database, const double *rows, foci_error *err);

/* Lets go of everything; what is not in its place is gone. */
void foci_database_file_close(foci_database *database);

/* ---- database_schema.c ---- */

/* All of the tables are there, or are made where `may_create`; what earlier versions left out is added on a change. */
bool foci_database_settle(foci_database *database, bool may_create, foci_error *err);

/* How many rows each table has, by the database's own count. */
bool foci_database_count_all(foci_database *database, double *rows, foci_error *err);

#endif

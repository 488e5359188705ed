#include "data/files/geopackage_guard.h"

#include <ctype.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/plain_file.h"
#include "base/text.h"
#include "data/files/crs_text.h"

/* A million rows take some seconds (measured on one core). */
#define USUAL_SECONDS 60.0
/* SQLite's steps between two looks at the clock: some milliseconds. */
#define STEPS_BETWEEN 100000

static _Thread_local double usual_seconds = USUAL_SECONDS;
static _Thread_local double deadline; /* 0: no limit */

static double now(void) {
    struct timespec time = {0};
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

bool foci_geopackage_is_late(void) {
    return deadline > 0 && now() > deadline;
}

static int stop_when_late(void *ignored) {
    (void)ignored;
    return foci_geopackage_is_late();
}

/* Every connection of this process comes by here; those of other threads and times are left alone. */
static int limit_connection(sqlite3 *database, char **message, const void *routines) {
    (void)message, (void)routines;
    if (deadline > 0) {
        sqlite3_db_config(database, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, (int *)NULL);
        sqlite3_progress_handler(database, STEPS_BETWEEN, stop_when_late, NULL);
    }
    return SQLITE_OK;
}

void foci_geopackage_begin(void) {
    sqlite3_auto_extension((void (*)(void))limit_connection);
    deadline = now() + usual_seconds;
}

void foci_geopackage_end(void) {
    deadline = 0;
}

void foci_geopackage_limit(double seconds) {
    usual_seconds = seconds > 0 ? seconds : USUAL_SECONDS;
}

/* ---- its reference systems ---- */

static bool is_sqlite(const char *file, bool *is, foci_error *err) {
    char mark[16] = "";
    FILE *stream = foci_file_open(file, FOCI_MOST_OF_TABLE, err);
    if (!stream)
        return false;
    *is = fread(mark, 1, sizeof mark, stream) == sizeof mark && memcmp(mark, "SQLite format 3", 16) == 0;
    fclose(stream);
    return true;
}

/* Every text of the table of reference systems, whatever its columns are. */
static bool check_rows(sqlite3_stmt *rows, const char *file, foci_error *err) {
    while (sqlite3_step(rows) == SQLITE_ROW)
        for (int i = 0; i < sqlite3_column_count(rows); i++) {
            const unsigned char *text = sqlite3_column_text(rows, i);
            const char *name = sqlite3_column_name(rows, i);
            const bool named = name && (strncmp(name, "definition", 10) == 0 || strcmp(name, "organization") == 0);
            if (named && text && !foci_crs_text_check((const char *)text, file, err))
                return false;
        }
    return true;
}

/* The file as an address that SQLite opens as one that nobody changes: that is how a database in write-ahead mode can
 * be read from a folder that cannot be written. */
static char *unchanging(const char *file, foci_error *err) {
    foci_text text = {0};
    bool ok = foci_text_add(&text, err, "file:");
    for (const char *letter = file; ok && *letter; letter++)
        ok = foci_text_add(&text, err, isalnum((unsigned char)*letter) || *letter == '/' ? "%c" : "%%%02X",
                           (unsigned char)*letter);
    if (ok && foci_text_add(&text, err, "?immutable=1"))
        return text.text;
    foci_text_free(&text);
    return NULL;
}

/* False in `*looked` where the database cannot be opened: the library then says why. */
static bool look(bool *looked, const char *name, int flags, const char *file, foci_error *err) {
    sqlite3 *database = NULL;
    sqlite3_stmt *rows = NULL;
    static const char question[] = "SELECT * FROM gpkg_spatial_ref_sys";
    *looked = sqlite3_open_v2(name, &database, SQLITE_OPEN_READONLY | flags, NULL) == SQLITE_OK &&
              sqlite3_prepare_v2(database, question, -1, &rows, NULL) == SQLITE_OK;
    bool ok = !*looked || check_rows(rows, file, err);
    sqlite3_finalize(rows);
    sqlite3_close(database);
    return ok;
}

bool foci_geopackage_check(const char *file, foci_error *err) {
    bool is = false, looked = false;
    if (!is_sqlite(file, &is, err))
        return false;
    if (!is)
        return true;
    if (!look(&looked, file, 0, file, err))
        return false;
    if (looked)
        return true;
    char *name = unchanging(file, err);
    bool ok = name && look(&looked, name, SQLITE_OPEN_URI, file, err);
    free(name);
    return ok;
}

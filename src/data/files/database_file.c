/* A history's file is never changed in its place: what is half done can then be seen by nobody. A copy beside it is
 * changed, counted again from the disk, made durable and put in its place. */
#include <cpl_conv.h>
#include <errno.h>
#include <fcntl.h>
#include <gdal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/unfinished.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/files/database_handle.h"

static const char *const drivers[] = {"GPKG", NULL};

void *foci_database_file_open(const char *file, bool update) {
    return GDALOpenEx(file,
                      GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR | (unsigned)(update ? GDAL_OF_UPDATE : GDAL_OF_READONLY),
                      drivers, NULL, NULL);
}

/* ---- others ---- */

enum { LOOK_AGAIN_MS = 50, SAY_AFTER_MS = 2000, GIVE_UP_AFTER_MS = 60000 };

static bool wait_for_lock(const foci_database *database, const foci_execution *how, foci_error *err) {
    const int wanted = (database->changing ? LOCK_EX : LOCK_SH) | LOCK_NB;
    for (int waited = 0; flock(database->lock, wanted) != 0; waited += LOOK_AGAIN_MS) {
        if (errno != EWOULDBLOCK && errno != EINTR)
            return foci_fail(err, FOCI_NO_FILE, database->name, 0, "its folder cannot be locked: %s", strerror(errno));
        if (waited >= GIVE_UP_AFTER_MS)
            return foci_fail(err, FOCI_NO_FILE, database->name, 0,
                             "another program has held its folder locked for a minute; end that one, or try again when "
                             "it is done");
        if (!foci_execution_tell(how, 0, err))
            return false;
        if (waited == SAY_AFTER_MS) {
            char text[600];
            snprintf(text, sizeof text, "%.400s: waiting for another program that holds its folder locked",
                     database->name);
            foci_execution_say(how, text);
        }
        nanosleep(&(struct timespec){.tv_nsec = LOOK_AGAIN_MS * 1000000L}, NULL);
    }
    return true;
}

/* The folder is locked, not the file: a file that is not there yet has nothing to lock, one that is replaced would take
 * its lock along, and nothing is left behind. */
bool foci_database_file_lock(foci_database *database, const foci_execution *how, foci_error *err) {
    char *slash = strrchr(database->name, '/');
    char *folder = slash ? foci_format_text(err, "%.*s", slash == database->name ? 1 : (int)(slash - database->name),
                                            database->name)
                         : foci_copy_text(".", err);
    if (!folder)
        return false;
    database->lock = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    free(folder);
    if (database->lock < 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "its folder cannot be opened: %s", strerror(errno));
    return wait_for_lock(database, how, err);
}

/* A writer that was killed may leave a journal ("-journal", "-wal"), and only who may write can put its state right. */
static bool has_companion(const foci_database *database, const char *ending, bool *has, foci_error *err) {
    struct stat status;
    char *path = foci_format_text(err, "%s%s", database->name, ending);
    if (!path)
        return false;
    *has = stat(path, &status) == 0 && status.st_size > 0 && access(database->name, W_OK) == 0;
    free(path);
    return true;
}

/* Opened so that a left journal is played back, and no other program can change the file until this is closed: what it
 * changed between copy and renaming would be lost. */
static bool hold_original(foci_database *database, foci_error *err) {
    bool shared = false;
    database->held = foci_database_file_open(database->name, true);
    if (!database->held)
        return foci_database_fail(database, "is no GeoPackage", err);
    if (!has_companion(database, "-wal", &shared, err))
        return false;
    if (shared && (!foci_database_run(database, database->held, "PRAGMA journal_mode=DELETE", NULL) ||
                   !has_companion(database, "-wal", &shared, err) || shared))
        return foci_fail(err, FOCI_NO_FILE, database->name, 0,
                         "is open in another program; close it there, and try again");
    return foci_database_run(database, database->held, "BEGIN IMMEDIATE", NULL) ||
           foci_database_fail(database, "is being changed by another program; save or close it there, and try again",
                              err);
}

/* ---- opening ---- */

static bool check_file(const foci_database *database, foci_error *err) {
    if (access(database->name, F_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0,
                         "is not there; check its name, or let the command record make it");
    struct stat status;
    if (stat(database->name, &status) == 0 && !S_ISREG(status.st_mode))
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "is no ordinary file; name the history's file");
    if (access(database->name, R_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "cannot be read: %s", strerror(errno));
    if (database->changing && access(database->name, W_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "cannot be written: %s", strerror(errno));
    return true;
}

/* Nobody sees the copy before it is whole and flushed, so its own journal and flushes would be work for nothing. */
static void spare_flushes(bool spare) {
    CPLSetThreadLocalConfigOption("OGR_SQLITE_JOURNAL", spare ? "MEMORY" : NULL);
    CPLSetThreadLocalConfigOption("OGR_SQLITE_SYNCHRONOUS", spare ? "OFF" : NULL);
}

static bool open_copy(foci_database *database, foci_error *err) {
    if (!hold_original(database, err))
        return false;
    database->fresh = foci_deliver_beside(database->name, err);
    if (!database->fresh)
        return false;
    database->original = open(database->name, O_RDONLY | O_CLOEXEC);
    if (database->original < 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "cannot be read: %s", strerror(errno));
    if (!foci_deliver_copy(database->original, database->fresh, database->name, err))
        return false;
    database->dataset = foci_database_file_open(database->fresh, true);
    return database->dataset || foci_database_fail(database, "is no GeoPackage", err);
}

static bool make_new(foci_database *database, foci_error *err) {
    size_t length = strlen(database->name);
    if (length < 6 || !foci_text_same(database->name + length - 5, ".gpkg"))
        return foci_fail(err, FOCI_BAD_SETTING, database->name, 0,
                         "is not there yet, and a new one must end in .gpkg; or give a database's connection string, "
                         "as in PG:dbname=farm");
    if (!foci_deliver_may_write(database->name, false, err))
        return false;
    database->made = true;
    database->fresh = foci_deliver_beside(database->name, err);
    if (!database->fresh)
        return false;
    database->dataset = GDALCreate(GDALGetDriverByName("GPKG"), database->fresh, 0, 0, 0, GDT_Unknown, NULL);
    return database->dataset || foci_database_fail(database, "cannot be written", err);
}

static bool open_to_read(foci_database *database, foci_error *err) {
    bool repair = false;
    if (!check_file(database, err) || !has_companion(database, "-journal", &repair, err))
        return false;
    database->dataset = foci_database_file_open(database->name, repair);
    return database->dataset || foci_database_fail(database, "is no GeoPackage", err);
}

bool foci_database_file_begin(foci_database *database, foci_error *err) {
    if (!database->changing)
        return open_to_read(database, err);
    const bool there = access(database->name, F_OK) == 0 || errno != ENOENT;
    if (there && !check_file(database, err))
        return false;
    spare_flushes(true);
    bool ok = there ? open_copy(database, err) : make_new(database, err);
    spare_flushes(false);
    return ok;
}

/* ---- the end ---- */

/* The file as it lies on the disk, opened anew: a library that lost a write without a word is found out here. */
static bool count_again(foci_database *database, const double *rows, foci_error *err) {
    double found[FOCI_DATABASE_TABLES_MOST] = {0};
    database->dataset = foci_database_file_open(database->fresh, false);
    if (!database->dataset)
        return foci_database_fail(database, "cannot be written", err);
    bool ok = foci_database_count_all(database, found, err);
    for (size_t i = 0; ok && database->tables[i].name; i++)
        if (found[i] != rows[i])
            ok =
                foci_fail(err, FOCI_NO_FILE, database->name, 0,
                          "cannot be written: its table '%s' would hold %.0f rows in place of %.0f; nothing is changed",
                          database->tables[i].name, found[i], rows[i]);
    GDALClose(database->dataset);
    database->dataset = NULL;
    return ok;
}

bool foci_database_file_end(foci_database *database, const double *rows, foci_error *err) {
    return count_again(database, rows, err) && foci_deliver_file(database->fresh, database->name, !database->made, err);
}

void foci_database_file_close(foci_database *database) {
    if (database->held)
        GDALClose(database->held);
    if (database->original >= 0)
        close(database->original);
    if (database->fresh)
        foci_unfinished_remove(database->fresh);
    if (database->lock >= 0)
        close(database->lock);
    free(database->fresh);
}

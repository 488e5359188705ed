#include "data/database.h"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <errno.h>
#include <fcntl.h>
#include <gdal.h>
#include <limits.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

#include "base/deliver.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/database_rows.h"
#include "data/gdal_session.h"

static const char *const file_drivers[] = {"GPKG", NULL};

struct foci_database {
    char *name;
    char *fresh; /* the new file beside its final place, until commit */
    bool connection, changing;
    int lock; /* the file's folder, locked; -1 where there is none */
    GDALDatasetH dataset;
    OGRSpatialReferenceH wgs84;
    foci_gdal_talk talk;
};

/* From enter to leave the library's messages are this call's own. */
static void enter(foci_database *database) {
    database->talk = (foci_gdal_talk){0};
    foci_gdal_begin(&database->talk);
    foci_gdal_date_begin();
}

static void leave(void) {
    foci_gdal_date_end();
    foci_gdal_end();
}

static bool fail(const foci_database *database, const char *what, foci_error *err) {
    return foci_fail(err, FOCI_NO_FILE, database->name, 0, "%s: %s", what,
                     database->talk.text[0] ? database->talk.text : "no reason given");
}

bool foci_database_is_connection(const char *name) {
    size_t letters = strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz");
    return letters >= 2 && name[letters] == ':';
}

/* ---- opening ---- */

/* The folder is locked, not the file: a file that is not there yet has nothing to lock, and nothing is left behind. */
static bool lock_folder(foci_database *database, foci_error *err) {
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
    while (flock(database->lock, database->changing ? LOCK_EX : LOCK_SH) != 0)
        if (errno != EINTR)
            return foci_fail(err, FOCI_NO_FILE, database->name, 0, "its folder cannot be locked: %s", strerror(errno));
    return true;
}

/* A writer that was killed leaves a journal, and only who may write can roll it back. */
static bool has_journal(const foci_database *database, bool *has, foci_error *err) {
    char *journal = foci_format_text(err, "%s-journal", database->name);
    if (!journal)
        return false;
    *has = access(journal, F_OK) == 0 && access(database->name, W_OK) == 0;
    free(journal);
    return true;
}

static bool check_file(const foci_database *database, foci_error *err) {
    if (access(database->name, F_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0,
                         "is not there; check its name, or let the command record make it");
    if (access(database->name, R_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "cannot be read: %s", strerror(errno));
    if (database->changing && access(database->name, W_OK) != 0)
        return foci_fail(err, FOCI_NO_FILE, database->name, 0, "cannot be written: %s", strerror(errno));
    return true;
}

static bool open_there(foci_database *database, foci_error *err) {
    bool update = database->changing;
    if (!database->connection && (!check_file(database, err) || (!update && !has_journal(database, &update, err))))
        return false;
    database->dataset = GDALOpenEx(
        database->name, GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR | (unsigned)(update ? GDAL_OF_UPDATE : GDAL_OF_READONLY),
        database->connection ? NULL : file_drivers, NULL, NULL);
    if (!database->dataset)
        return fail(database, database->connection ? "cannot be reached" : "is no GeoPackage", err);
    return true;
}

static bool create_fresh(foci_database *database, foci_error *err) {
    size_t length = strlen(database->name);
    if (length < 6 || !foci_text_same(database->name + length - 5, ".gpkg"))
        return foci_fail(err, FOCI_BAD_SETTING, database->name, 0,
                         "is not there yet, and a new one must end in .gpkg; or give a database's connection string, "
                         "as in PG:dbname=farm");
    if (!foci_deliver_may_write(database->name, false, err))
        return false;
    database->fresh = foci_deliver_beside(database->name, err);
    if (!database->fresh)
        return false;
    database->dataset = GDALCreate(GDALGetDriverByName("GPKG"), database->fresh, 0, 0, 0, GDT_Unknown, NULL);
    return database->dataset || fail(database, "cannot be written", err);
}

/* ---- tables ---- */

static bool has_columns(const foci_database *database, OGRLayerH layer, const foci_database_table *table,
                        foci_error *err) {
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(layer);
    for (size_t i = 0; i < table->column_count; i++)
        if (OGR_FD_GetFieldIndex(definition, table->columns[i].name) < 0)
            return foci_fail(err, FOCI_BAD_INPUT, database->name, 0,
                             "is no such database: its table '%s' has no column '%s'", table->name,
                             table->columns[i].name);
    return true;
}

static bool create_columns(foci_database *database, OGRLayerH layer, const foci_database_table *table,
                           foci_error *err) {
    static const OGRFieldType types[] = {
        [FOCI_COLUMN_TEXT] = OFTString, [FOCI_COLUMN_NUMBER] = OFTReal, [FOCI_COLUMN_WHOLE] = OFTInteger64};
    for (size_t i = 0; i < table->column_count; i++) {
        OGRFieldDefnH column = OGR_Fld_Create(table->columns[i].name, types[table->columns[i].type]);
        OGR_Fld_SetUnique(column, table->key && strcmp(table->columns[i].name, table->key) == 0);
        bool ok = OGR_L_CreateField(layer, column, FALSE) == OGRERR_NONE;
        OGR_Fld_Destroy(column);
        if (!ok)
            return fail(database, "a column cannot be made", err);
    }
    return true;
}

static bool create_table(foci_database *database, const foci_database_table *table, foci_error *err) {
    static const OGRwkbGeometryType shapes[] = {
        [FOCI_SHAPE_NONE] = wkbNone, [FOCI_SHAPE_POINT] = wkbPoint, [FOCI_SHAPE_AREA] = wkbMultiPolygon};
    char **options = CSLSetNameValue(NULL, "FID", "fid");
    if (table->kind != FOCI_SHAPE_NONE)
        options = CSLSetNameValue(options, "GEOMETRY_NAME", "geom");
    OGRLayerH layer =
        GDALDatasetCreateLayer(database->dataset, table->name, database->wgs84, shapes[table->kind], options);
    CSLDestroy(options);
    return (layer || fail(database, "a table cannot be made", err)) && create_columns(database, layer, table, err);
}

/* All of the tables are there, or none is and they may be made. */
static bool settle_tables(foci_database *database, const foci_database_table *tables, foci_error *err) {
    bool may_create = database->fresh || (database->connection && database->changing);
    for (const foci_database_table *table = tables; table->name; table++) {
        OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
        if (!layer && !may_create)
            return foci_fail(err, FOCI_BAD_INPUT, database->name, 0, "is no such database: it has no table '%s'",
                             table->name);
        if (layer ? !has_columns(database, layer, table, err) : !create_table(database, table, err))
            return false;
    }
    return true;
}

static bool begin_change(foci_database *database, foci_error *err) {
    if (!database->changing)
        return true;
    if (!GDALDatasetTestCapability(database->dataset, ODsCTransactions))
        return foci_fail(err, FOCI_BAD_SETTING, database->name, 0,
                         "has no transactions, so a crash could leave half an entry; use a GeoPackage or a database "
                         "server");
    return GDALDatasetStartTransaction(database->dataset, FALSE) == OGRERR_NONE ||
           fail(database, "cannot be changed", err);
}

static bool open_database(foci_database *database, const foci_database_table *tables, foci_error *err) {
    if (!database->connection && !lock_folder(database, err))
        return false;
    bool fresh = database->changing && !database->connection && access(database->name, F_OK) != 0 && errno == ENOENT;
    database->wgs84 = OSRNewSpatialReference(NULL);
    if (!database->wgs84 || OSRImportFromEPSG(database->wgs84, 4326) != OGRERR_NONE)
        return fail(database, "the coordinate system cannot be made", err);
    OSRSetAxisMappingStrategy(database->wgs84, OAMS_TRADITIONAL_GIS_ORDER);
    return (fresh ? create_fresh(database, err) : open_there(database, err)) && begin_change(database, err) &&
           settle_tables(database, tables, err);
}

static bool open_for(foci_database **out, const char *name, bool changing, const foci_database_table *tables,
                     foci_error *err) {
    char real[PATH_MAX];
    foci_database *database = foci_new_array(1, sizeof *database, err);
    if (!database)
        return false;
    database->lock = -1;
    database->changing = changing;
    database->connection = foci_database_is_connection(name);
    database->name = foci_copy_text(!database->connection && realpath(name, real) ? real : name, err);
    if (!database->name) {
        foci_database_close(database);
        return false;
    }
    enter(database);
    bool ok = open_database(database, tables, err);
    leave();
    if (ok)
        *out = database;
    else
        foci_database_close(database);
    return ok;
}

bool foci_database_open(foci_database **out, const char *name, const foci_database_table *tables, foci_error *err) {
    return open_for(out, name, false, tables, err);
}

bool foci_database_change(foci_database **out, const char *name, const foci_database_table *tables, foci_error *err) {
    return open_for(out, name, true, tables, err);
}

/* ---- rows in ---- */

bool foci_database_add(foci_database *database, const foci_database_table *table, const char *const *texts,
                       const double *numbers, const foci_point *point, const foci_multipolygon *area, foci_error *err) {
    enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = foci_database_rows_add(layer, table, texts, numbers, point, area) && database->talk.failures == 0;
    leave();
    return ok || fail(database, "a row cannot be written", err);
}

/* ---- rows out ---- */

/* "column" = 'text', with what would end the text doubled. */
static char *make_filter(const char *column, const char *text, foci_error *err) {
    foci_text filter = {0};
    bool ok = foci_text_add(&filter, err, "\"%s\" = '", column);
    for (; ok && *text; text++)
        ok = foci_text_add(&filter, err, *text == '\'' ? "%c'" : "%c", *text);
    if (ok && foci_text_add(&filter, err, "'"))
        return filter.text;
    foci_text_free(&filter);
    return NULL;
}

bool foci_database_find(foci_table *out, foci_database *database, const foci_database_table *table, const char *column,
                        const char *text, foci_error *err) {
    char *filter = NULL;
    if (column && !(filter = make_filter(column, text, err)))
        return false;
    enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = (OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE || fail(database, "cannot be searched", err)) &&
              foci_database_rows_read(out, layer, table, err);
    if (ok && database->talk.failures) {
        foci_table_free(out);
        ok = fail(database, "cannot be read whole", err);
    }
    OGR_L_SetAttributeFilter(layer, NULL);
    leave();
    free(filter);
    return ok;
}

bool foci_database_set(foci_database *database, const foci_database_table *table, const char *key, const char *column,
                       const char *text, foci_error *err) {
    char *filter = make_filter(table->key, key, err);
    if (!filter)
        return false;
    enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE;
    OGRFeatureH feature = ok ? OGR_L_GetNextFeature(layer) : NULL;
    if (feature) {
        OGR_F_SetFieldString(feature, OGR_F_GetFieldIndex(feature, column), text);
        ok = OGR_L_SetFeature(layer, feature) == OGRERR_NONE;
        OGR_F_Destroy(feature);
    }
    OGR_L_SetAttributeFilter(layer, NULL);
    ok = ok && database->talk.failures == 0;
    leave();
    free(filter);
    return ok || fail(database, "a row cannot be changed", err);
}

bool foci_database_remove(foci_database *database, const foci_database_table *table, const char *column,
                          const char *text, foci_error *err) {
    char *filter = make_filter(column, text, err);
    if (!filter)
        return false;
    enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE && foci_database_rows_remove(layer, err) &&
              database->talk.failures == 0;
    OGR_L_SetAttributeFilter(layer, NULL);
    leave();
    free(filter);
    return ok || fail(database, "a row cannot be taken out", err);
}

/* ---- the end ---- */

static bool close_dataset(foci_database *database) {
    if (database->dataset)
        GDALClose(database->dataset);
    database->dataset = NULL;
    return database->talk.failures == 0;
}

/* What a GeoPackage says of its tables (counts, extents) is otherwise written after the transaction, when the file is
 * closed: a process that is killed between the two would leave rows that are whole and counts that are wrong. */
static bool sync_layers(foci_database *database) {
    bool ok = true;
    for (int i = 0; ok && i < GDALDatasetGetLayerCount(database->dataset); i++)
        ok = OGR_L_SyncToDisk(GDALDatasetGetLayer(database->dataset, i)) == OGRERR_NONE;
    return ok;
}

bool foci_database_commit(foci_database *database, foci_error *err) {
    enter(database);
    bool ok = sync_layers(database) && GDALDatasetCommitTransaction(database->dataset) == OGRERR_NONE &&
              database->talk.failures == 0;
    database->changing = false;
    ok = close_dataset(database) && ok;
    leave();
    if (!ok)
        fail(database, "cannot be written", err);
    else if (database->fresh)
        ok = foci_deliver_file(database->fresh, database->name, false, err);
    foci_database_close(database);
    return ok;
}

void foci_database_close(foci_database *database) {
    if (!database)
        return;
    enter(database);
    if (database->dataset && database->changing)
        GDALDatasetRollbackTransaction(database->dataset);
    close_dataset(database);
    if (database->wgs84)
        OSRRelease(database->wgs84);
    leave();
    if (database->fresh)
        foci_deliver_remove(database->fresh);
    if (database->lock >= 0)
        close(database->lock);
    free(database->fresh);
    free(database->name);
    free(database);
}

#include "data/files/database.h"

#include <gdal.h>
#include <limits.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/database_handle.h"
#include "data/files/database_rows.h"

bool foci_database_is_connection(const char *name) {
    size_t letters = strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz");
    return letters >= 2 && name[letters] == ':';
}

/* ---- opening ---- */

static bool connect(foci_database *database, foci_error *err) {
    database->dataset = GDALOpenEx(database->name,
                                   GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR |
                                       (unsigned)(database->changing ? GDAL_OF_UPDATE : GDAL_OF_READONLY),
                                   NULL, NULL, NULL);
    return database->dataset || foci_database_fail(database, "cannot be reached", err);
}

static bool begin_change(foci_database *database, foci_error *err) {
    if (!database->changing)
        return true;
    if (!GDALDatasetTestCapability(database->dataset, ODsCTransactions))
        return foci_fail(err, FOCI_BAD_SETTING, database->name, 0,
                         "has no transactions, so a crash could leave half an entry; use a GeoPackage or a database "
                         "server");
    return GDALDatasetStartTransaction(database->dataset, FALSE) == OGRERR_NONE ||
           foci_database_fail(database, "cannot be changed", err);
}

static bool open_database(foci_database *database, const foci_execution *how, foci_error *err) {
    if (!database->connection && !foci_database_file_lock(database, how, err))
        return false;
    database->wgs84 = OSRNewSpatialReference(NULL);
    if (!database->wgs84 || OSRImportFromEPSG(database->wgs84, 4326) != OGRERR_NONE)
        return foci_database_fail(database, "the coordinate system cannot be made", err);
    OSRSetAxisMappingStrategy(database->wgs84, OAMS_TRADITIONAL_GIS_ORDER);
    return (database->connection ? connect(database, err) : foci_database_file_begin(database, err)) &&
           begin_change(database, err) &&
           foci_database_settle(database, database->made || (database->connection && database->changing), err);
}

static bool open_for(foci_database **out, const char *name, bool changing, const foci_database_table *tables,
                     const foci_execution *how, foci_error *err) {
    char real[PATH_MAX];
    foci_database *database = foci_new_array(1, sizeof *database, err);
    if (!database)
        return false;
    database->lock = database->original = -1;
    database->tables = tables;
    database->changing = changing;
    database->connection = foci_database_is_connection(name);
    database->name = foci_copy_text(!database->connection && realpath(name, real) ? real : name, err);
    if (!database->name) {
        foci_database_close(database);
        return false;
    }
    foci_database_enter(database);
    bool ok = open_database(database, how, err);
    foci_database_leave();
    if (ok)
        *out = database;
    else
        foci_database_close(database);
    return ok;
}

bool foci_database_open(foci_database **out, const char *name, const foci_database_table *tables,
                        const foci_execution *how, foci_error *err) {
    return open_for(out, name, false, tables, how, err);
}

bool foci_database_change(foci_database **out, const char *name, const foci_database_table *tables,
                          const foci_execution *how, foci_error *err) {
    return open_for(out, name, true, tables, how, err);
}

/* ---- rows in ---- */

/* Beyond 2^53 a double skips whole numbers, and further out it fits no integer. */
static bool check_numbers(const foci_database *database, const foci_database_table *table, const double *numbers,
                          foci_error *err) {
    for (size_t i = 0; i < table->column_count; i++)
        if (table->columns[i].type == FOCI_COLUMN_WHOLE && fabs(numbers[i]) > 0x1p53)
            return foci_fail(err, FOCI_BAD_INPUT, database->name, 0,
                             "a row of its table '%s' cannot be written: %g is no '%s'", table->name, numbers[i],
                             table->columns[i].name);
    return true;
}

bool foci_database_add(foci_database *database, const foci_database_table *table, const char *const *texts,
                       const double *numbers, const foci_point *point, const foci_multipolygon *area, foci_error *err) {
    if (!check_numbers(database, table, numbers, err))
        return false;
    foci_database_enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = foci_database_rows_add(layer, table, texts, numbers, point, area) && database->talk.failures == 0;
    foci_database_leave();
    return ok || foci_database_fail(database, "a row cannot be written", err);
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
    foci_database_enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = (OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE ||
               foci_database_fail(database, "cannot be searched", err)) &&
              foci_database_rows_read(out, layer, table, err);
    if (ok && database->talk.failures) {
        foci_table_free(out);
        ok = foci_database_fail(database, "cannot be read whole", err);
    }
    OGR_L_SetAttributeFilter(layer, NULL);
    foci_database_leave();
    free(filter);
    return ok;
}

bool foci_database_count(size_t *out, foci_database *database, const foci_database_table *table, const char *column,
                         const char *text, foci_error *err) {
    char *filter = make_filter(column, text, err);
    if (!filter)
        return false;
    foci_database_enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE;
    const GIntBig count = ok ? OGR_L_GetFeatureCount(layer, TRUE) : -1;
    OGR_L_SetAttributeFilter(layer, NULL);
    ok = count >= 0 && database->talk.failures == 0;
    foci_database_leave();
    free(filter);
    if (ok)
        *out = (size_t)count;
    return ok || foci_database_fail(database, "its rows cannot be counted", err);
}

bool foci_database_set(foci_database *database, const foci_database_table *table, const char *key, const char *column,
                       const char *text, foci_error *err) {
    char *filter = make_filter(table->key, key, err);
    if (!filter)
        return false;
    foci_database_enter(database);
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
    foci_database_leave();
    free(filter);
    return ok || foci_database_fail(database, "a row cannot be changed", err);
}

bool foci_database_remove(foci_database *database, const foci_database_table *table, const char *column,
                          const char *text, foci_error *err) {
    char *filter = make_filter(column, text, err);
    if (!filter)
        return false;
    foci_database_enter(database);
    OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
    bool ok = OGR_L_SetAttributeFilter(layer, filter) == OGRERR_NONE && foci_database_rows_remove(layer, err) &&
              database->talk.failures == 0;
    OGR_L_SetAttributeFilter(layer, NULL);
    foci_database_leave();
    free(filter);
    return ok || foci_database_fail(database, "a row cannot be taken out", err);
}

/* ---- the end ---- */

static bool close_dataset(foci_database *database) {
    if (database->dataset)
        GDALClose(database->dataset);
    database->dataset = NULL;
    return database->talk.failures == 0;
}

/* What a GeoPackage says of its tables (counts, extents) is otherwise written after the transaction, when the file is
 * closed. */
static bool sync_layers(foci_database *database) {
    bool ok = true;
    for (int i = 0; ok && i < GDALDatasetGetLayerCount(database->dataset); i++)
        ok = OGR_L_SyncToDisk(GDALDatasetGetLayer(database->dataset, i)) == OGRERR_NONE;
    return ok;
}

bool foci_database_commit(foci_database *database, foci_error *err) {
    double rows[FOCI_DATABASE_TABLES_MOST] = {0};
    foci_database_enter(database);
    bool ok = sync_layers(database) && foci_database_count_all(database, rows, err) &&
              GDALDatasetCommitTransaction(database->dataset) == OGRERR_NONE && database->talk.failures == 0;
    database->changing = false;
    ok = close_dataset(database) && ok;
    if (!ok)
        foci_database_fail(database, "cannot be written", err);
    else if (!database->connection)
        ok = foci_database_file_end(database, rows, err);
    foci_database_leave();
    foci_database_close(database);
    return ok;
}

void foci_database_close(foci_database *database) {
    if (!database)
        return;
    foci_database_enter(database);
    if (database->dataset && database->changing)
        GDALDatasetRollbackTransaction(database->dataset);
    close_dataset(database);
    if (database->wgs84)
        OSRRelease(database->wgs84);
    foci_database_file_close(database);
    foci_database_leave();
    free(database->name);
    free(database);
}

/* Tables made, grown by the columns of later versions, and tied to each other. */
#include <cpl_string.h>
#include <gdal.h>
#include <ogr_api.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/files/database_handle.h"

/* ---- columns ---- */

static bool create_column(foci_database *database, OGRLayerH layer, const foci_database_table *table, size_t index,
                          foci_error *err) {
    static const OGRFieldType types[] = {
        [FOCI_COLUMN_TEXT] = OFTString, [FOCI_COLUMN_NUMBER] = OFTReal, [FOCI_COLUMN_WHOLE] = OFTInteger64};
    OGRFieldDefnH column = OGR_Fld_Create(table->columns[index].name, types[table->columns[index].type]);
    OGR_Fld_SetUnique(column, table->key && strcmp(table->columns[index].name, table->key) == 0);
    bool ok = OGR_L_CreateField(layer, column, FALSE) == OGRERR_NONE;
    OGR_Fld_Destroy(column);
    return ok || foci_database_fail(database, "a column cannot be made", err);
}

/* All columns are there but for later ones, which a change adds. */
static bool settle_columns(foci_database *database, OGRLayerH layer, const foci_database_table *table, bool *grown,
                           foci_error *err) {
    for (size_t i = 0; i < table->column_count; i++) {
        if (OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(layer), table->columns[i].name) >= 0)
            continue;
        if (i + table->later < table->column_count)
            return foci_fail(err, FOCI_BAD_INPUT, database->name, 0,
                             "is no such database: its table '%s' has no column '%s'", table->name,
                             table->columns[i].name);
        if (!database->changing)
            continue;
        *grown = true;
        if (!create_column(database, layer, table, i, err))
            return false;
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
    if (!layer)
        return foci_database_fail(database, "a table cannot be made", err);
    for (size_t i = 0; i < table->column_count; i++)
        if (!create_column(database, layer, table, i, err))
            return false;
    return OGR_L_SyncToDisk(layer) == OGRERR_NONE || foci_database_fail(database, "a table cannot be made", err);
}

/* ---- ties: no row without the row that it is of ---- */

/* @T: the table, @C: its column, @O: the table that it is of, @K: that one's key. */

/* A GeoPackage's foreign keys hold only for programs that ask for them; triggers hold for all. The count of a table's
 * rows that programs of the format keep hangs on triggers too, which earlier versions could lose on a full disk. */
static const char *const file_ties[] = {
    "CREATE INDEX IF NOT EXISTS \"@T_by_@C\" ON \"@T\" (\"@C\")",
    "CREATE TRIGGER IF NOT EXISTS \"@T_of_@O_insert\" BEFORE INSERT ON \"@T\" "
    "WHEN NOT EXISTS (SELECT 1 FROM \"@O\" WHERE \"@K\" = NEW.\"@C\") "
    "BEGIN SELECT RAISE(ABORT, 'a row of @T needs the row of @O that it is of'); END",
    "CREATE TRIGGER IF NOT EXISTS \"@T_of_@O_update\" BEFORE UPDATE OF \"@C\" ON \"@T\" "
    "WHEN NOT EXISTS (SELECT 1 FROM \"@O\" WHERE \"@K\" = NEW.\"@C\") "
    "BEGIN SELECT RAISE(ABORT, 'a row of @T needs the row of @O that it is of'); END",
    "CREATE TRIGGER IF NOT EXISTS \"@O_with_@T_delete\" BEFORE DELETE ON \"@O\" "
    "WHEN EXISTS (SELECT 1 FROM \"@T\" WHERE \"@C\" = OLD.\"@K\") "
    "BEGIN SELECT RAISE(ABORT, 'a row of @O has rows of @T, which must go first'); END",
    "CREATE TRIGGER IF NOT EXISTS \"@O_with_@T_update\" BEFORE UPDATE OF \"@K\" ON \"@O\" "
    "WHEN NEW.\"@K\" IS NOT OLD.\"@K\" AND EXISTS (SELECT 1 FROM \"@T\" WHERE \"@C\" = OLD.\"@K\") "
    "BEGIN SELECT RAISE(ABORT, 'a row of @O has rows of @T, which must go first'); END",
    NULL,
};

static const char *const file_counts[] = {
    "CREATE TRIGGER IF NOT EXISTS \"trigger_insert_feature_count_@T\" AFTER INSERT ON \"@T\" "
    "BEGIN UPDATE gpkg_ogr_contents SET feature_count = feature_count + 1 WHERE lower(table_name) = lower('@T'); END",
    "CREATE TRIGGER IF NOT EXISTS \"trigger_delete_feature_count_@T\" AFTER DELETE ON \"@T\" "
    "BEGIN UPDATE gpkg_ogr_contents SET feature_count = feature_count - 1 WHERE lower(table_name) = lower('@T'); END",
    "UPDATE gpkg_ogr_contents SET feature_count = (SELECT count(*) FROM \"@T\") "
    "WHERE lower(table_name) = lower('@T')",
    NULL,
};

/* NOT VALID: rows of earlier versions are not looked at, new ones are. */
static const char *const server_ties[] = {
    "CREATE INDEX IF NOT EXISTS \"@T_by_@C\" ON \"@T\" (\"@C\")",
    "ALTER TABLE \"@T\" DROP CONSTRAINT IF EXISTS \"@T_of_@O\"",
    "ALTER TABLE \"@T\" ADD CONSTRAINT \"@T_of_@O\" FOREIGN KEY (\"@C\") REFERENCES \"@O\" (\"@K\") "
    "NOT VALID",
    NULL,
};

static const char *key_of(const foci_database_table *tables, const char *name) {
    for (; name && tables->name; tables++)
        if (strcmp(tables->name, name) == 0)
            return tables->key;
    return "";
}

static bool fill_in(foci_text *out, const char *statement, const foci_database_table *table, const char *key,
                    foci_error *err) {
    for (const char *rest = statement; *rest; rest++) {
        const char *name = rest[0] != '@'   ? NULL
                           : rest[1] == 'T' ? table->name
                           : rest[1] == 'C' ? table->by
                           : rest[1] == 'O' ? table->of
                                            : key;
        if (!foci_text_add(out, err, name ? "%s" : "%.1s", name ? name : rest))
            return false;
        rest += name != NULL;
    }
    return true;
}

static bool run_all(foci_database *database, const char *const *statements, const foci_database_table *table,
                    foci_error *err) {
    const char *key = key_of(database->tables, table->of);
    for (; *statements; statements++) {
        foci_text text = {0};
        bool filled = fill_in(&text, *statements, table, key, err);
        bool ok = filled && foci_database_run(database, database->dataset, text.text, NULL);
        foci_text_free(&text);
        if (!ok)
            return filled ? foci_database_fail(database, "its tables cannot be tied", err) : false;
    }
    return true;
}

/* Databases that speak another language than these two go without ties. */
static bool tie_tables(foci_database *database, foci_error *err) {
    const char *driver = GDALGetDriverShortName(GDALGetDatasetDriver(database->dataset));
    const bool file = strcmp(driver, "GPKG") == 0, server = strcmp(driver, "PostgreSQL") == 0;
    for (const foci_database_table *table = database->tables; table->name; table++) {
        if (table->of && (file || server) && !run_all(database, file ? file_ties : server_ties, table, err))
            return false;
    }
    return true;
}

static bool has_tables(foci_database *database, bool may_create, foci_error *err) {
    for (const foci_database_table *table = database->tables; table->name; table++)
        if (!may_create && !GDALDatasetGetLayerByName(database->dataset, table->name))
            return foci_fail(err, FOCI_BAD_INPUT, database->name, 0, "is no such database: it has no table '%s'",
                             table->name);
    return true;
}

/* Before the library looks at its layers: it keeps in mind what it finds. */
static bool repair_counts(foci_database *database, foci_error *err) {
    if (!database->fresh || database->made)
        return true;
    for (const foci_database_table *table = database->tables; table->name; table++)
        if (!run_all(database, file_counts, table, err))
            return false;
    return true;
}

bool foci_database_settle(foci_database *database, bool may_create, foci_error *err) {
    bool grown = false;
    if (!has_tables(database, may_create, err) || !repair_counts(database, err))
        return false;
    for (const foci_database_table *table = database->tables; table->name; table++) {
        OGRLayerH layer = GDALDatasetGetLayerByName(database->dataset, table->name);
        if (layer ? !settle_columns(database, layer, table, &grown, err) : !create_table(database, table, err))
            return false;
        grown = grown || !layer;
    }
    return !grown || tie_tables(database, err);
}

bool foci_database_count_all(foci_database *database, double *rows, foci_error *err) {
    for (size_t i = 0; database->tables[i].name; i++) {
        char *statement = foci_format_text(err, "SELECT count(*) FROM \"%s\"", database->tables[i].name);
        bool ok = statement && foci_database_run(database, database->dataset, statement, &rows[i]);
        free(statement);
        if (!statement || !ok)
            return statement ? foci_database_fail(database, "its rows cannot be counted", err) : false;
    }
    return true;
}

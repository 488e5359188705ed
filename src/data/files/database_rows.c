#include "data/files/database_rows.h"

#include <math.h>
#include <ogr_api.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/files/vector_shape.h"

/* ---- shapes ---- */

static bool read_ring(foci_ring *ring, OGRGeometryH from, foci_error *err) {
    int points = OGR_G_GetPointCount(from);
    size_t count = points > 1 ? (size_t)points - 1 : 0; /* the last repeats the first */
    ring->points = foci_new_array(count, sizeof *ring->points, err);
    if (!ring->points)
        return false;
    ring->count = count;
    for (size_t i = 0; i < count; i++)
        ring->points[i] = (foci_point){OGR_G_GetX(from, (int)i), OGR_G_GetY(from, (int)i)};
    return true;
}

static bool read_polygon(foci_polygon *polygon, OGRGeometryH from, foci_error *err) {
    size_t count = (size_t)OGR_G_GetGeometryCount(from);
    polygon->rings = foci_new_array(count, sizeof *polygon->rings, err);
    if (!polygon->rings)
        return false;
    polygon->count = count;
    for (size_t r = 0; r < count; r++)
        if (!read_ring(&polygon->rings[r], OGR_G_GetGeometryRef(from, (int)r), err))
            return false;
    return true;
}

static bool read_area(foci_multipolygon *area, OGRGeometryH from, foci_error *err) {
    size_t count = (size_t)OGR_G_GetGeometryCount(from);
    area->polygons = foci_new_array(count, sizeof *area->polygons, err);
    if (!area->polygons)
        return false;
    area->count = count;
    for (size_t p = 0; p < count; p++)
        if (!read_polygon(&area->polygons[p], OGR_G_GetGeometryRef(from, (int)p), err))
            return false;
    return true;
}

static bool read_shape(foci_shape *shape, OGRFeatureH feature, const foci_database_table *table, foci_error *err) {
    OGRGeometryH held = table->kind == FOCI_SHAPE_NONE ? NULL : OGR_F_GetGeometryRef(feature);
    if (!held || OGR_G_IsEmpty(held))
        return true;
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(held));
    if (type != (table->kind == FOCI_SHAPE_POINT ? wkbPoint : wkbMultiPolygon))
        return foci_fail(err, FOCI_BAD_INPUT, table->name, 0, "holds a shape that was not put there by this program");
    shape->kind = table->kind;
    if (type == wkbMultiPolygon)
        return read_area(&shape->area, held, err);
    shape->point = (foci_point){OGR_G_GetX(held, 0), OGR_G_GetY(held, 0)};
    return true;
}

/* ---- cells ---- */

static bool read_cell(foci_cell *cell, const foci_column *column, OGRFeatureH feature, foci_error *err) {
    int index = OGR_F_GetFieldIndex(feature, column->name);
    cell->number = NAN;
    if (index < 0 || !OGR_F_IsFieldSetAndNotNull(feature, index)) /* of a database of an earlier version */
        return true;
    cell->is_number = column->type != FOCI_COLUMN_TEXT;
    if (cell->is_number)
        cell->number = OGR_F_GetFieldAsDouble(feature, index);
    cell->text = foci_copy_text(OGR_F_GetFieldAsString(feature, index), err);
    return cell->text != NULL;
}

static bool read_columns(foci_table *table, const foci_database_table *from, foci_error *err) {
    table->layer = foci_copy_text(from->name, err);
    table->columns = foci_new_array(from->column_count, sizeof *table->columns, err);
    table->types = foci_new_array(from->column_count, sizeof *table->types, err);
    if (!table->layer || !table->columns || !table->types)
        return false;
    table->column_count = from->column_count;
    for (size_t i = 0; i < from->column_count; i++) {
        table->types[i] = from->columns[i].type;
        table->columns[i] = foci_copy_text(from->columns[i].name, err);
        if (!table->columns[i])
            return false;
    }
    return true;
}

typedef struct {
    size_t shapes, cells;
} capacities;

static bool read_row(foci_table *table, capacities *room, OGRFeatureH feature, const foci_database_table *from,
                     foci_error *err) {
    size_t row = table->row_count, columns = table->column_count;
    if (!foci_grow_array((void **)&table->shapes, &room->shapes, row + 1, sizeof *table->shapes, err) ||
        !foci_grow_array((void **)&table->cells, &room->cells, (row + 1) * columns, sizeof *table->cells, err))
        return false;
    table->shapes[row] = (foci_shape){0};
    for (size_t c = 0; c < columns; c++)
        table->cells[row * columns + c] = (foci_cell){0};
    table->row_count++;
    for (size_t c = 0; c < columns; c++)
        if (!read_cell(&table->cells[row * columns + c], &from->columns[c], feature, err))
            return false;
    return read_shape(&table->shapes[row], feature, from, err);
}

bool foci_database_rows_read(foci_table *out, void *layer, const foci_database_table *table, foci_error *err) {
    foci_table read = {0};
    capacities room = {0};
    bool ok = read_columns(&read, table, err);
    OGR_L_ResetReading(layer);
    OGRFeatureH feature = NULL;
    while (ok && (feature = OGR_L_GetNextFeature(layer))) {
        ok = read_row(&read, &room, feature, table, err);
        OGR_F_Destroy(feature);
    }
    if (ok)
        *out = read;
    else
        foci_table_free(&read);
    return ok;
}

/* ---- in ---- */

static void fill_column(OGRFeatureH feature, const foci_column *column, const char *text, double number) {
    int index = OGR_F_GetFieldIndex(feature, column->name);
    if (column->type == FOCI_COLUMN_TEXT && text)
        OGR_F_SetFieldString(feature, index, text);
    else if (column->type == FOCI_COLUMN_WHOLE && isfinite(number))
        OGR_F_SetFieldInteger64(feature, index, (GIntBig)number);
    else if (column->type == FOCI_COLUMN_NUMBER && isfinite(number))
        OGR_F_SetFieldDouble(feature, index, number);
}

bool foci_database_rows_add(void *layer, const foci_database_table *table, const char *const *texts,
                            const double *numbers, const foci_point *point, const foci_multipolygon *area) {
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
    for (size_t i = 0; i < table->column_count; i++)
        fill_column(feature, &table->columns[i], texts[i], numbers[i]);
    OGRGeometryH shape = foci_vector_shape_make(point, area);
    bool ok = (!shape || OGR_F_SetGeometryDirectly(feature, shape) == OGRERR_NONE) &&
              OGR_L_CreateFeature(layer, feature) == OGRERR_NONE;
    OGR_F_Destroy(feature);
    return ok;
}

/* ---- taking out ---- */

/* Read to the end first: a layer whose rows go while it is read may lose its place. */
bool foci_database_rows_remove(void *layer, foci_error *err) {
    GIntBig *rows = NULL;
    size_t count = 0, room = 0;
    bool ok = true;
    OGR_L_ResetReading(layer);
    OGRFeatureH feature = NULL;
    while (ok && (feature = OGR_L_GetNextFeature(layer))) {
        ok = foci_grow_array((void **)&rows, &room, count + 1, sizeof *rows, err);
        if (ok)
            rows[count++] = OGR_F_GetFID(feature);
        OGR_F_Destroy(feature);
    }
    for (size_t i = 0; ok && i < count; i++)
        ok = OGR_L_DeleteFeature(layer, rows[i]) == OGRERR_NONE;
    free(rows);
    return ok;
}

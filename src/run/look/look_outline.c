#include <math.h>

#include "base/longitudes.h"
#include "base/memory.h"
#include "data/field/field_line.h"
#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "data/stops/columns.h"
#include "decide/words/look_sentences.h"
#include "run/look/look_parts.h"

#define WGS84 "EPSG:4326"

/* On shapes that cannot be drawn, before it is given up. */
enum { MOST_NOTES = 8 };

/* Out of the file's system into WGS84; NULL where it is that already. */
typedef struct {
    foci_projection *projection;
    bool geographic;
} outline_way;

static bool open_way(outline_way *out, const char *system, const char *file, foci_error *err) {
    foci_crs_facts facts = {0};
    if (!foci_crs_describe(&facts, system, file, err))
        return false;
    out->geographic = facts.geographic;
    return foci_crs_same(system, WGS84) || foci_projection_open(&out->projection, system, WGS84, err);
}

/* ---- shapes that enclose ground ---- */

static size_t count_corners(const foci_multipolygon *shape) {
    size_t count = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            count += shape->polygons[p].rings[r].count;
    return count;
}

/* Whole, valid and in WGS84. */
static bool make_lonlat(foci_multipolygon *out, foci_multipolygon *own, const outline_way *way, foci_error *err) {
    foci_multipolygon valid = {0};
    bool repaired = false;
    char why[128] = "";
    if (way->geographic && !foci_longitudes_unwrap(own, NULL))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "goes around a pole, where no field is");
    bool ok = foci_overlay_repair(&valid, &repaired, why, own, err) &&
              (way->projection ? foci_projection_shape(out, way->projection, false, &valid, err)
                               : foci_multipolygon_copy(out, &valid, err));
    foci_multipolygon_free(&valid);
    return ok;
}

/* Moves the polygons of `shape` to the outline. */
static bool join(foci_multipolygon *outline, foci_multipolygon *shape, foci_error *err) {
    size_t capacity = outline->count;
    if (!foci_grow_array((void **)&outline->polygons, &capacity, outline->count + shape->count,
                         sizeof *outline->polygons, err))
        return false;
    for (size_t p = 0; p < shape->count; p++) {
        outline->polygons[outline->count++] = shape->polygons[p];
        shape->polygons[p] = (foci_polygon){0};
    }
    return true;
}

/* ---- the features ---- */

static size_t count_kind(const foci_table *table, foci_shape_kind kind) {
    size_t count = 0;
    for (size_t row = 0; row < table->row_count; row++)
        count += table->shapes[row].kind == kind;
    return count;
}

/* What keeps a shape from being drawn is told of, and the shape left out. */
static bool leave_out(foci_look *look, long row, const foci_error *why, foci_error *err) {
    return why->status == FOCI_BAD_INPUT ? foci_sentences_add(&look->notes, err, "row %ld: %s", row, why->text)
                                         : foci_fail_again(err, why);
}

/* A line becomes an area as it does where the boundary is read. */
static bool close_line(foci_look *look, foci_table *table, size_t row, const outline_way *way, foci_error *err) {
    long number = foci_table_row(table, row);
    foci_table alone = {.row_count = 1, .shapes = &table->shapes[row], .row_numbers = &number};
    foci_error why = {0};
    bool ok = foci_field_lines_close(&alone, look->file, way->geographic, &why) || leave_out(look, number, &why, err);
    for (size_t i = 0; ok && i < alone.notes.count; i++)
        ok = foci_sentences_add(&look->notes, err, "row %ld: %s", number, alone.notes.items[i]);
    foci_notes_free(&alone.notes);
    return ok;
}

static bool take_area(foci_look *look, const foci_multipolygon *area, long row, const outline_way *way,
                      foci_error *err) {
    foci_multipolygon own = {0}, lonlat = {0};
    foci_error why = {0};
    bool ok = foci_multipolygon_copy(&own, area, err);
    if (ok && make_lonlat(&lonlat, &own, way, &why)) {
        const foci_box box = foci_multipolygon_box(&lonlat);
        ok = fabs(box.south) <= 90 && fabs(box.north) <= 90
                 ? join(&look->outline, &lonlat, err)
                 : foci_sentences_add(&look->notes, err, FOCI_LOOK_BEYOND, row);
    } else if (ok) {
        ok = leave_out(look, row, &why, err);
    }
    foci_multipolygon_free(&own);
    foci_multipolygon_free(&lonlat);
    return ok;
}

static bool encloses(const foci_shape *shape) {
    return shape->kind == FOCI_SHAPE_AREA || shape->kind == FOCI_SHAPE_LINE;
}

static size_t corners_of(const foci_shape *shape) {
    size_t corners = count_corners(&shape->area);
    for (size_t i = 0; i < shape->lines.count; i++)
        corners += shape->lines.rings[i].count;
    return corners;
}

static bool take_shapes(foci_look *look, foci_table *table, const outline_way *way, foci_error *err) {
    const bool drawn = count_kind(table, FOCI_SHAPE_AREA) == 0; /* lines count where there is no area */
    size_t corners = 0, notes = look->notes.count, row = 0;
    for (; row < table->row_count && look->notes.count < notes + MOST_NOTES; row++) {
        const foci_shape *shape = &table->shapes[row];
        corners += corners_of(shape);
        if (corners > FOCI_LOOK_CORNERS)
            break;
        if (shape->kind == FOCI_SHAPE_LINE && drawn && !close_line(look, table, row, way, err))
            return false;
        if (shape->kind == FOCI_SHAPE_AREA && !take_area(look, &shape->area, foci_table_row(table, row), way, err))
            return false;
    }
    if (look->outline.count > 0)
        look->area_ha = foci_geodesic_area(&look->outline) / 10000;
    return row == table->row_count || foci_sentences_add(&look->notes, err, FOCI_LOOK_OUTLINE_CUT, row);
}

static bool take_names(foci_look *look, const foci_table *table, foci_error *err) {
    const long column = foci_column_named(table, "name");
    for (size_t row = 0; column >= 0 && row < table->row_count && look->names.count < FOCI_LOOK_NAMES; row++) {
        const char *name = table->cells[row * table->column_count + (size_t)column].text;
        if (name && encloses(&table->shapes[row]) && !foci_sentences_add(&look->names, err, "%s", name))
            return false;
    }
    return true;
}

bool foci_look_outline(foci_look *look, foci_table *table, const foci_look_options *options, foci_error *err) {
    const char *system = *table->crs ? table->crs : options->crs;
    outline_way way = {0};
    foci_error why = {0};
    if (!take_names(look, table, err))
        return false;
    if (!system)
        return foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_SYSTEM);
    bool ok = open_way(&way, system, look->file, &why) ? take_shapes(look, table, &way, err)
              : why.status == FOCI_NO_MEMORY           ? foci_fail_again(err, &why)
                                             : foci_sentences_add(&look->notes, err, FOCI_LOOK_NO_OUTLINE, why.text);
    foci_projection_close(way.projection);
    return ok;
}

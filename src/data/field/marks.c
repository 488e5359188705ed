#include "fieldfoci/marks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "data/stops/point_table.h"
#include "fieldfoci/words.h"

static void free_mark(foci_mark *mark) {
    for (size_t i = 0; i < mark->count; i++)
        free(mark->parts[i].points);
    free(mark->parts);
    free(mark->name);
    *mark = (foci_mark){0};
}

void foci_marks_free(foci_marks *marks) {
    for (size_t i = 0; i < marks->count; i++)
        free_mark(&marks->items[i]);
    free(marks->items);
    *marks = (foci_marks){0};
}

static bool add_part(foci_mark *mark, const foci_ring *ring, foci_error *err) {
    foci_ring *part = &mark->parts[mark->count];
    if (!(part->points = foci_new_array(ring->count, sizeof *part->points, err)))
        return false;
    mark->count++;
    part->count = ring->count;
    memcpy(part->points, ring->points, ring->count * sizeof *part->points);
    return true;
}

/* A copy of rings, lines or a point, and of the name, as one line. */
static bool make_mark(foci_mark *out, foci_mark_kind kind, const foci_ring *rings, size_t count, const char *name,
                      foci_error *err) {
    foci_mark mark = {.kind = kind, .name = foci_copy_text(name ? name : "", err)};
    bool ok = mark.name && (mark.parts = foci_new_array(count, sizeof *mark.parts, err));
    for (size_t i = 0; ok && i < count; i++)
        ok = add_part(&mark, &rings[i], err);
    if (!ok) {
        free_mark(&mark);
        return false;
    }
    foci_words_one_line(mark.name);
    *out = mark;
    return true;
}

/* Room for one more, all zero. */
static foci_mark *next_mark(foci_marks *marks, foci_error *err) {
    size_t capacity = marks->count;
    if (!foci_grow_array((void **)&marks->items, &capacity, marks->count + 1, sizeof *marks->items, err))
        return NULL;
    marks->items[marks->count] = (foci_mark){0};
    return &marks->items[marks->count];
}

static bool add_mark(foci_marks *marks, foci_mark_kind kind, const foci_ring *rings, size_t count, const char *name,
                     foci_error *err) {
    foci_mark *mark = next_mark(marks, err);
    if (!mark || !make_mark(mark, kind, rings, count, name, err))
        return false;
    marks->count++;
    return true;
}

bool foci_marks_add_point(foci_marks *marks, foci_point place, const char *name, foci_error *err) {
    const foci_ring ring = {1, &place};
    return add_mark(marks, FOCI_MARK_POINT, &ring, 1, name, err);
}

static const char *name_in(const foci_table *table, size_t row) {
    static const char *const columns[] = {"name", "label", "title", NULL};
    for (const char *const *column = columns; *column; column++) {
        const long at = foci_table_column(table, *column);
        if (at >= 0 && table->cells[row * table->column_count + (size_t)at].text)
            return table->cells[row * table->column_count + (size_t)at].text;
    }
    return "";
}

/* The rings of a shape, borrowed, in one list of the caller's with room for all; NULL: how many there are. */
static size_t list_rings(foci_ring *rings, const foci_shape *shape) {
    size_t count = 0;
    for (size_t i = 0; i < shape->lines.count; i++, count++)
        if (rings)
            rings[count] = shape->lines.rings[i];
    for (size_t p = 0; p < shape->area.count; p++)
        for (size_t r = 0; r < shape->area.polygons[p].count; r++, count++)
            if (rings)
                rings[count] = shape->area.polygons[p].rings[r];
    return count;
}

static bool add_shape(foci_marks *marks, foci_shape *shape, const char *name, const foci_projection *projection,
                      foci_error *err) {
    if (shape->kind == FOCI_SHAPE_POINT)
        return foci_projection_forward(projection, &shape->point, 1) > 0 ||
               foci_marks_add_point(marks, shape->point, name, err);
    const size_t count = list_rings(NULL, shape);
    foci_ring *rings = foci_new_array(count, sizeof *rings, err);
    if (!rings)
        return false;
    bool whole = list_rings(rings, shape) > 0;
    for (size_t i = 0; i < count; i++)
        whole = foci_projection_forward(projection, rings[i].points, rings[i].count) == 0 && whole;
    const foci_mark_kind kind = shape->kind == FOCI_SHAPE_LINE ? FOCI_MARK_LINE : FOCI_MARK_AREA;
    /* What has no place in the work system lies far from the field. */
    const bool ok = !whole || add_mark(marks, kind, rings, count, name, err);
    free(rings);
    return ok;
}

static bool add_table(foci_marks *marks, const foci_table *table, const char *file, const char *work_crs,
                      const char *crs, foci_error *err) {
    foci_projection *projection = NULL;
    const char *own = *table->crs ? table->crs : crs;
    if (!own)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "has no coordinate reference system; say which with {crs}, as in {crs} EPSG:4326");
    if (!foci_projection_open(&projection, own, work_crs, err))
        return false;
    bool ok = true;
    for (size_t row = 0; ok && row < table->row_count; row++)
        ok = table->shapes[row].kind == FOCI_SHAPE_NONE || table->shapes[row].kind == FOCI_SHAPE_OTHER ||
             add_shape(marks, &table->shapes[row], name_in(table, row), projection, err);
    foci_projection_close(projection);
    return ok;
}

/* Coordinates are columns. */
static bool add_points(foci_marks *marks, const char *file, const char *work_crs, const char *crs, foci_error *err) {
    foci_point_table points = {0};
    foci_projection *projection = NULL;
    bool ok = foci_point_table_read(&points, file, crs, NULL, NULL, err) &&
              foci_projection_open(&projection, "EPSG:4326", work_crs, err);
    for (size_t row = 0; ok && row < points.table.row_count; row++) {
        foci_point place = points.lonlat[row];
        ok = isnan(place.x) || foci_projection_forward(projection, &place, 1) > 0 ||
             foci_marks_add_point(marks, place, name_in(&points.table, row), err);
    }
    foci_projection_close(projection);
    foci_point_table_free(&points);
    return ok;
}

static bool has_no_shapes(const foci_table *table) {
    for (size_t row = 0; row < table->row_count; row++)
        if (table->shapes[row].kind != FOCI_SHAPE_NONE)
            return false;
    return *table->crs == '\0';
}

static bool add_file(foci_marks *marks, const char *file, const char *work_crs, const char *crs, foci_error *err) {
    foci_table *tables = NULL;
    size_t count = 0;
    if (!foci_table_read_all(&tables, &count, file, err))
        return false;
    bool ok = true;
    if (count == 1 && has_no_shapes(&tables[0]))
        ok = add_points(marks, file, work_crs, crs, err);
    else
        for (size_t i = 0; ok && i < count; i++)
            ok = add_table(marks, &tables[i], file, work_crs, crs, err);
    for (size_t i = 0; i < count; i++)
        foci_table_free(&tables[i]);
    free(tables);
    return ok;
}

bool foci_marks_read(foci_marks *marks, const char *file, const char *work_crs, const char *crs, foci_error *err) {
    foci_crs_facts facts;
    foci_marks read = {0};
    bool ok = (!crs || foci_crs_describe(&facts, crs, "{crs}", err)) && add_file(&read, file, work_crs, crs, err);
    if (ok && read.count == 0)
        ok = foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds no point, line or polygon to draw");
    size_t capacity = marks->count;
    if (ok)
        ok = foci_grow_array((void **)&marks->items, &capacity, marks->count + read.count, sizeof *marks->items, err);
    for (size_t i = 0; ok && i < read.count; i++) {
        marks->items[marks->count++] = read.items[i];
        read.items[i] = (foci_mark){0};
    }
    foci_marks_free(&read);
    return ok;
}

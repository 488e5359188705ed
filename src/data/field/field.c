#include "fieldfoci/field.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/longitudes.h"
#include "base/memory.h"
#include "base/text.h"
#include "data/field/field_line.h"
#include "data/files/fingerprint.h"
#include "data/files/vector_file.h"
#include "data/places/area_of_use.h"
#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "data/stops/columns.h"

#define WGS84 "EPSG:4326"
#define NAME_COLUMN "name"

/* ---- which feature ---- */

static size_t count_kind(const foci_table *table, foci_shape_kind kind) {
    size_t count = 0;
    for (size_t i = 0; i < table->row_count; i++)
        count += table->shapes[i].kind == kind;
    return count;
}

static bool no_area(const foci_table *table, const char *file, foci_error *err) {
    if (count_kind(table, FOCI_SHAPE_POINT))
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "the boundary is made of points; draw it as one closed polygon and save it again");
    return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "holds no polygon; draw the field's boundary and save it as a polygon");
}

static const char *row_name(const foci_table *table, long column, size_t row) {
    const char *text = column < 0 ? NULL : table->cells[row * table->column_count + (size_t)column].text;
    return text ? text : "";
}

/* "A", "B", "C" of the polygons that have a name; NULL on failure. */
static char *list_names(const foci_table *table, long column, foci_error *err) {
    foci_text list = {0};
    bool ok = foci_text_add(&list, err, "%s", "");
    for (size_t i = 0; i < table->row_count && ok; i++) {
        const char *name = row_name(table, column, i);
        if (table->shapes[i].kind == FOCI_SHAPE_AREA && *name)
            ok = foci_text_add(&list, err, "%s\"%s\"", list.length ? ", " : "", name);
    }
    if (ok)
        return list.text;
    foci_text_free(&list);
    return NULL;
}

/* Several fields, and none was chosen. */
static bool must_choose(const foci_table *table, const char *file, const char *column_name, long column,
                        foci_error *err) {
    char columns[200] = "";
    size_t count = count_kind(table, FOCI_SHAPE_AREA);
    char *names = list_names(table, column, err);
    if (!names)
        return false;
    foci_table_list_columns(table, columns, sizeof columns);
    if (*names)
        foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds %zu fields: %.350s; choose one with {field-name} NAME", count,
                  names);
    else
        foci_fail(err, FOCI_BAD_INPUT, file, 0,
                  "holds %zu fields, and no names in a column \"%.40s\"; choose one with {field-column} COLUMN and "
                  "{field-name} NAME, or save the field alone (columns: %s)",
                  count, column_name, *columns ? columns : "none");
    free(names);
    return false;
}

static bool not_there(const foci_table *table, const char *file, const char *name, long column, foci_error *err) {
    char *names = list_names(table, column, err);
    if (!names)
        return false;
    foci_fail(err, FOCI_BAD_INPUT, file, 0, "holds no field \"%.60s\"; there %s: %.350s", name, *names ? "are" : "is",
              *names ? names : "none with a name");
    free(names);
    return false;
}

static bool find_named(size_t *row, const foci_table *table, const char *file, const char *name, long column,
                       foci_error *err) {
    size_t found = 0;
    for (size_t i = 0; i < table->row_count; i++)
        if (table->shapes[i].kind == FOCI_SHAPE_AREA && foci_text_same(row_name(table, column, i), name)) {
            *row = i;
            found++;
        }
    if (found == 0)
        return not_there(table, file, name, column, err);
    return found == 1 ||
           foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "holds %zu fields named \"%.60s\"; choose by another column with {field-column} COLUMN", found,
                     name);
}

static bool choose_row(size_t *row, long *column, foci_table *table, const char *file,
                       const foci_field_options *options, foci_error *err) {
    const char *column_name = options->column ? options->column : NAME_COLUMN;
    size_t count = count_kind(table, FOCI_SHAPE_AREA), found = 0;
    *column = foci_column_named(table, column_name);
    if (count == 0)
        return no_area(table, file, err);
    if (*column < 0 && (options->column || options->name) && !foci_column_find(&found, table, file, column_name, err))
        return false;
    if (options->name)
        return find_named(row, table, file, options->name, *column, err);
    if (count > 1)
        return must_choose(table, file, column_name, *column, err);
    for (*row = 0; table->shapes[*row].kind != FOCI_SHAPE_AREA;)
        ++*row;
    return true;
}

/* ---- its shape ---- */

static bool choose_system(char **out, foci_crs_facts *facts, const foci_table *table, const char *file, const char *crs,
                          foci_error *err) {
    foci_error unknown = {0};
    const char *system = *table->crs ? table->crs : crs;
    if (!system)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "does not say its coordinate reference system; give it with {crs} CODE (EPSG:4326 for "
                         "longitude and latitude)");
    if (!foci_crs_describe(facts, system, file, &unknown)) {
        if (unknown.status != FOCI_BAD_SETTING)
            return foci_fail_again(err, &unknown);
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "its coordinate reference system is not understood; save the boundary in longitude and "
                         "latitude (WGS84)");
    }
    *out = foci_copy_text(system, err);
    return *out != NULL;
}

static bool check_area(const foci_multipolygon *own, const foci_multipolygon *lonlat, const foci_crs_facts *facts,
                       const char *file, foci_error *err) {
    foci_box here = foci_multipolygon_box(lonlat), box = foci_multipolygon_box(own);
    if (fabs(here.south) > 90 || fabs(here.north) > 90)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "the boundary reaches latitude %g; its longitudes and latitudes may be exchanged: swap them, "
                         "or check {crs}",
                         fabs(here.south) > 90 ? here.south : here.north);
    bool inside = foci_area_of_use_holds(&facts->area_of_use, (foci_point){here.west, here.south}) &&
                  foci_area_of_use_holds(&facts->area_of_use, (foci_point){here.east, here.north});
    if (inside)
        return true;
    return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                     "the boundary (x %.10g, y %.10g) lies outside the area of use of %s; check {crs}", box.west,
                     box.south, facts->name);
}

static bool to_wgs84(foci_multipolygon *out, const foci_multipolygon *own, const char *crs, const char *file,
                     foci_error *err) {
    foci_projection *projection = NULL;
    foci_error lost = {0};
    if (foci_crs_same(crs, WGS84))
        return foci_multipolygon_copy(out, own, err);
    if (!foci_projection_open(&projection, crs, WGS84, err))
        return false;
    bool ok = foci_projection_shape(out, projection, false, own, &lost);
    foci_projection_close(projection);
    if (ok)
        return true;
    return foci_fail(err, lost.status, lost.status == FOCI_BAD_INPUT ? file : NULL, 0, "%s%s", lost.text,
                     lost.status == FOCI_BAD_INPUT ? "; check {crs}" : "");
}

/* Across the 180th meridian, however the file writes it. */
static bool keep_together(foci_multipolygon *own, bool *moved, const char *file, foci_error *err) {
    const foci_box box = foci_multipolygon_box(own);
    const double pole = fmax(fabs(box.south), fabs(box.north));
    if ((pole > 89 && pole <= 90) || !foci_longitudes_unwrap(own, moved))
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "the boundary reaches or goes around a pole, where no field is; check its coordinates");
    return true;
}

static void measure(foci_field *field) {
    field->area_ha = foci_geodesic_area(&field->lonlat) / 10000;
    field->centre = foci_multipolygon_centroid(&field->lonlat);
}

static bool take_shape(foci_field *field, const foci_shape *shape, const char *crs, const foci_crs_facts *facts,
                       foci_findings *findings, foci_error *err) {
    foci_multipolygon valid = {0}, whole = {0};
    foci_error broken = {0};
    bool repaired = false, moved = false, ok = false;
    char why[128] = "";
    if (!foci_multipolygon_copy(&whole, &shape->area, err) ||
        (facts->geographic && !keep_together(&whole, &moved, field->input.file, err)))
        goto done;
    if (!foci_overlay_repair(&valid, &repaired, why, &whole, &broken)) {
        foci_fail(err, broken.status, broken.status == FOCI_BAD_INPUT ? field->input.file : NULL, 0, "%s", broken.text);
        goto done;
    }
    if (moved && repaired)
        repaired =
            !foci_overlay_valid(&shape->area); /* parts that were cut at the meridian are joined without a word */
    if (!to_wgs84(&field->lonlat, &valid, crs, field->input.file, err) ||
        !check_area(&valid, &field->lonlat, facts, field->input.file, err))
        goto done;
    measure(field);
    ok =
        !repaired || foci_findings_add(findings, "boundary repaired", FOCI_WARNING, NULL, NULL, 0, err,
                                       "The boundary in %s was repaired (%s) and holds %.4g ha now; check its outline.",
                                       field->input.file, why, field->area_ha);
done:
    foci_multipolygon_free(&valid);
    foci_multipolygon_free(&whole);
    return ok;
}

static bool describe_input(foci_input *input, const char *file, const foci_table *table, foci_error *err) {
    memcpy(input->sha256, table->sha256, sizeof input->sha256);
    input->rows = table->row_count;
    input->file = foci_copy_text(file, err);
    input->layer = input->file ? foci_copy_text(table->layer, err) : NULL;
    return input->layer != NULL;
}

bool foci_field_read(foci_field *out, const char *file, const foci_field_options *options, foci_findings *findings,
                     foci_error *err) {
    foci_field field = {0};
    foci_table table = {0};
    foci_crs_facts facts = {0};
    size_t row = 0;
    long column = -1;
    bool ok = false;
    if (options->crs && !foci_crs_describe(&facts, options->crs, "{crs}", err))
        return false;
    const foci_layer_choice layer = {
        .name = options->layer, .kind = FOCI_SHAPE_AREA, .remedy = "name one with {field-layer} NAME"};
    if (!foci_table_read(&table, file, &layer, err))
        return false;
    const bool drawn = !count_kind(&table, FOCI_SHAPE_AREA) && count_kind(&table, FOCI_SHAPE_LINE);
    if (!describe_input(&field.input, file, &table, err) ||
        (drawn && (!choose_system(&field.input.crs, &facts, &table, file, options->crs, err) ||
                   !foci_field_lines_close(&table, file, facts.geographic, err))) ||
        !choose_row(&row, &column, &table, file, options, err) ||
        (!drawn && !choose_system(&field.input.crs, &facts, &table, file, options->crs, err)))
        goto done;
    field.name = foci_copy_text(row_name(&table, column, row), err);
    if (!field.name || !foci_findings_add_notes(findings, file, &table.notes, err) ||
        !take_shape(&field, &table.shapes[row], field.input.crs, &facts, findings, err))
        goto done;
    *out = field;
    field = (foci_field){0};
    ok = true;
done:
    foci_table_free(&table);
    foci_field_free(&field);
    return ok;
}

/* What the boundary is, by content. */
static bool fingerprint(foci_input *input, const foci_multipolygon *shape, foci_error *err) {
    foci_text text = {0};
    bool ok = foci_text_add(&text, err, "%s", "");
    for (size_t p = 0; ok && p < shape->count; p++)
        for (size_t r = 0; ok && r < shape->polygons[p].count; r++)
            for (size_t i = 0; ok && i < shape->polygons[p].rings[r].count; i++)
                ok = foci_text_add(&text, err, "%zu,%zu,%.17g,%.17g\n", p, r, shape->polygons[p].rings[r].points[i].x,
                                   shape->polygons[p].rings[r].points[i].y);
    if (ok)
        foci_fingerprint_text(input->sha256, text.text);
    foci_text_free(&text);
    return ok;
}

bool foci_field_of_shape(foci_field *out, const char *name, const foci_multipolygon *lonlat, foci_findings *findings,
                         foci_error *err) {
    foci_field field = {.input.rows = 1};
    const foci_shape shape = {.kind = FOCI_SHAPE_AREA, .area = *lonlat};
    foci_crs_facts facts = {0};
    bool ok = (field.name = foci_copy_text(name, err)) &&
              (field.input.file = foci_copy_text(*name ? name : "boundary in memory", err)) &&
              (field.input.layer = foci_copy_text("field", err)) && (field.input.crs = foci_copy_text(WGS84, err)) &&
              foci_crs_describe(&facts, WGS84, field.input.file, err) && fingerprint(&field.input, lonlat, err) &&
              take_shape(&field, &shape, WGS84, &facts, findings, err);
    if (ok)
        *out = field;
    else
        foci_field_free(&field);
    return ok;
}

bool foci_field_take(foci_field *out, const char *file, const char *name, const foci_multipolygon *lonlat,
                     foci_error *err) {
    foci_field field = {.name = foci_copy_text(name, err)};
    if (!field.name || !(field.input.file = foci_copy_text(file, err)) ||
        !(field.input.layer = foci_copy_text("field", err)) || !(field.input.crs = foci_copy_text(WGS84, err)) ||
        !foci_multipolygon_copy(&field.lonlat, lonlat, err)) {
        foci_field_free(&field);
        return false;
    }
    field.input.rows = 1;
    measure(&field);
    *out = field;
    return true;
}

void foci_field_free(foci_field *field) {
    free(field->name);
    free(field->input.file);
    free(field->input.layer);
    free(field->input.crs);
    foci_multipolygon_free(&field->lonlat);
    foci_multipolygon_free(&field->shape);
    *field = (foci_field){0};
}

foci_field_options foci_field_options_make(void) {
    return (foci_field_options){0};
}

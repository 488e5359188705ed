#include "data/stops/point_table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/area_of_use.h"
#include "data/places/projection.h"
#include "data/stops/place_columns.h"

#define WGS84 "EPSG:4326"

/* ---- coordinates out of features ---- */

static const char *const shape_names[] = {
    [FOCI_SHAPE_NONE] = "nothing",
    [FOCI_SHAPE_POINT] = "a point",
    [FOCI_SHAPE_LINE] = "a line",
    [FOCI_SHAPE_AREA] = "an area",
    [FOCI_SHAPE_OTHER] = "a collection of shapes",
};

static bool places_from_features(foci_point_table *points, const char *file, foci_error *err) {
    for (size_t i = 0; i < points->table.row_count; i++) {
        const foci_shape *shape = &points->table.shapes[i];
        if (shape->kind != FOCI_SHAPE_POINT && shape->kind != FOCI_SHAPE_NONE)
            return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(&points->table, i),
                             "is %s; a file of points is needed", shape_names[shape->kind]);
        bool usable = shape->kind == FOCI_SHAPE_POINT && isfinite(shape->point.x) && isfinite(shape->point.y);
        points->own[i] = usable ? shape->point : (foci_point){NAN, NAN};
    }
    return true;
}

static bool has_features(const foci_table *table) {
    for (size_t i = 0; i < table->row_count; i++)
        if (table->shapes[i].kind != FOCI_SHAPE_NONE)
            return true;
    return false;
}

static bool take_places(foci_point_table *points, bool *degrees, const char *file, const char *xy, foci_error *err) {
    *degrees = false;
    if (has_features(&points->table))
        return places_from_features(points, file, err);
    return foci_place_columns_read(points->own, degrees, &points->table, file, xy, err);
}

/* ---- into WGS84 ---- */

static bool choose_system(foci_point_table *points, foci_crs_facts *facts, bool degrees, const char *file,
                          const char *crs, foci_error *err) {
    foci_error unknown = {0};
    const char *system = *points->table.crs ? points->table.crs : crs ? crs : degrees ? WGS84 : NULL;
    if (!system)
        return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                         "does not say its coordinate reference system; give it with {crs} CODE (EPSG:4326 for "
                         "longitude and latitude from a phone or receiver)");
    points->crs = foci_copy_text(system, err);
    if (!points->crs)
        return false;
    if (foci_crs_describe(facts, system, file, &unknown))
        return true;
    if (unknown.status != FOCI_BAD_SETTING)
        return foci_fail_again(err, &unknown);
    return foci_fail(
        err, FOCI_BAD_INPUT, file, 0,
        "its coordinate reference system is not understood; save the file in longitude and latitude (WGS84)");
}

/* (0, 0) is a receiver without a fix in any system: the data checks speak of it. */
static bool is_origin(foci_point own) {
    return own.x == 0 && own.y == 0;
}

/* Degrees outside a geographic system's area may be swapped or lack a sign: the data checks tell which. */
static bool check_area(foci_point_table *points, const foci_crs_facts *facts, const char *file, foci_error *err) {
    for (size_t i = 0; i < points->table.row_count; i++) {
        foci_point own = points->own[i], lonlat = points->lonlat[i];
        if (isnan(own.x) || is_origin(own))
            continue;
        if (facts->geographic) {
            if (isnan(lonlat.x))
                points->lonlat[i] = own;
        } else if (isnan(lonlat.x) || !foci_area_of_use_holds(&facts->area_of_use, lonlat)) {
            return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(&points->table, i),
                             "x %.10g, y %.10g lies outside the area of use of %s; check %s", own.x, own.y, facts->name,
                             *points->table.crs ? "the file's reference system" : "{crs} and the coordinate columns");
        }
    }
    return true;
}

static bool to_wgs84(foci_point_table *points, const foci_crs_facts *facts, const char *file, foci_error *err) {
    size_t count = points->table.row_count;
    memcpy(points->lonlat, points->own, count * sizeof *points->own);
    if (foci_crs_same(points->crs, WGS84))
        return true;
    foci_projection *projection = NULL;
    if (!foci_projection_open(&projection, points->crs, WGS84, err))
        return false;
    foci_projection_forward(projection, points->lonlat, count);
    foci_projection_close(projection);
    return check_area(points, facts, file, err);
}

bool foci_point_table_place(foci_point_table *points, const char *file, const char *crs, const char *xy,
                            foci_error *err) {
    foci_crs_facts facts = {0};
    bool degrees = false;
    points->own = foci_new_array(points->table.row_count, sizeof *points->own, err);
    points->lonlat = points->own ? foci_new_array(points->table.row_count, sizeof *points->lonlat, err) : NULL;
    return points->lonlat && take_places(points, &degrees, file, xy, err) &&
           choose_system(points, &facts, degrees, file, crs, err) && to_wgs84(points, &facts, file, err);
}

bool foci_point_table_read(foci_point_table *out, const char *file, const char *crs, const char *xy,
                           const foci_layer_choice *layer, foci_error *err) {
    static const foci_layer_choice only_one = {.kind = FOCI_SHAPE_POINT, .remedy = "save one of them alone"};
    foci_point_table points = {0};
    foci_crs_facts facts = {0};
    if (crs && !foci_crs_describe(&facts, crs, "{crs}", err))
        return false;
    if (!foci_table_read(&points.table, file, layer ? layer : &only_one, err))
        return false;
    const bool ok = foci_point_table_place(&points, file, crs, xy, err);
    if (ok)
        *out = points;
    else
        foci_point_table_free(&points);
    return ok;
}

void foci_point_table_free(foci_point_table *points) {
    foci_table_free(&points->table);
    free(points->own);
    free(points->lonlat);
    free(points->crs);
    *points = (foci_point_table){0};
}

#include "data/stops/point_table.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/area_of_use.h"
#include "data/places/projection.h"
#include "data/stops/columns.h"

#define WGS84 "EPSG:4326"

typedef struct {
    const char *x, *y;
    bool degrees;
} column_pair;

static const column_pair known_pairs[] = {
    {"lon", "lat", true}, {"longitude", "latitude", true}, {"x", "y", false}, {"easting", "northing", false}, {0},
};

/* ---- coordinates out of columns ---- */

typedef struct {
    size_t x, y;
    bool degrees; /* the names say longitude and latitude */
} place_columns;

static bool names_degrees(const char *name) {
    for (const column_pair *pair = known_pairs; pair->x; pair++)
        if (pair->degrees && (foci_text_same(name, pair->x) || foci_text_same(name, pair->y)))
            return true;
    return false;
}

static bool named_columns(place_columns *out, const foci_table *table, const char *file, const char *xy,
                          foci_error *err) {
    const char *comma = strchr(xy, ',');
    if (!comma || comma == xy || !comma[1] || strchr(comma + 1, ','))
        return foci_fail(err, FOCI_BAD_SETTING, "{xy}", 0,
                         "'%s' is not a pair of columns; write XCOLUMN,YCOLUMN, as in lon,lat", xy);
    char *x = foci_copy_text(xy, err);
    if (!x)
        return false;
    x[comma - xy] = '\0';
    const char *y = x + (comma - xy) + 1;
    bool ok = foci_column_find(&out->x, table, file, x, err) && foci_column_find(&out->y, table, file, y, err);
    if (ok)
        out->degrees = names_degrees(x) && names_degrees(y);
    free(x);
    return ok;
}

static bool known_columns(place_columns *out, const foci_table *table, const char *file, foci_error *err) {
    char list[300] = "";
    const column_pair *found = NULL;
    for (const column_pair *pair = known_pairs; pair->x; pair++) {
        if (foci_table_column(table, pair->x) < 0 || foci_table_column(table, pair->y) < 0)
            continue;
        if (found)
            return foci_fail(err, FOCI_BAD_INPUT, file, 0,
                             "has coordinate columns %s,%s and %s,%s; name the pair to use with {xy} XCOLUMN,YCOLUMN",
                             found->x, found->y, pair->x, pair->y);
        found = pair;
    }
    if (found) {
        *out = (place_columns){(size_t)foci_table_column(table, found->x), (size_t)foci_table_column(table, found->y),
                               found->degrees};
        return true;
    }
    foci_table_list_columns(table, list, sizeof list);
    return foci_fail(
        err, FOCI_BAD_INPUT, file, 0,
        "holds no points and no coordinate columns (lon,lat, x,y ...); name them with {xy} XCOLUMN,YCOLUMN; "
        "the columns are: %s",
        *list ? list : "none");
}

static bool places_from_columns(foci_point_table *points, bool *degrees, const char *file, const char *xy,
                                foci_error *err) {
    const foci_table *table = &points->table;
    place_columns columns = {0};
    char ignored[32];
    if (!(xy ? named_columns(&columns, table, file, xy, err) : known_columns(&columns, table, file, err)) ||
        !foci_column_holds_numbers(table, file, columns.x, err) ||
        !foci_column_holds_numbers(table, file, columns.y, err))
        return false;
    for (size_t i = 0; i < table->row_count; i++) {
        const foci_cell *row = table->cells + i * table->column_count;
        foci_point place = {foci_cell_number(&row[columns.x], ignored), foci_cell_number(&row[columns.y], ignored)};
        bool usable = isfinite(place.x) && isfinite(place.y);
        points->own[i] = usable ? place : (foci_point){NAN, NAN};
    }
    *degrees = columns.degrees;
    return true;
}

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
            return foci_fail(err, FOCI_BAD_INPUT, file, (long)i + 1, "is %s; a file of points is needed",
                             shape_names[shape->kind]);
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
    bool is_csv = strcmp(points->table.driver, "CSV") == 0;
    *degrees = false;
    if (has_features(&points->table) && !(xy && is_csv))
        return places_from_features(points, file, err);
    return places_from_columns(points, degrees, file, xy, err);
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
            return foci_fail(err, FOCI_BAD_INPUT, file, (long)i + 1,
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

bool foci_point_table_read(foci_point_table *out, const char *file, const char *crs, const char *xy,
                           const foci_layer_choice *layer, foci_error *err) {
    static const foci_layer_choice only_one = {.kind = FOCI_SHAPE_POINT, .remedy = "save one of them alone"};
    foci_point_table points = {0};
    foci_crs_facts facts = {0};
    bool ok = false, degrees = false;
    if (crs && !foci_crs_describe(&facts, crs, "{crs}", err))
        return false;
    if (!foci_table_read(&points.table, file, layer ? layer : &only_one, err))
        return false;
    points.own = foci_new_array(points.table.row_count, sizeof *points.own, err);
    if (!points.own)
        goto done;
    points.lonlat = foci_new_array(points.table.row_count, sizeof *points.lonlat, err);
    if (!points.lonlat || !take_places(&points, &degrees, file, xy, err) ||
        !choose_system(&points, &facts, degrees, file, crs, err) || !to_wgs84(&points, &facts, file, err))
        goto done;
    *out = points;
    points = (foci_point_table){0};
    ok = true;
done:
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

#include "data/files/vector_shape.h"

#include <ogr_api.h>
#include <stdlib.h>

#include "base/memory.h"

static bool read_ring(foci_ring *ring, OGRGeometryH from, foci_error *err) {
    int count = OGR_G_GetPointCount(from);
    if (count > 1 && OGR_G_GetX(from, 0) == OGR_G_GetX(from, count - 1) &&
        OGR_G_GetY(from, 0) == OGR_G_GetY(from, count - 1))
        count--;
    ring->points = foci_new_array((size_t)count, sizeof *ring->points, err);
    if (!ring->points)
        return false;
    ring->count = (size_t)count;
    for (int i = 0; i < count; i++)
        ring->points[i] = (foci_point){OGR_G_GetX(from, i), OGR_G_GetY(from, i)};
    return true;
}

static bool read_polygon(foci_polygon *polygon, OGRGeometryH from, foci_error *err) {
    int count = OGR_G_GetGeometryCount(from);
    polygon->rings = foci_new_array((size_t)count, sizeof *polygon->rings, err);
    if (!polygon->rings)
        return false;
    polygon->count = (size_t)count;
    for (int r = 0; r < count; r++)
        if (!read_ring(&polygon->rings[r], OGR_G_GetGeometryRef(from, r), err))
            return false;
    return true;
}

/* `from` is a line, a multiline, or a collection of lines. */
static bool add_lines(foci_polygon *lines, OGRGeometryH from, foci_error *err) {
    const int count = OGR_G_GetGeometryCount(from);
    for (int i = 0; i < count; i++)
        if (!add_lines(lines, OGR_G_GetGeometryRef(from, i), err))
            return false;
    if (count > 0 || OGR_G_GetPointCount(from) == 0)
        return true;
    size_t capacity = lines->count;
    if (!foci_grow_array((void **)&lines->rings, &capacity, lines->count + 1, sizeof *lines->rings, err))
        return false;
    foci_ring *line = &lines->rings[lines->count++];
    const size_t points = (size_t)OGR_G_GetPointCount(from);
    *line = (foci_ring){0, foci_new_array(points, sizeof *line->points, err)};
    if (!line->points)
        return false;
    for (; line->count < points; line->count++)
        line->points[line->count] =
            (foci_point){OGR_G_GetX(from, (int)line->count), OGR_G_GetY(from, (int)line->count)};
    return true;
}

/* `from` is a polygon or a multipolygon. */
static bool read_area(foci_multipolygon *area, OGRGeometryH from, foci_error *err) {
    bool single = wkbFlatten(OGR_G_GetGeometryType(from)) == wkbPolygon;
    size_t count = single ? 1 : (size_t)OGR_G_GetGeometryCount(from);
    area->polygons = foci_new_array(count, sizeof *area->polygons, err);
    if (!area->polygons)
        return false;
    area->count = count;
    for (size_t p = 0; p < count; p++)
        if (!read_polygon(&area->polygons[p], single ? from : OGR_G_GetGeometryRef(from, (int)p), err))
            return false;
    return true;
}

foci_shape_kind foci_vector_shape_kind(void *from) {
    foci_shape_kind kind = FOCI_SHAPE_NONE;
    switch (wkbFlatten(OGR_G_GetGeometryType(from))) {
    case wkbPoint:
        return FOCI_SHAPE_POINT;
    case wkbLineString:
    case wkbMultiLineString:
        return FOCI_SHAPE_LINE;
    case wkbPolygon:
    case wkbMultiPolygon:
        return FOCI_SHAPE_AREA;
    case wkbMultiPoint:
    case wkbGeometryCollection:
        for (int i = 0; i < OGR_G_GetGeometryCount(from); i++) {
            foci_shape_kind part = foci_vector_shape_kind(OGR_G_GetGeometryRef(from, i));
            if (i > 0 && (part != kind || part == FOCI_SHAPE_POINT))
                return FOCI_SHAPE_OTHER;
            kind = part;
        }
        return kind;
    default:
        return FOCI_SHAPE_OTHER;
    }
}

static OGRGeometryH first_point(OGRGeometryH from) {
    while (wkbFlatten(OGR_G_GetGeometryType(from)) != wkbPoint)
        from = OGR_G_GetGeometryRef(from, 0);
    return from;
}

bool foci_vector_shape_read(foci_shape *shape, void *feature, foci_error *err) {
    OGRGeometryH held = OGR_F_GetGeometryRef(feature);
    if (!held || OGR_G_IsEmpty(held))
        return true;
    bool ok = true;
    OGRGeometryH straight = OGR_G_GetLinearGeometry(held, 0, NULL); /* arcs become chords */
    if (!straight)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "its shape cannot be read");
    shape->kind = foci_vector_shape_kind(straight);
    if (shape->kind == FOCI_SHAPE_POINT) {
        OGRGeometryH point = first_point(straight);
        shape->point = (foci_point){OGR_G_GetX(point, 0), OGR_G_GetY(point, 0)};
    } else if (shape->kind == FOCI_SHAPE_AREA) {
        straight = OGR_G_ForceToMultiPolygon(straight); /* takes it; gathers the polygons of a collection */
        ok = read_area(&shape->area, straight, err);
    } else if (shape->kind == FOCI_SHAPE_LINE) {
        ok = add_lines(&shape->lines, straight, err);
    }
    OGR_G_DestroyGeometry(straight);
    return ok;
}

void foci_shape_free(foci_shape *shape) {
    for (size_t i = 0; i < shape->lines.count; i++)
        free(shape->lines.rings[i].points);
    free(shape->lines.rings);
    foci_multipolygon_free(&shape->area);
    *shape = (foci_shape){0};
}

static OGRGeometryH make_ring(const foci_ring *ring) {
    OGRGeometryH made = OGR_G_CreateGeometry(wkbLinearRing);
    for (size_t i = 0; i <= ring->count && ring->count > 0; i++)
        OGR_G_AddPoint_2D(made, ring->points[i % ring->count].x, ring->points[i % ring->count].y);
    return made;
}

static OGRGeometryH make_area(const foci_multipolygon *area) {
    OGRGeometryH made = OGR_G_CreateGeometry(wkbMultiPolygon);
    for (size_t p = 0; p < area->count; p++) {
        OGRGeometryH polygon = OGR_G_CreateGeometry(wkbPolygon);
        for (size_t r = 0; r < area->polygons[p].count; r++)
            OGR_G_AddGeometryDirectly(polygon, make_ring(&area->polygons[p].rings[r]));
        OGR_G_AddGeometryDirectly(made, polygon);
    }
    return made;
}

void *foci_vector_shape_make(const foci_point *point, const foci_multipolygon *area) {
    if (area)
        return make_area(area);
    if (!point)
        return NULL;
    OGRGeometryH made = OGR_G_CreateGeometry(wkbPoint);
    OGR_G_SetPoint_2D(made, 0, point->x, point->y);
    return made;
}

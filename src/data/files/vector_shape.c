#include "data/files/vector_shape.h"

#include <ogr_api.h>

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
    }
    OGR_G_DestroyGeometry(straight);
    return ok;
}

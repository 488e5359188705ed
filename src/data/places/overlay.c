#include "data/places/overlay.h"

#include <geos_c.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/crossings.h"

/* One call's handle to the library, and what it said. */
typedef struct {
    GEOSContextHandle_t handle;
    char text[256];
} engine;

static void keep_message(const char *message, void *data) {
    engine *geos = data;
    if (!geos->text[0])
        snprintf(geos->text, sizeof geos->text, "%s", message);
}

static bool engine_start(engine *geos, foci_error *err) {
    *geos = (engine){.handle = GEOS_init_r()};
    if (!geos->handle)
        return foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory for polygons");
    GEOSContext_setErrorMessageHandler_r(geos->handle, keep_message, geos);
    return true;
}

static void engine_stop(engine *geos) {
    GEOS_finish_r(geos->handle);
}

static bool engine_failed(const engine *geos, foci_error *err) {
    return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "the shape cannot be used: %s",
                     geos->text[0] ? geos->text : "the geometry library gave no reason");
}

/* ---- in ---- */

static bool all_finite(const foci_multipolygon *shape) {
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            for (size_t i = 0; i < shape->polygons[p].rings[r].count; i++) {
                foci_point place = shape->polygons[p].rings[r].points[i];
                if (!isfinite(place.x) || !isfinite(place.y))
                    return false;
            }
    return true;
}

static GEOSGeometry *ring_in(const engine *geos, const foci_ring *ring) {
    GEOSCoordSequence *places = GEOSCoordSeq_create_r(geos->handle, (unsigned)ring->count + 1, 2);
    for (size_t i = 0; places && i <= ring->count; i++) {
        foci_point place = ring->points[i % ring->count];
        if (!GEOSCoordSeq_setXY_r(geos->handle, places, (unsigned)i, place.x, place.y)) {
            GEOSCoordSeq_destroy_r(geos->handle, places);
            return NULL;
        }
    }
    return places ? GEOSGeom_createLinearRing_r(geos->handle, places) : NULL;
}

static void destroy_all(const engine *geos, GEOSGeometry **parts, size_t count) {
    for (size_t i = 0; i < count; i++)
        GEOSGeom_destroy_r(geos->handle, parts[i]);
}

/* Rings of fewer than three corners have no area: they are left out and counted. */
static bool polygon_in(GEOSGeometry **out, const engine *geos, const foci_polygon *polygon, size_t *left_out,
                       foci_error *err) {
    size_t count = 0;
    GEOSGeometry **rings = foci_new_array(polygon->count, sizeof(void *), err);
    if (!rings)
        return false;
    bool ok = false;
    for (size_t r = 0; r < polygon->count; r++) {
        if (polygon->rings[r].count < 3) {
            ++*left_out;
            if (r == 0)
                break;
            continue;
        }
        rings[count] = ring_in(geos, &polygon->rings[r]);
        if (!rings[count]) {
            engine_failed(geos, err);
            goto done;
        }
        count++;
    }
    ok = true;
    if (count > 0) {
        *out = GEOSGeom_createPolygon_r(geos->handle, rings[0], rings + 1, (unsigned)count - 1);
        count = 0; /* taken, even on failure */
        ok = *out || engine_failed(geos, err);
    }
done:
    destroy_all(geos, rings, count);
    free(rings);
    return ok;
}

/* `*out` is a multipolygon, owned by the caller. */
static bool shape_in(GEOSGeometry **out, const engine *geos, const foci_multipolygon *shape, size_t *left_out,
                     foci_error *err) {
    if (!all_finite(shape))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a corner of the shape has a coordinate that is not a number");
    GEOSGeometry **parts = foci_new_array(shape->count, sizeof(void *), err);
    if (!parts)
        return false;
    size_t count = 0;
    bool ok = false;
    for (size_t p = 0; p < shape->count; p++) {
        if (!polygon_in(&parts[count], geos, &shape->polygons[p], left_out, err))
            goto done;
        count += parts[count] != NULL;
    }
    *out = GEOSGeom_createCollection_r(geos->handle, GEOS_MULTIPOLYGON, parts, (unsigned)count);
    count = 0; /* taken */
    ok = *out || engine_failed(geos, err);
done:
    destroy_all(geos, parts, count);
    free(parts);
    return ok;
}

/* ---- out ---- */

static bool ring_out(foci_ring *ring, const engine *geos, const GEOSGeometry *from, bool counter_clockwise,
                     foci_error *err) {
    const GEOSCoordSequence *places = GEOSGeom_getCoordSeq_r(geos->handle, from);
    unsigned count = 0;
    char is_ccw = 0;
    if (!places || !GEOSCoordSeq_getSize_r(geos->handle, places, &count) || count < 4 ||
        !GEOSCoordSeq_isCCW_r(geos->handle, places, &is_ccw))
        return engine_failed(geos, err);
    ring->points = foci_new_array(count - 1, sizeof *ring->points, err);
    if (!ring->points)
        return false;
    ring->count = count - 1;
    for (unsigned i = 0; i < count - 1; i++) {
        unsigned from_index = (is_ccw != 0) == counter_clockwise ? i : count - 1 - i;
        foci_point *place = &ring->points[i];
        if (!GEOSCoordSeq_getXY_r(geos->handle, places, from_index, &place->x, &place->y))
            return engine_failed(geos, err);
    }
    return true;
}

static bool polygon_out(foci_polygon *polygon, const engine *geos, const GEOSGeometry *from, foci_error *err) {
    int holes = GEOSGetNumInteriorRings_r(geos->handle, from);
    if (holes < 0)
        return engine_failed(geos, err);
    polygon->rings = foci_new_array((size_t)holes + 1, sizeof *polygon->rings, err);
    if (!polygon->rings)
        return false;
    polygon->count = (size_t)holes + 1;
    for (int r = 0; r <= holes; r++) {
        const GEOSGeometry *ring =
            r == 0 ? GEOSGetExteriorRing_r(geos->handle, from) : GEOSGetInteriorRingN_r(geos->handle, from, r - 1);
        if (!ring)
            return engine_failed(geos, err);
        if (!ring_out(&polygon->rings[r], geos, ring, r == 0, err))
            return false;
    }
    return true;
}

/* Appends the polygons in `from`, however deep; points and lines are passed over. */
static bool polygons_out(foci_multipolygon *shape, size_t *capacity, const engine *geos, const GEOSGeometry *from,
                         foci_error *err) {
    int type = GEOSGeomTypeId_r(geos->handle, from);
    if (type == GEOS_POLYGON && !GEOSisEmpty_r(geos->handle, from)) {
        if (!foci_grow_array((void **)&shape->polygons, capacity, shape->count + 1, sizeof *shape->polygons, err))
            return false;
        shape->polygons[shape->count] = (foci_polygon){0};
        return polygon_out(&shape->polygons[shape->count++], geos, from, err);
    }
    if (type != GEOS_MULTIPOLYGON && type != GEOS_GEOMETRYCOLLECTION)
        return true;
    int count = GEOSGetNumGeometries_r(geos->handle, from);
    for (int i = 0; i < count; i++)
        if (!polygons_out(shape, capacity, geos, GEOSGetGeometryN_r(geos->handle, from, i), err))
            return false;
    return true;
}

static bool shape_out(foci_multipolygon *out, const engine *geos, const GEOSGeometry *from, foci_error *err) {
    foci_multipolygon shape = {0};
    size_t capacity = 0;
    if (!polygons_out(&shape, &capacity, geos, from, err)) {
        foci_multipolygon_free(&shape);
        return false;
    }
    *out = shape;
    return true;
}

/* ---- the work ---- */

/* Overlapping parts are joined and holes stay holes; the other method would cut out what two parts share. */
static GEOSGeometry *make_valid(const engine *geos, const GEOSGeometry *shape) {
    GEOSMakeValidParams *params = GEOSMakeValidParams_create_r(geos->handle);
    GEOSGeometry *valid = NULL;
    if (params && GEOSMakeValidParams_setMethod_r(geos->handle, params, GEOS_MAKE_VALID_STRUCTURE) &&
        GEOSMakeValidParams_setKeepCollapsed_r(geos->handle, params, 0))
        valid = GEOSMakeValidWithParams_r(geos->handle, shape, params);
    if (params)
        GEOSMakeValidParams_destroy_r(geos->handle, params);
    return valid;
}

static void say_why(char why[128], const engine *geos, const GEOSGeometry *shape, size_t left_out) {
    char *reason = GEOSisValidReason_r(geos->handle, shape);
    if (left_out > 0 && GEOSisValid_r(geos->handle, shape) == 1)
        snprintf(why, 128, "a ring has fewer than 3 corners");
    else
        snprintf(why, 128, "%s", reason ? reason : "not valid");
    GEOSFree_r(geos->handle, reason);
}

/* Repairing takes as long as there are crossings; a hand or a receiver that draws a boundary makes some. */
static bool may_be_repaired(const foci_multipolygon *shape, foci_error *err) {
    enum { MOST = 10000 };
    bool few = false;
    return foci_crossings_within(&few, shape, MOST, err) &&
           (few || foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                             "the boundary crosses itself at more places than can be repaired (%d); draw it again with "
                             "fewer corners",
                             MOST));
}

bool foci_overlay_repair(foci_multipolygon *out, bool *repaired, char *why, const foci_multipolygon *shape,
                         foci_error *err) {
    engine geos;
    if (!engine_start(&geos, err))
        return false;
    GEOSGeometry *raw = NULL, *valid = NULL;
    foci_multipolygon made = {0};
    size_t left_out = 0;
    bool ok = false;
    if (!shape_in(&raw, &geos, shape, &left_out, err))
        goto done;
    char state = GEOSisValid_r(geos.handle, raw);
    if (state != 1 && !may_be_repaired(shape, err))
        goto done;
    if (state != 1)
        valid = make_valid(&geos, raw);
    if (state != 1 && !valid) {
        engine_failed(&geos, err);
        goto done;
    }
    if (!shape_out(&made, &geos, valid ? valid : raw, err))
        goto done;
    if (made.count == 0) {
        foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "the shape has no area; draw it with at least three corners");
        goto done;
    }
    *repaired = state != 1 || left_out > 0;
    why[0] = '\0';
    if (*repaired)
        say_why(why, &geos, raw, left_out);
    *out = made;
    made = (foci_multipolygon){0};
    ok = true;
done:
    foci_multipolygon_free(&made);
    GEOSGeom_destroy_r(geos.handle, valid);
    GEOSGeom_destroy_r(geos.handle, raw);
    engine_stop(&geos);
    return ok;
}

bool foci_overlay_intersection(foci_multipolygon *out, const foci_multipolygon *a, const foci_multipolygon *b,
                               foci_error *err) {
    engine geos;
    if (!engine_start(&geos, err))
        return false;
    GEOSGeometry *first = NULL, *second = NULL, *both = NULL;
    size_t left_out = 0;
    bool ok = false;
    if (!shape_in(&first, &geos, a, &left_out, err) || !shape_in(&second, &geos, b, &left_out, err))
        goto done;
    both = GEOSIntersection_r(geos.handle, first, second);
    if (!both) {
        engine_failed(&geos, err);
        goto done;
    }
    ok = shape_out(out, &geos, both, err);
done:
    GEOSGeom_destroy_r(geos.handle, both);
    GEOSGeom_destroy_r(geos.handle, second);
    GEOSGeom_destroy_r(geos.handle, first);
    engine_stop(&geos);
    return ok;
}

bool foci_overlay_valid(const foci_multipolygon *shape) {
    foci_error ignored = {0};
    engine geos;
    if (!engine_start(&geos, &ignored))
        return false;
    GEOSGeometry *made = NULL;
    size_t left_out = 0;
    bool valid =
        shape_in(&made, &geos, shape, &left_out, &ignored) && left_out == 0 && GEOSisValid_r(geos.handle, made) == 1;
    GEOSGeom_destroy_r(geos.handle, made);
    engine_stop(&geos);
    return valid;
}

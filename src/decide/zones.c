#include "fieldfoci/zones.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/overlay.h"
#include "data/projection.h"
#include "decide/patches.h"

static const char *const zone_names[] = {
    [FOCI_ZONE_LEAVE] = "leave", [FOCI_ZONE_DIG] = "dig", [FOCI_ZONE_TREAT] = "treat"};
_Static_assert(sizeof zone_names / sizeof *zone_names == FOCI_ZONE_END, "every zone has a name");

const char *foci_zone_name(foci_zone_code code) {
    return (unsigned)code < FOCI_ZONE_END ? zone_names[code] : "unknown";
}

static bool is_worth_a_dig(const foci_surface *surface, const foci_hotspots_options *hot,
                           const foci_zones_options *options, size_t cell) {
    if (surface->chance)
        return surface->chance[cell] >= fmin(options->dig_chance, hot->treat_chance);
    return surface->estimate[cell] >= hot->threshold;
}

static void code_cells(signed char *code, const foci_hotspots *hotspots, const foci_surface *surface,
                       const foci_grid *grid, const foci_hotspots_options *hot, const foci_zones_options *options) {
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        if (!(grid->share[i] > 0))
            code[i] = -1;
        else if (hotspots->label[i] > 0)
            code[i] = FOCI_ZONE_TREAT;
        else
            code[i] = is_worth_a_dig(surface, hot, options, i) ? FOCI_ZONE_DIG : FOCI_ZONE_LEAVE;
    }
}

/* The connected parts of all zones. */
typedef struct {
    size_t count;
    foci_multipolygon outlines; /* polygon i: outline of part i */
    signed char *code;          /* per part */
    bool *on_edge;              /* per part: some cell lies partly outside the field */
} zone_parts;

static void parts_free(zone_parts *parts) {
    foci_multipolygon_free(&parts->outlines);
    free(parts->code);
    free(parts->on_edge);
    *parts = (zone_parts){0};
}

static bool find_parts(zone_parts *parts, const signed char *code, const foci_grid *grid, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    bool ok = false;
    int *label = foci_new_array(cells, sizeof *label, err);
    if (!label)
        goto done;
    if (!foci_patches_label(label, &parts->count, code, grid, err))
        goto done;
    parts->code = foci_new_array(parts->count, sizeof *parts->code, err);
    if (!parts->code)
        goto done;
    parts->on_edge = foci_new_array(parts->count, sizeof *parts->on_edge, err);
    if (!parts->on_edge)
        goto done;
    if (!foci_patches_outlines(&parts->outlines, label, parts->count, grid, err))
        goto done;
    for (size_t i = 0; i < cells; i++) {
        if (label[i] < 0)
            continue;
        parts->code[label[i]] = code[i];
        parts->on_edge[label[i]] = parts->on_edge[label[i]] || grid->share[i] < 1;
    }
    ok = true;
done:
    free(label);
    return ok;
}

/* The polygon goes over to `shape`, which has room for it. */
static void take_polygon(foci_multipolygon *shape, foci_polygon *polygon) {
    shape->polygons[shape->count++] = *polygon;
    *polygon = (foci_polygon){0};
}

/* Only parts with cells on the field's boundary need clipping. Takes their outlines out of `parts`. */
static bool clip_parts(foci_multipolygon *out, zone_parts *parts, foci_zone_code code, const foci_field *field,
                       foci_error *err) {
    foci_multipolygon edge = {0}, clipped = {0}, shape = {0};
    bool ok = false;
    edge.polygons = foci_new_array(parts->count, sizeof *edge.polygons, err);
    if (!edge.polygons)
        goto done;
    for (size_t i = 0; i < parts->count; i++)
        if (parts->code[i] == (signed char)code && parts->on_edge[i])
            take_polygon(&edge, &parts->outlines.polygons[i]);
    if (edge.count > 0 && !foci_overlay_intersection(&clipped, &edge, &field->shape, err))
        goto done;
    shape.polygons = foci_new_array(clipped.count + parts->count, sizeof *shape.polygons, err);
    if (!shape.polygons)
        goto done;
    for (size_t i = 0; i < clipped.count; i++)
        take_polygon(&shape, &clipped.polygons[i]);
    for (size_t i = 0; i < parts->count; i++)
        if (parts->code[i] == (signed char)code && !parts->on_edge[i])
            take_polygon(&shape, &parts->outlines.polygons[i]);

    *out = shape;
    shape = (foci_multipolygon){0};
    ok = true;
done:
    foci_multipolygon_free(&edge);
    foci_multipolygon_free(&clipped);
    foci_multipolygon_free(&shape);
    return ok;
}

static void average_cells(foci_zone *zone, const signed char *code, const foci_surface *surface,
                          const foci_grid *grid) {
    double cells = 0, severity = 0, chance = 0;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        if (code[i] != (signed char)zone->code)
            continue;
        cells += grid->share[i];
        severity += grid->share[i] * surface->estimate[i];
        chance += grid->share[i] * (surface->chance ? surface->chance[i] : NAN);
    }
    zone->severity = cells > 0 ? severity / cells : NAN;
    zone->chance = cells > 0 ? chance / cells : NAN;
}

static bool draw_zone(foci_zone *zone, zone_parts *parts, const foci_field *field, const foci_projection *projection,
                      foci_error *err) {
    for (size_t i = 0; i < parts->count; i++)
        zone->parts += parts->code[i] == (signed char)zone->code;
    if (zone->parts == 0)
        return true;
    if (!clip_parts(&zone->shape, parts, zone->code, field, err) ||
        !foci_projection_shape(&zone->lonlat, projection, true, &zone->shape, err))
        return false;
    zone->area_ha = foci_geodesic_area(&zone->lonlat) / 1e4;
    return true;
}

bool foci_zones_draw(foci_zones *out, const foci_hotspots *hotspots, const foci_surface *surface, const foci_grid *grid,
                     const foci_field *field, const foci_hotspots_options *hot, const foci_zones_options *options,
                     foci_error *err) {
    foci_zones zones = {0};
    zone_parts parts = {0};
    foci_projection *projection = NULL;
    bool ok = false;
    zones.code = foci_new_array(grid->columns * grid->rows, sizeof *zones.code, err);
    if (!zones.code)
        goto done;
    code_cells(zones.code, hotspots, surface, grid, hot, options);
    if (!find_parts(&parts, zones.code, grid, err))
        goto done;
    if (!foci_projection_open(&projection, "EPSG:4326", field->work_crs, err))
        goto done;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        zones.items[code].code = (foci_zone_code)code;
        average_cells(&zones.items[code], zones.code, surface, grid);
        if (!draw_zone(&zones.items[code], &parts, field, projection, err))
            goto done;
    }

    *out = zones;
    zones = (foci_zones){0};
    ok = true;
done:
    foci_projection_close(projection);
    parts_free(&parts);
    foci_zones_free(&zones);
    return ok;
}

void foci_zones_free(foci_zones *zones) {
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        foci_multipolygon_free(&zones->items[code].lonlat);
        foci_multipolygon_free(&zones->items[code].shape);
    }
    free(zones->code);
    *zones = (foci_zones){0};
}

#include "fieldfoci/zones.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/overlay.h"
#include "data/places/projection.h"
#include "decide/zones/lanes.h"
#include "decide/zones/patches.h"

static const char *const zone_names[] = {
    [FOCI_ZONE_LEAVE] = "leave", [FOCI_ZONE_DIG] = "dig", [FOCI_ZONE_TREAT] = "treat"};
_Static_assert(sizeof zone_names / sizeof *zone_names == FOCI_ZONE_END, "every zone has a name");

const char *foci_zone_name(foci_zone_code code) {
    return (unsigned)code < FOCI_ZONE_END ? zone_names[code] : "unknown";
}

/* What speaks for treating or digging at each cell: the chance, or the severity where no chances are known. */
typedef struct {
    const double *layer;
    double treat, dig;    /* the least that it takes */
    const bool *unspoken; /* cells that are not treated whatever the layer says; may be NULL */
} evidence;

static evidence evidence_of(const foci_surface *surface, const foci_hotspots_options *hot,
                            const foci_zones_options *options) {
    if (surface->chance)
        return (evidence){surface->chance, hot->treat_chance, fmin(options->dig_chance, hot->treat_chance),
                          hot->unspoken};
    return (evidence){surface->estimate, hot->threshold, hot->threshold, hot->unspoken};
}

/* Each cell's largest evidence in a hotspot within the margin, -infinity where there is none. */
static bool widen_hotspots(double *widened, const evidence *found, const foci_hotspots *hotspots, const foci_grid *grid,
                           double margin, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    double *hot = foci_new_array(cells, sizeof *hot, err);
    if (!hot)
        return false;
    for (size_t i = 0; i < cells; i++)
        hot[i] = hotspots->label[i] > 0 ? found->layer[i] : -INFINITY;
    bool ok = foci_patches_widen(widened, hot, margin, grid, err);
    free(hot);
    return ok;
}

/* Within the margin of a hotspot, but no stop speaks for it. */
static bool is_held_back(const evidence *found, const double *widened, size_t cell) {
    return found->unspoken && found->unspoken[cell] && widened[cell] > -INFINITY;
}

static void code_cells(signed char *code, const double *widened, const evidence *found, const foci_grid *grid) {
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        const bool held_back = is_held_back(found, widened, i);
        if (!(grid->share[i] > 0))
            code[i] = -1;
        else if (widened[i] > -INFINITY && !held_back)
            code[i] = FOCI_ZONE_TREAT;
        else
            code[i] = held_back || found->layer[i] >= found->dig ? FOCI_ZONE_DIG : FOCI_ZONE_LEAVE;
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

/* The lanes reach over the field's boundary: all of their parts are clipped. */
static bool find_lane_parts(zone_parts *parts, const foci_lanes *lanes, foci_error *err) {
    if (!foci_lanes_outlines(&parts->outlines, &parts->code, lanes, err))
        return false;
    parts->count = parts->outlines.count;
    parts->on_edge = foci_new_array(parts->count, sizeof *parts->on_edge, err);
    for (size_t i = 0; parts->on_edge && i < parts->count; i++)
        parts->on_edge[i] = true;
    return parts->on_edge != NULL;
}

#define LEAST_PART 1e-4 /* square metres: less is left by rounding along an edge of the field */

static double polygon_area(foci_polygon *polygon) {
    return foci_multipolygon_area(&(foci_multipolygon){1, polygon});
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
        if (polygon_area(&clipped.polygons[i]) > LEAST_PART)
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

static void average_steps(foci_zone *zone, const foci_lanes *lanes) {
    double area = 0, severity = 0, chance = 0;
    for (size_t i = 0; i < lanes->lattice.columns * lanes->lattice.rows; i++) {
        if (lanes->code[i] != (signed char)zone->code)
            continue;
        area += lanes->steps[i].area;
        severity += lanes->steps[i].severity;
        chance += lanes->steps[i].chance;
    }
    zone->severity = area > 0 ? severity / area : NAN;
    zone->chance = area > 0 ? chance / area : NAN;
}

static bool clip_zones(foci_zones *zones, zone_parts *parts, const foci_field *field, bool in_lanes, foci_error *err) {
    foci_multipolygon *shapes[FOCI_ZONE_END];
    for (size_t i = 0; i < parts->count; i++)
        zones->items[parts->code[i]].parts++;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        foci_zone *zone = &zones->items[code];
        shapes[code] = &zone->shape;
        if (zone->parts > 0 && !clip_parts(&zone->shape, parts, zone->code, field, err))
            return false;
    }
    return !in_lanes || foci_lanes_join_slivers(shapes, err);
}

static bool measure_zones(foci_zones *zones, const foci_field *field, foci_error *err) {
    foci_projection *projection = NULL;
    bool ok = false;
    if (!foci_projection_open(&projection, "EPSG:4326", field->work_crs, err))
        goto done;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        foci_zone *zone = &zones->items[code];
        if (zone->shape.count == 0)
            continue;
        if (!foci_projection_shape(&zone->lonlat, projection, true, &zone->shape, err))
            goto done;
        zone->area_ha = foci_geodesic_area(&zone->lonlat) / 1e4;
    }
    ok = true;
done:
    foci_projection_close(projection);
    return ok;
}

static bool draw_cells(foci_zones *zones, const foci_surface *surface, const foci_grid *grid, const foci_field *field,
                       foci_error *err) {
    zone_parts parts = {0};
    bool ok = find_parts(&parts, zones->code, grid, err) && clip_zones(zones, &parts, field, false, err) &&
              measure_zones(zones, field, err);
    for (int code = 0; ok && code < FOCI_ZONE_END; code++)
        average_cells(&zones->items[code], zones->code, surface, grid);
    parts_free(&parts);
    return ok;
}

/* What a boundary cuts in two is two parts, and what it cuts off is none. */
static void take_lanes(foci_zones *zones, const foci_lanes *lanes, const foci_grid *grid, const foci_field *field) {
    const double plane = foci_multipolygon_area(&field->shape);
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        average_steps(&zones->items[code], lanes);
        zones->items[code].parts = zones->items[code].shape.count;
    }
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (grid->share[i] > 0)
            zones->code[i] = (signed char)foci_lanes_code_at(lanes, foci_grid_centre(grid, i));
    zones->lanes = foci_lanes_report(lanes, plane > 0 ? 1e4 * field->area_ha / plane : 1);
}

/* The cells' codes and what is widened of the hotspots go into the lanes. */
static bool draw_lanes(foci_zones *zones, const double *widened, const evidence *found, const foci_surface *surface,
                       const foci_grid *grid, const foci_field *field, const foci_zones_options *options,
                       foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    foci_lanes lanes = {0};
    zone_parts parts = {0};
    bool ok = false;
    double *treat = NULL, *dig = NULL;
    treat = foci_new_array(cells, sizeof *treat, err);
    if (!treat)
        goto done;
    dig = foci_new_array(cells, sizeof *dig, err);
    if (!dig)
        goto done;
    /* what a patch that was not kept counts at most, and ground that no stop speaks for */
    const double at_most = nextafter(found->treat, -INFINITY);
    for (size_t i = 0; i < cells; i++) {
        const bool held_back = is_held_back(found, widened, i);
        treat[i] = fmax(held_back ? -INFINITY : widened[i], fmin(found->layer[i], at_most)) - found->treat;
        dig[i] = (held_back ? fmax(found->layer[i], found->dig) : found->layer[i]) - found->dig;
    }
    const foci_lane_layers layers = {treat, dig, zones->code, surface};
    if (!foci_lanes_lay(&lanes, options, grid, field, &layers, err))
        goto done;
    if (!foci_lanes_decide(&lanes, err))
        goto done;
    if (!find_lane_parts(&parts, &lanes, err))
        goto done;
    if (!clip_zones(zones, &parts, field, true, err) || !measure_zones(zones, field, err))
        goto done;
    take_lanes(zones, &lanes, grid, field);
    ok = true;
done:
    free(treat);
    free(dig);
    parts_free(&parts);
    foci_lanes_free(&lanes);
    return ok;
}

static bool check_options(const foci_zones_options *options, const foci_surface *surface, foci_error *err) {
    const struct {
        const char *setting;
        double meters;
    } lengths[] = {{"{margin}", options->margin}, {"{swath}", options->swath}, {"{least-run}", options->least_run}};
    if (surface->chance && !(options->dig_chance >= 0 && options->dig_chance <= 1))
        return foci_fail(err, FOCI_BAD_SETTING, "{dig-chance}", 0, "%g is no chance; give a number from 0 to 1",
                         options->dig_chance);
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
        if (!(lengths[i].meters >= 0) || isinf(lengths[i].meters))
            return foci_fail(err, FOCI_BAD_SETTING, lengths[i].setting, 0, "%g is no length; give meters from 0 up",
                             lengths[i].meters);
    return true;
}

bool foci_zones_draw(foci_zones *out, const foci_hotspots *hotspots, const foci_surface *surface, const foci_grid *grid,
                     const foci_field *field, const foci_hotspots_options *hot, const foci_zones_options *options,
                     foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    const evidence found = evidence_of(surface, hot, options);
    foci_zones zones = {0};
    bool ok = false;
    if (!check_options(options, surface, err))
        return false;
    double *widened = foci_new_array(cells, sizeof *widened, err);
    if (!widened)
        goto done;
    zones.code = foci_new_array(cells, sizeof *zones.code, err);
    if (!zones.code)
        goto done;
    for (int code = 0; code < FOCI_ZONE_END; code++)
        zones.items[code].code = (foci_zone_code)code;
    if (!widen_hotspots(widened, &found, hotspots, grid, options->margin, err))
        goto done;
    code_cells(zones.code, widened, &found, grid);
    if (!(options->swath > 0 ? draw_lanes(&zones, widened, &found, surface, grid, field, options, err)
                             : draw_cells(&zones, surface, grid, field, err)))
        goto done;

    *out = zones;
    zones = (foci_zones){0};
    ok = true;
done:
    free(widened);
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

foci_zones_options foci_zones_options_make(void) {
    return (foci_zones_options){.dig_chance = 0.2, .row_heading = NAN};
}

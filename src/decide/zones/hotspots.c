#include "fieldfoci/hotspots.h"

#include <math.h>
#include <stdlib.h>

#include "base/frame.h"
#include "base/memory.h"
#include "data/places/projection.h"
#include "decide/zones/patch_shape.h"
#include "decide/zones/patches.h"

/* What is summed up over a patch; a cell counts by its share of the field. */
typedef struct {
    double cells, severity, chance;
    double peak;
    size_t stops, over;
    bool on_edge; /* some cell lies partly outside the field */
} patch_sums;

static bool is_hot(const foci_surface *surface, const foci_hotspots_options *options, size_t cell) {
    if (options->unspoken && options->unspoken[cell])
        return false;
    if (surface->chance)
        return surface->chance[cell] >= options->treat_chance;
    return surface->estimate[cell] >= options->threshold;
}

static void add_cell(patch_sums *patch, const foci_surface *surface, const foci_grid *grid, size_t cell) {
    double share = grid->share[cell], severity = surface->estimate[cell];
    if (patch->cells <= 0 || severity > patch->peak)
        patch->peak = severity;
    patch->cells += share;
    patch->severity += share * severity;
    patch->chance += share * (surface->chance ? surface->chance[cell] : NAN);
    patch->on_edge = patch->on_edge || share < 1;
}

/* Labels the hot cells and sums up their patches; `*sums` is the caller's. */
static bool find_patches(int *label, patch_sums **sums, size_t *count, const foci_surface *surface,
                         const foci_grid *grid, const foci_hotspots_options *options, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    signed char *class_of_cell = foci_new_array(cells, sizeof *class_of_cell, err);
    if (!class_of_cell)
        return false;
    for (size_t i = 0; i < cells; i++)
        class_of_cell[i] = grid->share[i] > 0 && is_hot(surface, options, i) ? 0 : -1;
    bool ok = foci_patches_label(label, count, class_of_cell, grid, err) &&
              (*sums = foci_new_array(*count, sizeof **sums, err)) != NULL;
    free(class_of_cell);
    if (!ok)
        return false;
    for (size_t i = 0; i < cells; i++)
        if (label[i] >= 0)
            add_cell(&(*sums)[label[i]], surface, grid, i);
    return true;
}

/* Leaves out patches below the least area and numbers the others anew. */
static bool drop_small(int *label, patch_sums *sums, size_t *count, const foci_grid *grid, const foci_field *field,
                       double least_area_ha, foci_error *err) {
    const double cell_area = grid->cell * grid->cell;
    const double least = least_area_ha > 0 ? 1e4 * least_area_ha : cell_area;
    const double scale = foci_patch_scale(field);
    int *number = foci_new_array(*count, sizeof *number, err);
    if (!number)
        return false;
    size_t kept = 0;
    for (size_t i = 0; i < *count; i++) {
        number[i] = -1;
        if (sums[i].cells * cell_area * scale < least * (1 - 1e-9))
            continue;
        number[i] = (int)kept;
        sums[kept++] = sums[i];
    }
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (label[i] >= 0)
            label[i] = number[label[i]];
    *count = kept;
    free(number);
    return true;
}

static void count_stops(patch_sums *sums, const int *label, const foci_grid *grid, const foci_readings *readings,
                        double threshold) {
    for (size_t i = 0; i < readings->count; i++) {
        size_t cell = foci_grid_find(grid, readings->places[i]);
        if (cell == (size_t)-1 || label[cell] < 0)
            continue;
        sums[label[cell]].stops++;
        sums[label[cell]].over += readings->values[i] >= threshold;
    }
}

/* The middle of the patch's strongest cell, the first in reading order; of those whose middle lies in the shape, unless
 * the boundary cuts all of them so much that there is none. */
static foci_point strongest_place(const foci_multipolygon *shape, const int *label, int wanted,
                                  const foci_surface *surface, const foci_grid *grid) {
    foci_point place = {NAN, NAN};
    double peak = NAN;
    bool any_inside = false;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        if (label[i] != wanted)
            continue;
        foci_point centre = foci_grid_centre(grid, i);
        bool inside = grid->share[i] >= 1 || foci_multipolygon_contains(shape, centre);
        if (isnan(peak) || inside > any_inside || (inside == any_inside && surface->estimate[i] > peak)) {
            place = centre;
            peak = surface->estimate[i];
            any_inside = inside;
        }
    }
    return place;
}

/* Between the outermost corners to either side of a direction. */
static double extent_towards(const foci_multipolygon *shape, double east, double north) {
    double least = INFINITY, most = -INFINITY;
    for (size_t p = 0; p < shape->count; p++) {
        const foci_ring *outer = &shape->polygons[p].rings[0];
        for (size_t i = 0; i < outer->count; i++) {
            double reach = outer->points[i].x * east + outer->points[i].y * north;
            least = fmin(least, reach);
            most = fmax(most, reach);
        }
    }
    return most > least ? most - least : 0;
}

static bool make_hotspots(foci_hotspots *found, const patch_sums *sums, size_t count, const foci_surface *surface,
                          const foci_grid *grid, const foci_field *field, double row_heading, foci_error *err) {
    const foci_frame rows = foci_frame_make(NULL, 0, row_heading);
    foci_projection *projection = NULL;
    foci_multipolygon outlines = {0};
    bool ok = false;
    found->items = foci_new_array(count, sizeof *found->items, err);
    if (!found->items)
        goto done;
    if (!foci_patches_outlines(&outlines, found->label, count, grid, err))
        goto done;
    if (!foci_projection_open(&projection, "EPSG:4326", field->work_crs, err))
        goto done;
    for (size_t i = 0; i < count; i++) {
        foci_hotspot *spot = &found->items[found->count++];
        spot->id = (int)i;
        spot->peak = sums[i].peak;
        spot->mean = sums[i].severity / sums[i].cells;
        spot->chance = sums[i].chance / sums[i].cells;
        spot->stops = sums[i].stops;
        spot->over = sums[i].over;
        spot->supported = sums[i].over > 0;
        if (!foci_patch_clip(&spot->shape, &outlines.polygons[i], sums[i].on_edge, field, err))
            goto done;
        if (!foci_projection_shape(&spot->lonlat, projection, true, &spot->shape, err))
            goto done;
        spot->area_ha = foci_geodesic_area(&spot->lonlat) / 1e4;
        spot->along = extent_towards(&spot->shape, rows.east, rows.north);
        spot->across = extent_towards(&spot->shape, rows.north, -rows.east);
        spot->centre = foci_multipolygon_centroid(&spot->shape);
        if (!foci_multipolygon_contains(&spot->shape, spot->centre))
            spot->centre = strongest_place(&spot->shape, found->label, (int)i, surface, grid);
        foci_projection_inverse(projection, &spot->centre, 1);
    }
    ok = true;
done:
    foci_projection_close(projection);
    foci_multipolygon_free(&outlines);
    return ok;
}

/* Largest expected infected area first; ties in reading order, which the ids hold until they are given. */
static int compare_hotspots(const void *left, const void *right) {
    const foci_hotspot *a = left, *b = right;
    double infected_a = a->area_ha * a->mean, infected_b = b->area_ha * b->mean;
    if (infected_a != infected_b)
        return infected_a > infected_b ? -1 : 1;
    return a->id < b->id ? -1 : a->id > b->id;
}

static bool give_ids(foci_hotspots *found, size_t cells, foci_error *err) {
    int *id_of_patch = foci_new_array(found->count, sizeof *id_of_patch, err);
    if (!id_of_patch)
        return false;
    qsort(found->items, found->count, sizeof *found->items, compare_hotspots);
    for (size_t i = 0; i < found->count; i++) {
        id_of_patch[found->items[i].id] = (int)i + 1;
        found->items[i].id = (int)i + 1;
    }
    for (size_t i = 0; i < cells; i++)
        found->label[i] = found->label[i] < 0 ? 0 : id_of_patch[found->label[i]];
    free(id_of_patch);
    return true;
}

static bool check_options(const foci_hotspots_options *options, const foci_surface *surface, foci_error *err) {
    if (surface->chance && !(options->treat_chance >= 0 && options->treat_chance <= 1))
        return foci_fail(err, FOCI_BAD_SETTING, "{treat-chance}", 0, "%g is no chance; give a number from 0 to 1",
                         options->treat_chance);
    return (options->least_area_ha >= 0 && isfinite(options->least_area_ha)) ||
           foci_fail(err, FOCI_BAD_SETTING, "{least-area}", 0, "%g is no area; give hectares from 0 up",
                     options->least_area_ha);
}

bool foci_hotspots_find(foci_hotspots *out, const foci_surface *surface, const foci_grid *grid, const foci_field *field,
                        const foci_readings *readings, const foci_hotspots_options *options, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    foci_hotspots found = {0};
    patch_sums *sums = NULL;
    size_t count = 0;
    bool ok = false;
    if (!check_options(options, surface, err))
        return false;
    found.label = foci_new_array(cells, sizeof *found.label, err);
    if (!found.label)
        goto done;
    if (!find_patches(found.label, &sums, &count, surface, grid, options, err))
        goto done;
    if (!drop_small(found.label, sums, &count, grid, field, options->least_area_ha, err))
        goto done;
    count_stops(sums, found.label, grid, readings, options->threshold);
    if (!make_hotspots(&found, sums, count, surface, grid, field, options->row_heading, err))
        goto done;
    if (!give_ids(&found, cells, err))
        goto done;

    *out = found;
    found = (foci_hotspots){0};
    ok = true;
done:
    free(sums);
    foci_hotspots_free(&found);
    return ok;
}

void foci_hotspots_free(foci_hotspots *hotspots) {
    for (size_t i = 0; i < hotspots->count; i++) {
        foci_multipolygon_free(&hotspots->items[i].lonlat);
        foci_multipolygon_free(&hotspots->items[i].shape);
    }
    free(hotspots->items);
    free(hotspots->label);
    *hotspots = (foci_hotspots){0};
}

foci_hotspots_options foci_hotspots_options_make(void) {
    return (foci_hotspots_options){.treat_chance = 0.5, .threshold = NAN, .row_heading = NAN};
}

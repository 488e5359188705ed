#include "fieldfoci/seasons.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "decide/zones/patch_shape.h"
#include "decide/zones/patches.h"

/* What is summed up over a place; a cell counts by its share of the field. */
typedef struct {
    double cells;
    double class_chance[FOCI_CLASS_UNSURE], hot[FOCI_SEASONS_MOST];
    signed char code;
    bool on_edge; /* some cell lies partly outside the field */
} place_sums;

/* What is worked on: the classes of the cells and their patches. */
typedef struct {
    signed char *code; /* -1 outside the field */
    int *label;
    size_t count;
    place_sums *sums;
} patchwork;

static void patchwork_free(patchwork *work) {
    free(work->code);
    free(work->label);
    free(work->sums);
    *work = (patchwork){0};
}

static void add_cell(place_sums *place, const foci_persistence *persistence, double share, size_t cell) {
    place->cells += share;
    for (int code = 0; code < FOCI_CLASS_UNSURE; code++)
        if (persistence->class_chance[code])
            place->class_chance[code] += share * persistence->class_chance[code][cell];
    for (size_t s = 0; s < persistence->seasons; s++)
        if (persistence->chance[s])
            place->hot[s] += share * persistence->chance[s][cell];
    place->on_edge = place->on_edge || share < 1;
}

/* Labels what is joined by sides and of one class, and sums it up. */
static bool find_patches(patchwork *work, const foci_persistence *persistence, const foci_grid *grid, foci_error *err) {
    free(work->sums);
    work->sums = NULL;
    if (!foci_patches_label(work->label, &work->count, work->code, grid, err))
        return false;
    work->sums = foci_new_array(work->count, sizeof *work->sums, err);
    if (!work->sums)
        return false;
    for (size_t i = 0; i < grid->columns * grid->rows; i++) {
        if (work->label[i] < 0)
            continue;
        work->sums[work->label[i]].code = work->code[i];
        add_cell(&work->sums[work->label[i]], persistence, grid->share[i], i);
    }
    return true;
}

static bool start(patchwork *work, const foci_persistence *persistence, const foci_grid *grid, foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    work->code = foci_new_array(cells, sizeof *work->code, err);
    if (!work->code)
        return false;
    work->label = foci_new_array(cells, sizeof *work->label, err);
    if (!work->label)
        return false;
    for (size_t i = 0; i < cells; i++)
        work->code[i] = grid->share[i] > 0 ? (signed char)persistence->class_code[i] : -1;
    return find_patches(work, persistence, grid, err);
}

static bool is_speck(const place_sums *place, double cell_ha, double least_ha) {
    return place->code != FOCI_CLASS_NEVER && place->code != FOCI_CLASS_UNSURE &&
           place->cells * cell_ha < least_ha * (1 - 1e-9);
}

/* Specks join what is unsure round them, so all is labelled anew. */
static bool dissolve_specks(patchwork *work, const foci_persistence *persistence, const foci_grid *grid,
                            const foci_field *field, double least_ha, foci_error *err) {
    const double cell_ha = grid->cell * grid->cell / 1e4 * foci_patch_scale(field);
    bool any = false;
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (work->label[i] >= 0 && is_speck(&work->sums[work->label[i]], cell_ha, least_ha)) {
            work->code[i] = FOCI_CLASS_UNSURE;
            any = true;
        }
    return !any || find_patches(work, persistence, grid, err);
}

static int likeliest_class(const place_sums *sums) {
    int best = 0;
    for (int code = 1; code < FOCI_CLASS_UNSURE; code++)
        if (sums->class_chance[code] > sums->class_chance[best])
            best = code;
    return best;
}

static void describe(foci_class_place *place, const place_sums *sums, size_t seasons) {
    const int code = sums->code == FOCI_CLASS_UNSURE ? likeliest_class(sums) : sums->code;
    place->code = (foci_class)sums->code;
    place->chance = sums->class_chance[code] / sums->cells;
    for (size_t s = 0; s < seasons; s++)
        place->hot[s] = sums->hot[s] / sums->cells >= 0.5;
}

/* A place that the boundary leaves nothing of is none. */
static bool make_place(foci_class_places *places, const patchwork *work, size_t which, const foci_polygon *outline,
                       size_t seasons, const foci_field *field, const foci_projection *projection, foci_error *err) {
    const place_sums *sums = &work->sums[which];
    foci_class_place *place = &places->items[places->count];
    if (!foci_patch_clip(&place->shape, outline, sums->on_edge, field, err))
        return false;
    if (place->shape.count == 0) {
        foci_multipolygon_free(&place->shape);
        return true;
    }
    places->count++;
    describe(place, sums, seasons);
    if (!foci_projection_shape(&place->lonlat, projection, true, &place->shape, err))
        return false;
    place->area_ha = foci_geodesic_area(&place->lonlat) / 1e4;
    place->centre = foci_multipolygon_centroid(&place->shape);
    if (!foci_multipolygon_contains(&place->shape, place->centre) &&
        !foci_patch_inside(&place->centre, &place->shape, err))
        return false;
    foci_projection_inverse(projection, &place->centre, 1);
    return true;
}

static bool make_places(foci_class_places *places, const patchwork *work, const foci_persistence *persistence,
                        const foci_grid *grid, const foci_field *field, foci_error *err) {
    foci_projection *projection = NULL;
    foci_multipolygon outlines = {0};
    bool ok = false;
    places->items = foci_new_array(work->count, sizeof *places->items, err);
    if (!places->items)
        goto done;
    if (!foci_patches_outlines(&outlines, work->label, work->count, grid, err))
        goto done;
    if (!foci_projection_open(&projection, "EPSG:4326", field->work_crs, err))
        goto done;
    for (size_t i = 0; i < work->count; i++)
        if (!make_place(places, work, i, &outlines.polygons[i], persistence->seasons, field, projection, err))
            goto done;
    ok = true;
done:
    foci_projection_close(projection);
    foci_multipolygon_free(&outlines);
    return ok;
}

static int compare_areas(const foci_class_place *a, const foci_class_place *b) {
    if (a->area_ha != b->area_ha)
        return a->area_ha > b->area_ha ? -1 : 1;
    return a->id < b->id ? -1 : a->id > b->id;
}

/* Never and unsure last, all others by area alone. */
static int compare_for_ids(const void *left, const void *right) {
    const foci_class_place *a = left, *b = right;
    const bool last_a = a->code == FOCI_CLASS_NEVER || a->code == FOCI_CLASS_UNSURE;
    const bool last_b = b->code == FOCI_CLASS_NEVER || b->code == FOCI_CLASS_UNSURE;
    return last_a != last_b ? last_a - last_b : compare_areas(a, b);
}

/* Always first, then often, new, gone, never, unsure; within a class as they stand. */
static int compare_for_list(const void *left, const void *right) {
    static const int turn[FOCI_CLASS_END] = {[FOCI_CLASS_OFTEN] = 1,
                                             [FOCI_CLASS_NEW] = 2,
                                             [FOCI_CLASS_GONE] = 3,
                                             [FOCI_CLASS_NEVER] = 4,
                                             [FOCI_CLASS_UNSURE] = 5};
    const foci_class_place *a = left, *b = right;
    return a->code != b->code ? turn[a->code] - turn[b->code] : compare_areas(a, b);
}

/* Ties of area stay in reading order, which the ids hold until they are given. */
static void order(foci_class_places *places) {
    for (size_t i = 0; i < places->count; i++)
        places->items[i].id = (int)i;
    qsort(places->items, places->count, sizeof *places->items, compare_for_ids);
    for (size_t i = 0; i < places->count; i++)
        places->items[i].id = (int)i + 1;
    qsort(places->items, places->count, sizeof *places->items, compare_for_list);
    for (size_t i = 0; i < places->count; i++) {
        foci_class_place *place = &places->items[i];
        if (place->code == FOCI_CLASS_UNSURE)
            places->unsure_ha += place->area_ha;
        if (place->code == FOCI_CLASS_NEVER || place->code == FOCI_CLASS_UNSURE)
            place->id = 0;
    }
}

bool foci_class_places_make(foci_class_places *out, foci_persistence *persistence, const foci_grid *grid,
                            const foci_field *field, double least_ha, foci_error *err) {
    foci_class_places places = {0};
    patchwork work = {0};
    bool ok = false;
    if (!persistence->class_code) { /* fewer than two seasons can be compared */
        *out = places;
        return true;
    }
    if (!start(&work, persistence, grid, err))
        goto done;
    if (!dissolve_specks(&work, persistence, grid, field, least_ha, err))
        goto done;
    if (!make_places(&places, &work, persistence, grid, field, err))
        goto done;
    order(&places);
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (work.code[i] >= 0)
            persistence->class_code[i] = (unsigned char)work.code[i];

    *out = places;
    places = (foci_class_places){0};
    ok = true;
done:
    patchwork_free(&work);
    foci_class_places_free(&places);
    return ok;
}

void foci_class_places_free(foci_class_places *places) {
    for (size_t i = 0; i < places->count; i++) {
        foci_multipolygon_free(&places->items[i].lonlat);
        foci_multipolygon_free(&places->items[i].shape);
    }
    free(places->items);
    *places = (foci_class_places){0};
}

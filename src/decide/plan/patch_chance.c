#include "decide/plan/patch_chance.h"

#include <math.h>
#include <stdlib.h>

#include "base/edges.h"
#include "base/memory.h"
#include "base/random.h"

enum { PATCHES = 2000, TRIES_EACH = 1000, STREAM = 1, HALVINGS = 20 };

static bool draw_middle(foci_point *out, const foci_edges *edges, foci_box box, foci_random *draws) {
    for (int i = 0; i < TRIES_EACH; i++) {
        *out = (foci_point){box.west + (box.east - box.west) * foci_random_share(draws),
                            box.south + (box.north - box.south) * foci_random_share(draws)};
        if (foci_edges_contain(edges, *out))
            return true;
    }
    return false;
}

/* PATCHES places; owned by the caller. */
static foci_point *draw_middles(const foci_multipolygon *field, uint64_t seed, foci_error *err) {
    foci_edges edges = {0};
    foci_random draws = foci_random_stream(seed, STREAM);
    const foci_box box = foci_multipolygon_box(field);
    foci_point *middles = foci_new_array(PATCHES, sizeof *middles, err);
    if (!middles || !foci_edges_make(&edges, field, err)) {
        free(middles);
        return NULL;
    }
    for (size_t i = 0; i < PATCHES; i++)
        if (!draw_middle(&middles[i], &edges, box, &draws))
            middles[i] = foci_multipolygon_centroid(field);
    foci_edges_free(&edges);
    return middles;
}

static bool is_within(foci_point stop, foci_point middle, double squared) {
    const double east = stop.x - middle.x, north = stop.y - middle.y;
    return east * east + north * north <= squared;
}

static foci_patch_chance chance_of(const foci_patch_stops *stops, const foci_point *middles, double patch) {
    const double squared = patch / M_PI;
    foci_patch_chance chance = {0};
    for (size_t i = 0; i < PATCHES; i++) {
        double inside = 0;
        for (size_t k = 0; k < stops->layout->count; k++)
            inside += is_within(stops->layout->items[k].place, middles[i], squared);
        for (size_t k = 0; k < stops->there_count; k++)
            inside += is_within(stops->there[k], middles[i], squared);
        chance.one += inside > 0;
        chance.shown += 1 - pow(1 - stops->shows, inside);
    }
    return (foci_patch_chance){chance.one / PATCHES, chance.shown / PATCHES};
}

bool foci_patch_chance_find(foci_patch_chance *out, const foci_patch_stops *stops, const foci_multipolygon *field,
                            double patch, uint64_t seed, foci_error *err) {
    foci_point *middles = draw_middles(field, seed, err);
    if (!middles)
        return false;
    *out = chance_of(stops, middles, patch);
    free(middles);
    return true;
}

/* By halving what is between a patch that is missed and one that is found. */
bool foci_patch_least(double *out, const foci_patch_stops *stops, const foci_multipolygon *field, double chance,
                      uint64_t seed, foci_error *err) {
    double missed = 0, found = foci_multipolygon_area(field);
    foci_point *middles = draw_middles(field, seed, err);
    if (!middles)
        return false;
    *out = NAN;
    if (chance_of(stops, middles, found).shown >= chance) {
        for (int i = 0; i < HALVINGS; i++) {
            const double middle = (missed + found) / 2;
            *(chance_of(stops, middles, middle).shown >= chance ? &found : &missed) = middle;
        }
        *out = found;
    }
    free(middles);
    return true;
}

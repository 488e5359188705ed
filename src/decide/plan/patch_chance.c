#include "decide/plan/patch_chance.h"

#include <math.h>
#include <stdlib.h>

#include "base/edges.h"
#include "base/memory.h"
#include "base/random.h"

enum { PATCHES = 4000, TRIES_EACH = 1000, STREAM = 1 };

/* How far each patch's middle is from its nearest stop, and from that which makes several. */
typedef struct {
    size_t count;
    double *nearest, *next; /* squared; `nearest` owns both */
} reaches;

static bool draw_middle(foci_point *out, const foci_edges *edges, foci_box box, foci_random *draws) {
    for (int i = 0; i < TRIES_EACH; i++) {
        *out = (foci_point){box.west + (box.east - box.west) * foci_random_share(draws),
                            box.south + (box.north - box.south) * foci_random_share(draws)};
        if (foci_edges_contain(edges, *out))
            return true;
    }
    return false;
}

/* Keeps the squared distances to the FOCI_PATCH_STOPS nearest stops, rising. */
static void keep_nearest(double least[FOCI_PATCH_STOPS], foci_point stop, foci_point middle) {
    const double east = stop.x - middle.x, north = stop.y - middle.y;
    double away = east * east + north * north;
    for (size_t k = 0; k < FOCI_PATCH_STOPS; k++)
        if (away < least[k]) {
            const double held = least[k];
            least[k] = away;
            away = held;
        }
}

static void measure(double least[FOCI_PATCH_STOPS], const foci_patch_stops *stops, foci_point middle) {
    for (size_t k = 0; k < FOCI_PATCH_STOPS; k++)
        least[k] = INFINITY;
    for (size_t i = 0; i < stops->layout->count; i++)
        keep_nearest(least, stops->layout->items[i].place, middle);
    for (size_t i = 0; i < stops->there_count; i++)
        keep_nearest(least, stops->there[i], middle);
}

static bool reaches_make(reaches *out, const foci_patch_stops *stops, const foci_multipolygon *field, uint64_t seed,
                         foci_error *err) {
    foci_edges edges = {0};
    foci_random draws = foci_random_stream(seed, STREAM);
    const foci_box box = foci_multipolygon_box(field);
    reaches all = {.count = PATCHES};
    all.nearest = foci_new_array((size_t)2 * PATCHES, sizeof *all.nearest, err);
    if (!all.nearest || !foci_edges_make(&edges, field, err)) {
        free(all.nearest);
        return false;
    }
    all.next = all.nearest + PATCHES;
    for (size_t i = 0; i < PATCHES; i++) {
        double least[FOCI_PATCH_STOPS];
        foci_point middle;
        if (!draw_middle(&middle, &edges, box, &draws))
            middle = foci_multipolygon_centroid(field);
        measure(least, stops, middle);
        all.nearest[i] = least[0];
        all.next[i] = least[FOCI_PATCH_STOPS - 1];
    }
    foci_edges_free(&edges);
    *out = all;
    return true;
}

bool foci_patch_chance_find(foci_patch_chance *out, const foci_patch_stops *stops, const foci_multipolygon *field,
                            double patch, uint64_t seed, foci_error *err) {
    reaches all;
    foci_patch_chance chance = {0};
    if (!reaches_make(&all, stops, field, seed, err))
        return false;
    for (size_t i = 0; i < all.count; i++) {
        chance.one += all.nearest[i] <= patch / M_PI;
        chance.several += all.next[i] <= patch / M_PI;
    }
    free(all.nearest);
    chance.one /= (double)all.count;
    chance.several /= (double)all.count;
    *out = chance;
    return true;
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

bool foci_patch_least(double *out, const foci_patch_stops *stops, const foci_multipolygon *field, double chance,
                      uint64_t seed, foci_error *err) {
    reaches all;
    if (!reaches_make(&all, stops, field, seed, err))
        return false;
    qsort(all.next, all.count, sizeof *all.next, by_size);
    const size_t rank = (size_t)fmin(ceil(chance * (double)all.count), (double)all.count);
    const double patch = M_PI * all.next[rank > 0 ? rank - 1 : 0];
    *out = patch < foci_multipolygon_area(field) ? patch : NAN;
    free(all.nearest);
    return true;
}

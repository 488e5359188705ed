#include <stdlib.h>

#include "base/memory.h"
#include "data/places/overlay.h"
#include "decide/zones/lanes.h"

#define SLIVER 1.0 /* square metres: less is nothing to drive, but a corner of the field that reaches into a lane */

/* Parts that share a side are no valid shape until they are one. `*joined` is false where they share none. */
static bool join_polygon(foci_multipolygon *shape, const foci_polygon *sliver, bool *joined, foci_error *err) {
    foci_multipolygon both = {0}, made = {0};
    char why[128];
    bool repaired = false, ok = false;
    *joined = false;
    both.polygons = foci_new_array(shape->count + 1, sizeof *both.polygons, err); /* borrows the polygons */
    if (!both.polygons)
        return false;
    for (; both.count < shape->count; both.count++)
        both.polygons[both.count] = shape->polygons[both.count];
    both.polygons[both.count++] = *sliver;
    if (!foci_overlay_repair(&made, &repaired, why, &both, err))
        goto done;
    *joined = made.count <= shape->count;
    if (*joined) {
        foci_multipolygon_free(shape);
        *shape = made;
        made = (foci_multipolygon){0};
    }
    ok = true;
done:
    free(both.polygons);
    foci_multipolygon_free(&made);
    return ok;
}

/* The last polygon takes its place, and the one at `index` is freed. */
static void take_out(foci_multipolygon *shape, size_t index) {
    foci_polygon *polygon = &shape->polygons[index];
    for (size_t r = 0; r < polygon->count; r++)
        free(polygon->rings[r].points);
    free(polygon->rings);
    *polygon = shape->polygons[--shape->count];
}

static bool give_away(foci_multipolygon *const *shapes, int from, size_t index, bool *joined, foci_error *err) {
    *joined = false;
    for (int to = FOCI_ZONE_END - 1; !*joined && to >= 0; to--)
        if (to != from && shapes[to]->count > 0 &&
            !join_polygon(shapes[to], &shapes[from]->polygons[index], joined, err))
            return false;
    if (*joined)
        take_out(shapes[from], index);
    return true;
}

bool foci_lanes_join_slivers(foci_multipolygon *const *shapes, foci_error *err) {
    for (int from = 0; from < FOCI_ZONE_END; from++) {
        for (size_t i = 0; i < shapes[from]->count;) {
            bool joined = false;
            foci_multipolygon part = {1, &shapes[from]->polygons[i]};
            if (foci_multipolygon_area(&part) < SLIVER && !give_away(shapes, from, i, &joined, err))
                return false;
            i += !joined;
        }
    }
    return true;
}

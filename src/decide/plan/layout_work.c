#include "decide/plan/layout_work.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

bool foci_layout_allows(const foci_layout_work *work, foci_point place) {
    return foci_edges_contain(&work->edges, place) && foci_edges_distance(&work->edges, place) >= work->margin;
}

void foci_layout_add(foci_layout_work *work, foci_point place, foci_layout_why why) {
    work->stops[work->count++] = (foci_layout_stop){.place = place, .why = why, .again = FOCI_OPEN};
}

static void look_at(double *away, const foci_layout_work *work, foci_point place) {
    for (size_t i = 0; i < work->ground.count; i++) {
        const foci_point cell = foci_grid_centre(&work->grid, work->ground.cells[i]);
        const double east = cell.x - place.x, north = cell.y - place.y;
        away[i] = fmin(away[i], east * east + north * north);
    }
}

bool foci_layout_spread(foci_layout_work *work, const foci_point *near, size_t near_count, foci_error *err) {
    if (work->count >= work->wanted)
        return true;
    double *away = foci_new_array(work->ground.count, sizeof *away, err); /* squared */
    if (!away)
        return false;
    for (size_t i = 0; i < work->ground.count; i++)
        away[i] = INFINITY;
    for (size_t i = 0; i < near_count; i++)
        look_at(away, work, near[i]);
    for (size_t i = 0; i < work->count; i++)
        look_at(away, work, work->stops[i].place);
    while (work->count < work->wanted) {
        size_t farthest = work->ground.count / 2; /* where there is nothing to be far from */
        for (size_t i = 0; i < work->ground.count; i++)
            if (away[i] > away[farthest])
                farthest = i;
        const foci_point place = foci_grid_centre(&work->grid, work->ground.cells[farthest]);
        foci_layout_add(work, place, FOCI_LAYOUT_SPREAD);
        look_at(away, work, place);
    }
    free(away);
    return true;
}

foci_layout_extent foci_layout_extent_find(const foci_layout_work *work) {
    const foci_point corner = {work->grid.west, work->grid.north}; /* small numbers keep their digits */
    foci_layout_extent extent = {
        foci_frame_make(&corner, 1, work->options->row_heading), {INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
    for (size_t i = 0; i < work->ground.count; i++) {
        const foci_point turned = foci_frame_place(&extent.rows, foci_grid_centre(&work->grid, work->ground.cells[i]));
        extent.least = (foci_point){fmin(extent.least.x, turned.x), fmin(extent.least.y, turned.y)};
        extent.most = (foci_point){fmax(extent.most.x, turned.x), fmax(extent.most.y, turned.y)};
    }
    return extent;
}

foci_point foci_layout_extent_place(const foci_layout_extent *extent, double along, double across) {
    const foci_frame *rows = &extent->rows;
    return (foci_point){rows->origin.x + along * rows->east + across * rows->north,
                        rows->origin.y + along * rows->north - across * rows->east};
}

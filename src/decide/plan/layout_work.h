/* What the patterns of a layout are handed, and what they share. */
#ifndef FOCI_DECIDE_LAYOUT_WORK_H
#define FOCI_DECIDE_LAYOUT_WORK_H

#include "base/edges.h"
#include "base/frame.h"
#include "base/random.h"
#include "decide/digs/dig_ground.h"
#include "fieldfoci/layout.h"

typedef struct foci_layout_work {
    const foci_layout_options *options; /* borrowed, as the next one */
    const foci_execution *how;
    foci_grid grid;
    foci_dig_ground ground; /* its cells where a stop may lie; never none */
    foci_edges edges;
    double margin, area; /* meters; square meters of ground */
    size_t count;        /* so far; there is room for all that are wanted */
    size_t wanted;
    foci_layout_stop *stops;
    double variance, after; /* as in foci_layout */
} foci_layout_work;

/* Whether a stop may lie there. */
bool foci_layout_allows(const foci_layout_work *work, foci_point place);

void foci_layout_add(foci_layout_work *work, foci_point place, foci_layout_why why);

/* Adds the places of the ground that are farthest from all stops so far, one by one, until all that are wanted are
 * there. `near` (NULL: none): stops that are there already. */
bool foci_layout_spread(foci_layout_work *work, const foci_point *near, size_t near_count,
                        foci_error *err) FOCI_MUST_CHECK;

/* The ground in the frame of the rows. */
typedef struct {
    foci_frame rows;
    foci_point least, most; /* x along, y across, meters */
} foci_layout_extent;

foci_layout_extent foci_layout_extent_find(const foci_layout_work *work);
foci_point foci_layout_extent_place(const foci_layout_extent *extent, double along, double across);

/* The patterns. */
bool foci_layout_lay_grid(foci_layout_work *work, foci_error *err) FOCI_MUST_CHECK;
bool foci_layout_lay_zigzag(foci_layout_work *work, foci_error *err) FOCI_MUST_CHECK;
bool foci_layout_lay_gaps(foci_layout_work *work, foci_error *err) FOCI_MUST_CHECK;
bool foci_layout_lay_again(foci_layout_work *work, foci_error *err) FOCI_MUST_CHECK;

#endif

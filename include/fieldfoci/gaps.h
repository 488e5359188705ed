/* Gaps: ground that the stops do not speak for. What the surface says there is a guess, so nothing there is treated. */
#ifndef FIELDFOCI_GAPS_H
#define FIELDFOCI_GAPS_H

#include "fieldfoci/grid.h"
#include "fieldfoci/variogram.h"

typedef struct {
    double spacing; /* of the stops, meters; NaN for a single stop */
    double share;   /* of the field that no stop speaks for, 0 to 1 */
    double reach;  /* meters: a stop speaks for ground up to so far away, along the longest range; NaN: for all of it */
    bool by_range; /* it is the practical range; else twice the spacing */
    bool one_line; /* the stops lie on one line, and speak for no ground off it */
} foci_gaps;

/* Fills `unspoken`, one per cell of the grid: true for a cell in the field whose center no stop speaks for. A stop
 * speaks up to the practical range of `model` in that direction, or twice the spacing of the stops, whichever is less.
 * `model` may be NULL, or without a kind or a partial sill: then twice the spacing. The spacing is the larger of the
 * stops' median nearest distance and the side of the square that each stands for within their hull, so that pairs of
 * stops, or close stops on lines, do not pass for a close net. Stops that were walked along one line, with ground of
 * `field` left aside, speak only for what lies within half their nearest distance of the band they are in. A single
 * stop speaks for all. */
FOCI_API bool foci_gaps_find(foci_gaps *out, bool *unspoken, const foci_readings *readings, const foci_grid *grid,
                             const foci_multipolygon *field, const foci_variogram *model,
                             foci_error *err) FOCI_MUST_CHECK;

#endif

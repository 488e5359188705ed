/* Polygons laid over each other: the only door to GEOS. Shapes are in metres or degrees. */
#ifndef FOCI_DATA_OVERLAY_H
#define FOCI_DATA_OVERLAY_H

#include "fieldfoci/geometry.h"

/* Valid shape with outer rings counter-clockwise and holes clockwise; `*repaired` tells whether anything was wrong, and
 * `why` (128 bytes) what. FOCI_BAD_INPUT where no area is left. */
bool foci_overlay_repair(foci_multipolygon *out, bool *repaired, char *why, const foci_multipolygon *shape,
                         foci_error *err) FOCI_MUST_CHECK;

/* The polygons of the intersection (points and lines dropped), rings oriented as above. May be empty. */
bool foci_overlay_intersection(foci_multipolygon *out, const foci_multipolygon *a, const foci_multipolygon *b,
                               foci_error *err) FOCI_MUST_CHECK;

/* Whether the shape is valid by the simple-features rules. */
bool foci_overlay_valid(const foci_multipolygon *shape);

#endif

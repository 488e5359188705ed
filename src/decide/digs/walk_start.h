/* Where a walk through a field begins. */
#ifndef FOCI_DECIDE_WALK_START_H
#define FOCI_DECIDE_WALK_START_H

#include "data/places/projection.h"
#include "fieldfoci/field.h"

/* At the gate (longitude, latitude) or, where that is NULL, the corner of the boundary that is nearest to `first`.
 * FOCI_BAD_SETTING for a gate that is not within 10 km of the field. */
bool foci_walk_start(foci_point *start, foci_point *start_lonlat, const foci_projection *projection,
                     const foci_multipolygon *field, foci_point first, const foci_point *gate,
                     foci_error *err) FOCI_MUST_CHECK;

#endif

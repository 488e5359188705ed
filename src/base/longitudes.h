/* Longitudes that stay together where a shape crosses the 180th meridian. */
#ifndef FOCI_BASE_LONGITUDES_H
#define FOCI_BASE_LONGITUDES_H

#include "fieldfoci/geometry.h"

/* The same meridian written within half a turn of `reference`, where it is within `most` degrees of it; else as it is.
 */
double foci_longitude_near(double longitude, double reference, double most);

/* Takes turns of 360 degrees out of a shape in degrees: no side is longer than half a turn, all rings lie together
 * (RFC 7946, section 3.1.9, cuts them apart at the meridian), and the middle is within -180 to 180. `*moved` (may be
 * NULL) tells whether a corner was. False where a ring goes around a pole. */
bool foci_longitudes_unwrap(foci_multipolygon *lonlat, bool *moved);

#endif

/* Whether a place lies where a reference system is meant to be used. */
#ifndef FOCI_DATA_AREA_OF_USE_H
#define FOCI_DATA_AREA_OF_USE_H

#include "fieldfoci/geometry.h"

/* With half a degree to spare: areas are drawn by zone and country, and places a little beyond are still measured well.
 * `area` as in foci_crs_facts (west > east across the antimeridian; all NaN: unknown, holds everything). */
bool foci_area_of_use_holds(const foci_box *area, foci_point lonlat);

#endif

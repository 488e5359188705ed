/* Stops from points that were read before. */
#ifndef FOCI_DATA_STOPS_TAKE_H
#define FOCI_DATA_STOPS_TAKE_H

#include "data/stops/point_table.h"
#include "fieldfoci/stops.h"

/* As foci_stops_read of one file; `file` is what messages call it. */
bool foci_stops_take(foci_stops *out, const char *file, const foci_point_table *points,
                     const foci_stops_options *options, foci_error *err) FOCI_MUST_CHECK;

#endif

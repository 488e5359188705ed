/* Stops from points that were read before. */
#ifndef FOCI_DATA_STOPS_TAKE_H
#define FOCI_DATA_STOPS_TAKE_H

#include "data/stops/point_table.h"
#include "fieldfoci/stops.h"

/* As foci_stops_read of one file; `file` is what messages call it. Cells of `points` get their numbers, its notes go to
 * the stops. */
bool foci_stops_take(foci_stops *out, const char *file, foci_point_table *points, const foci_stops_options *options,
                     foci_error *err) FOCI_MUST_CHECK;

/* What a reading of these stops can be, by their kind and unit and the options' limits. */
void foci_stops_set_limits(foci_stops *stops, const foci_stops_options *options);

#define FOCI_STOPS_COUNTS_UNIT "percent of units infected"

#endif

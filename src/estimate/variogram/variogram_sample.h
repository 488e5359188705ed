/* Which stops semivariances are made of, where there are too many pairs. */
#ifndef FOCI_ESTIMATE_VARIOGRAM_SAMPLE_H
#define FOCI_ESTIMATE_VARIOGRAM_SAMPLE_H

#include "fieldfoci/stops.h"

/* Of so many stops all pairs are looked at, in the stops' order. */
enum { FOCI_SEMIVARIANCE_STOPS = 10000 };

/* Of more: the stops in order of x, so that pairs farther apart than `farthest` are soon passed over. Where the rest
 * would still be more pairs than FOCI_SEMIVARIANCE_STOPS stops have, a draw of the stops that has about as many (always
 * the same for the same stops). Owned: free with foci_readings_free. `hits` and `stops` are empty. */
bool foci_variogram_sample(foci_readings *out, const foci_readings *readings, double farthest,
                           foci_error *err) FOCI_MUST_CHECK;

#endif

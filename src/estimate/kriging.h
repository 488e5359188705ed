/* Ordinary kriging in covariance form (Matheron 1963; Cressie 1993, Statistics for Spatial Data, section 3.2): for a
 * new reading at the place, so the variance contains the nugget; on a stop the answer is its reading, with variance 0.
 */
#ifndef FOCI_ESTIMATE_KRIGING_H
#define FOCI_ESTIMATE_KRIGING_H

#include "fieldfoci/surface.h"

/* FOCI_NO_FIT where the covariance matrix is singular. `variance` may be NULL. */
bool foci_kriging_at(double *estimate, double *variance, const foci_readings *readings,
                     const foci_surface_options *options, const foci_point *places, size_t count,
                     foci_error *err) FOCI_MUST_CHECK;

/* All stops: in closed form from one inverse (Dubrule 1983, Mathematical Geology 15:687-699). FOCI_BAD_INPUT for fewer
 * than two stops. */
bool foci_kriging_left_out(double *estimate, double *variance, const foci_readings *readings,
                           const foci_surface_options *options, foci_error *err) FOCI_MUST_CHECK;

#endif

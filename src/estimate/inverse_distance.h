/* Inverse-distance weighting (Shepard 1968): weights distance^-power; a place on a stop takes its reading. */
#ifndef FOCI_ESTIMATE_INVERSE_DISTANCE_H
#define FOCI_ESTIMATE_INVERSE_DISTANCE_H

#include "fieldfoci/surface.h"

/* `variance` is not written: the method gives none. FOCI_BAD_SETTING for a power that is not above 0. */
bool foci_inverse_distance_at(double *estimate, double *variance, const foci_readings *readings,
                              const foci_surface_options *options, const foci_point *places, size_t count,
                              foci_error *err) FOCI_MUST_CHECK;

/* FOCI_BAD_INPUT for fewer than two stops. */
bool foci_inverse_distance_left_out(double *estimate, double *variance, const foci_readings *readings,
                                    const foci_surface_options *options, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Whether the stops crowd the bad spots: then mean and map run high. */
#ifndef FOCI_DECIDE_CROWDING_H
#define FOCI_DECIDE_CROWDING_H

#include "fieldfoci/pattern.h"

/* Fills all of `field` but its mean, whose value must be there. Order number k of the readings is drawn from stream k
 * of the seed; permutations 0: 999. */
bool foci_crowding_test(foci_field_mean *field, const foci_readings *readings, foci_reading_kind kind, uint64_t seed,
                        size_t permutations, foci_error *err) FOCI_MUST_CHECK;

#endif

/* The cheapest way to even out what the stops hold: a transportation problem, by the network simplex. */
#ifndef FOCI_DECIDE_TRANSPORT_H
#define FOCI_DECIDE_TRANSPORT_H

#include <stdint.h>

#include "fieldfoci/geometry.h"

/* A workspace of one thread for problems among the same places. */
typedef struct foci_transport foci_transport;

bool foci_transport_open(foci_transport **out, const foci_point *places, size_t count, foci_error *err) FOCI_MUST_CHECK;
void foci_transport_close(foci_transport *work);

/* Least sum of parts x metres that leaves no stop with too much or too little. Stop i has parts[order[i]] too much
 * (`order` NULL: parts[i]), too little below 0; they sum to 0. */
double foci_transport_cost(foci_transport *work, const int64_t *parts, const size_t *order);

#endif

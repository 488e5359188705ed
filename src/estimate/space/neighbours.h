/* The nearest stops of a place, through a spatial index; ties go to the lower stop number. */
#ifndef FOCI_ESTIMATE_NEIGHBOURS_H
#define FOCI_ESTIMATE_NEIGHBOURS_H

#include "fieldfoci/geometry.h"

typedef struct foci_neighbours foci_neighbours;

bool foci_neighbours_open(foci_neighbours **out, const foci_point *places, size_t count,
                          foci_error *err) FOCI_MUST_CHECK;
void foci_neighbours_close(foci_neighbours *index);

/* The `wanted` nearest (fewer where there are fewer), nearest first; returns how many. `skip`: a stop left out, or
 * (size_t)-1. */
size_t foci_neighbours_find(const foci_neighbours *index, foci_point place, size_t wanted, size_t skip, size_t *found);

#endif

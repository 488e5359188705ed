/* Stops put together by the square they lie in, where there are more than can be worked at once. */
#ifndef FOCI_ESTIMATE_POOLS_H
#define FOCI_ESTIMATE_POOLS_H

#include "fieldfoci/geometry.h"

/* pool[i]: number of the pool of place i, below *pools; at most `most` (> 0), none empty. Squares are as small as that
 * allows, all of one size. */
bool foci_pools_make(size_t *pool, size_t *pools, const foci_point *places, size_t count, size_t most,
                     foci_error *err) FOCI_MUST_CHECK;

#endif

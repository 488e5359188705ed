/* The shortest walk through places: dig checks, or stops that are planned. Ways are straight lines. */
#ifndef FIELDFOCI_WALK_H
#define FIELDFOCI_WALK_H

#include "fieldfoci/geometry.h"

/* Up to so many places the shortest walk is found for certain. */
enum { FOCI_WALK_EXACT = 12 };

typedef struct {
    const foci_point *start; /* where the walk begins, meters; NULL: at one of the places */
    bool open;               /* it ends at the last place; else it comes back to where it began */
} foci_walk_options;

/* From one of the places, and back to it. */
FOCI_API foci_walk_options foci_walk_options_make(void);

typedef struct {
    size_t count;
    size_t *order; /* index of the place visited first, second, ...; owned */
    double length; /* meters, with the way from the start and, unless open, back */
    bool exact;    /* no walk is shorter */
} foci_walk;

/* `places` in meters. Up to FOCI_WALK_EXACT by dynamic programming over subsets (Held & Karp 1962, J. SIAM 10:196-210);
 * more by nearest neighbor from up to 20 first places (from 500 places on fewer), each followed by 2-opt (Croes
 * 1958, Operations Research 6:791-812) and Or-opt (Or 1976) until neither gains. The same places give the same walk; of
 * the two ways round a closed one, that whose first leg is the shorter. */
FOCI_API bool foci_walk_find(foci_walk *out, const foci_point *places, size_t count, const foci_walk_options *options,
                             foci_error *err) FOCI_MUST_CHECK;

/* Length of the walk through `order`, meters. */
FOCI_API double foci_walk_length(const size_t *order, const foci_point *places, size_t count,
                                 const foci_walk_options *options);

FOCI_API void foci_walk_free(foci_walk *walk);

#endif

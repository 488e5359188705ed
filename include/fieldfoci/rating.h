/* How stops were rated: what is seen above ground and what is dug up do not compare. */
#ifndef FIELDFOCI_RATING_H
#define FIELDFOCI_RATING_H

#include "fieldfoci/error.h"

typedef struct {
    const char *name; /* "above-ground", "dug" */
} foci_rating;

FOCI_API extern const foci_rating foci_rating_table[]; /* ends in {0} */

/* By name in any case; "above ground" will do too. NULL where there is none. */
FOCI_API const foci_rating *foci_rating_find(const char *name);

#endif

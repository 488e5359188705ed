/* How many of some counts lie above 0, 1, 2 ...: all that a likelihood of counts needs to know of them. */
#ifndef FOCI_DECIDE_COUNTS_ABOVE_H
#define FOCI_DECIDE_COUNTS_ABOVE_H

#include "fieldfoci/error.h"

enum { FOCI_COUNTS_MOST = 1000000 };

/* Whole, from 0 to FOCI_COUNTS_MOST. */
bool foci_counts_are_whole(const double *counts, size_t count);

typedef struct {
    size_t length; /* the largest count */
    double *above; /* above[j]: how many counts exceed j */
} foci_counts_above;

/* The counts must be whole. */
bool foci_counts_above_make(foci_counts_above *out, const double *counts, size_t count,
                            foci_error *err) FOCI_MUST_CHECK;

void foci_counts_above_free(foci_counts_above *table);

#endif

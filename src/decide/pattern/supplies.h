/* What each stop has too much of, or too little, for all to hold the same. */
#ifndef FOCI_DECIDE_SUPPLIES_H
#define FOCI_DECIDE_SUPPLIES_H

#include <stdint.h>

#include "fieldfoci/stops.h"

enum { FOCI_SUPPLIES_STOPS_MOST = 300 };

/* Whole parts that sum to 0: counts y of n give y sum(n) - n sum(y), so effort may differ; scores are rounded to a
 * thousand-millionth of their spread. */
typedef struct {
    int64_t *parts;       /* one a stop; owned */
    double unit;          /* parts x metres to the distance of foci_transport_index */
    const char *left_out; /* why there is nothing to move, static; then parts is NULL */
} foci_supplies;

bool foci_supplies_make(foci_supplies *out, const foci_readings *readings, foci_reading_kind kind,
                        foci_error *err) FOCI_MUST_CHECK;

void foci_supplies_free(foci_supplies *supplies);

#endif

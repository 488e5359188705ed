/* How dates that begin with a day or a month are written. */
#ifndef FIELDFOCI_DATES_H
#define FIELDFOCI_DATES_H

#include "fieldfoci/error.h"

typedef struct {
    const char *name; /* "day-first", "month-first" */
    bool day_first;
} foci_date_order;

FOCI_API extern const foci_date_order foci_date_orders[]; /* ends in {0} */

#endif

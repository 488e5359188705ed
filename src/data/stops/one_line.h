/* Whether a round was walked along one line, with ground left to its sides. */
#ifndef FOCI_DATA_ONE_LINE_H
#define FOCI_DATA_ONE_LINE_H

#include "fieldfoci/stops.h"

typedef struct {
    foci_point middle; /* of the places */
    foci_point across; /* unit vector to the side of the line */
    double ratio;      /* spread across over spread along */
    double spacing;    /* median nearest distance, meters */
} foci_line;

/* `*is`: the spread across is less than a tenth of that along, and the field (NULL: two spacings) is wider than the
 * stops are: then *out tells the line. */
bool foci_one_line(foci_line *out, bool *is, const foci_readings *readings, const foci_multipolygon *field,
                   foci_error *err) FOCI_MUST_CHECK;

#endif

/* Numbers as people write them: with a decimal comma, groups of thousands, a unit behind. */
#ifndef FOCI_BASE_LOOSE_NUMBER_H
#define FOCI_BASE_LOOSE_NUMBER_H

#include "fieldfoci/error.h"

typedef struct {
    double by_point; /* where the point is the decimal mark and commas group thousands; NaN where that cannot be */
    double by_comma; /* where the comma is the decimal mark and points group thousands; NaN where that cannot be */
    double of;       /* of "3 of 10" or "3/10": 10; else NaN */
    char unit[16];   /* "%", "plants"; "" for none */
} foci_loose_number;

/* False where the text is no number with or without a unit. Blanks and apostrophes group thousands by either reading.
 * "1.5" has by_comma NaN, "1,5" by_point NaN, "1,234" and "1.234" have both, "12" has both and the same. */
bool foci_loose_number_parse(foci_loose_number *out, const char *text);

#endif

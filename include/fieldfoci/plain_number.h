/* A number as people write it: what stands in legends, sentences and on the terminal. */
#ifndef FIELDFOCI_PLAIN_NUMBER_H
#define FIELDFOCI_PLAIN_NUMBER_H

#include "fieldfoci/error.h"

typedef struct {
    char text[48];
} foci_plain_number;

/* At least `digits` significant digits and all of those before the point, in groups of three, no exponent, no zeros at
 * the end of decimals ("1,839", "0.0385", "2.4"); "no number" for what is none. */
FOCI_API foci_plain_number foci_number_plain(double number, int digits);

#endif

/* Coordinates in degrees, minutes and seconds, with a sign or the letter of a hemisphere. */
#ifndef FOCI_BASE_DEGREES_H
#define FOCI_BASE_DEGREES_H

#include "fieldfoci/error.h"

typedef enum {
    FOCI_DEGREES_NONE,  /* not written so */
    FOCI_DEGREES_READ,  /* decimal degrees are in `out` */
    FOCI_DEGREES_WRONG, /* written so, but cannot be: `wrong` says why, and what to do */
} foci_degrees_kind;

typedef struct {
    double degrees;
    bool marked;       /* a degree sign or a hemisphere's letter: nothing but an angle is written so */
    const char *wrong; /* static */
} foci_degrees;

/* 42.9751 N, N 42 58.506, 42°58'30.36"N, -79:30:15, 42º 58′ 30″ S, with a point or a comma before decimals; a plain
 * number is not written so. `east`: a longitude, with E or W; else a latitude, with N or S. */
foci_degrees_kind foci_degrees_parse(foci_degrees *out, const char *text, bool east);

#endif

/* How often the sides of a shape cross: repairing one takes as long as there are crossings. */
#ifndef FOCI_DATA_CROSSINGS_H
#define FOCI_DATA_CROSSINGS_H

#include "fieldfoci/geometry.h"

/* Whether at most `most` pairs of sides cross (those that meet in a common corner do not). Gives up, with false in
 * `*within`, where telling would take some seconds. */
bool foci_crossings_within(bool *within, const foci_multipolygon *shape, size_t most, foci_error *err) FOCI_MUST_CHECK;

#endif

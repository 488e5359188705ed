/* Aggregation of counts, wherever they stand. */
#ifndef FOCI_DECIDE_DISPERSION_H
#define FOCI_DECIDE_DISPERSION_H

#include "fieldfoci/pattern.h"

/* Indices of whole, non-negative counts of equal effort; all NaN for others, for none, or for counts above a million.
 * Formulas: Madden, Hughes & van den Bosch 2007, The Study of Plant Disease Epidemics, chapter 9. */
bool foci_dispersion_make(foci_count_dispersion *out, const double *counts, size_t count,
                          foci_error *err) FOCI_MUST_CHECK;

#endif

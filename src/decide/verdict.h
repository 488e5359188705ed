/* The rule that says whether there is a pattern to map. */
#ifndef FOCI_DECIDE_VERDICT_H
#define FOCI_DECIDE_VERDICT_H

#include "fieldfoci/pattern.h"

/* Sets verdict and why from the numbers that are there. The first row that holds decides:
 * fewer than 20 stops: too few; nugget above 3/4 of the sill, practical range below the spacing, or the permuted p of
 * both Moran's I and the transport index above 0.05 (or not defined): no pattern found; else patchy. */
void foci_verdict_give(foci_pattern *pattern, const foci_pattern_options *options);

#endif

/* The rule that says whether there is a pattern to map. */
#ifndef FOCI_DECIDE_VERDICT_H
#define FOCI_DECIDE_VERDICT_H

#include "fieldfoci/pattern.h"

/* Sets verdict and why from count, no_pattern and likeness_p. The limits, and the simulations that they were chosen on:
 * docs/pattern.md. */
void foci_verdict_give(foci_pattern *pattern);

#endif

/* Whether stops with disease lie beside each other more often than chance would have it. */
#ifndef FOCI_DECIDE_JOIN_COUNTS_H
#define FOCI_DECIDE_JOIN_COUNTS_H

#include "decide/pattern/links.h"
#include "fieldfoci/pattern.h"

/* Links between two stops with disease, each counted once, by its weight. `order` NULL: as they stand; else stop i has
 * infected[order[i]]. */
double foci_join_counts_count(const foci_links *links, const bool *infected, const size_t *order);

/* Join-count test without replacement: the number of stops with disease is given (Cliff & Ord 1981, Spatial Processes).
 * Stops without a neighbour are left out. NaN for fewer than 4 linked stops, or where none or all have disease. */
bool foci_join_counts_test(foci_pattern_test *out, const foci_links *links, const bool *infected,
                           foci_error *err) FOCI_MUST_CHECK;

#endif

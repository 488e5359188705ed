/* Which stops are neighbours, and how much each link weighs. */
#ifndef FOCI_DECIDE_LINKS_H
#define FOCI_DECIDE_LINKS_H

#include "fieldfoci/geometry.h"

/* The neighbours of stop i are to[first[i]] ... to[first[i + 1] - 1], in rising order. Links go both ways; their
 * weights may differ. */
typedef struct {
    size_t count;  /* stops */
    size_t *first; /* count + 1 numbers */
    size_t *to;
    double *weights; /* beside `to`; NULL: each weighs 1 */
} foci_links;

/* Stops at most `band` apart, binary. FOCI_BAD_SETTING for more than 4 million pairs. */
bool foci_links_make(foci_links *out, const foci_point *places, size_t count, double band,
                     foci_error *err) FOCI_MUST_CHECK;

void foci_links_free(foci_links *links);

/* The weight of the k-th link. */
double foci_links_weight(const foci_links *links, size_t k);

size_t foci_links_isolated(const foci_links *links);

/* s0 = sum w, s1 = sum (w_ij + w_ji)^2 / 2, s2 = sum (w_i. + w_.i)^2 (Cliff & Ord 1981). */
typedef struct {
    double s0, s1, s2;
} foci_links_sums;

bool foci_links_sum(foci_links_sums *out, const foci_links *links, foci_error *err) FOCI_MUST_CHECK;

#endif

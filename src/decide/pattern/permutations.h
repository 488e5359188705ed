/* What the measures of pattern would be if the readings fell on the stops by chance. */
#ifndef FOCI_DECIDE_PERMUTATIONS_H
#define FOCI_DECIDE_PERMUTATIONS_H

#include "decide/pattern/links.h"
#include "fieldfoci/execution.h"
#include "fieldfoci/pattern.h"

/* Where nobody says how many. */
enum { FOCI_PERMUTATIONS = 999 };

/* What a permutation must reach to count as at least as far as `own`: the tolerance keeps equal orders equal. */
double foci_permuted_least(double own);

/* The measures of one order of the readings; NaN where not defined. */
typedef struct {
    double moran, geary, general_g;
    double joins;     /* links between stops with disease */
    double transport; /* parts x metres */
} foci_measures;

typedef struct {
    const foci_links *links;
    const foci_point *places;
    const double *values;
    const bool *infected;
    const int64_t *parts; /* of the transport problem; NULL: left out */
    size_t count, permutations;
    uint64_t seed;
} foci_permutation_plan;

/* out[0] is the readings' own order, out[k] the order drawn from the k-th stream of the seed: whole readings (counts
 * with their numbers looked at) change places. `out` holds permutations + 1. */
bool foci_permutations_run(foci_measures *out, const foci_permutation_plan *plan, const foci_execution *how,
                           foci_error *err) FOCI_MUST_CHECK;

#endif

/* How much of the field's variation an earlier season of counts shares with the one in question. */
#ifndef FOCI_ESTIMATE_COUNTS_TIES_H
#define FOCI_ESTIMATE_COUNTS_TIES_H

#include "estimate/fit/counts_choice.h"
#include "estimate/fit/ties.h"

enum { FOCI_COUNTS_TIES = 15 };

/* Priors sum to 1, and half says that nothing is shared. The first: nothing shared, equal deviations, as in draws of
 * the seasons taken as independent. */
extern const foci_tie foci_counts_ties[FOCI_COUNTS_TIES];

/* log of the marginal likelihood of the stops of both seasons, draws x ties, those of one draw together. */
bool foci_counts_ties_try(double *log_z, const foci_observations *both, const foci_counts_draw *draws, size_t count,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* From draws of the seasons taken as independent to draws of both: each draw's weight is spread over the ties in
 * proportion to prior x likelihood over the likelihood at the first, and `wanted` <= FOCI_COUNTS_DRAWS systematic draws
 * are taken of what comes out. Writes the summary's share and draws, and adds to its log evidence. */
bool foci_counts_ties_weigh(foci_counts_draw draws[FOCI_COUNTS_DRAWS], size_t *count, foci_counts_summary *summary,
                            const foci_observations *both, size_t wanted, const foci_execution *how,
                            foci_error *err) FOCI_MUST_CHECK;

#endif

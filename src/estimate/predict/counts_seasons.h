/* How much of the field's variation an earlier season shares with the one in question. */
#ifndef FOCI_ESTIMATE_COUNTS_SEASONS_H
#define FOCI_ESTIMATE_COUNTS_SEASONS_H

#include "estimate/fit/ties.h"
#include "estimate/predict/counts.h"

enum { FOCI_COUNTS_TIES = 15 };

/* Priors sum to 1, and half says that nothing is shared. The first: nothing shared, equal deviations, as in draws of
 * the seasons taken as independent. */
extern const foci_tie foci_counts_ties[FOCI_COUNTS_TIES];

/* log of the marginal likelihood of the stops of both seasons, draws x ties, those of one draw together. */
bool foci_counts_ties_try(double *log_z, const foci_counts_model *model, const foci_execution *how,
                          foci_error *err) FOCI_MUST_CHECK;

/* From draws of the seasons taken as independent (`shared` 0) to draws of both: each draw's weight is spread over the
 * ties in proportion to prior x likelihood over the likelihood at the first, and foci_counts_draws_wanted systematic
 * draws are taken of what comes out. Writes draws, the summary's share, and adds to the log evidence. The stops are
 * those of both. */
bool foci_counts_seasons_weigh(foci_counts_model *model, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

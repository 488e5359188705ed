/* Each stop of a jointly worked model left out in turn. */
#ifndef FOCI_ESTIMATE_COUNTS_LEAVE_ONE_OUT_H
#define FOCI_ESTIMATE_COUNTS_LEAVE_ONE_OUT_H

#include "estimate/predict/counts_joint.h"

/* As predictions, with each stop's own count left out, parameters and their weights kept: mean, variance and bounds of
 * its true share, and of its count the log of the predictive probability and the probability transform P(less) +
 * P(same) / 2, which is uniform where the model is right. Arrays of the caller, one number per stop; any may be NULL.
 */
typedef struct {
    double *mean, *variance, *low, *high, *log_score, *transform;
} foci_counts_leave_one_out_result;

/* For those stops of the season in question that `wanted` marks (NULL: all); stop i is written to place to[i] of the
 * arrays (NULL: i). */
bool foci_counts_leave_one_out_jointly(const foci_counts_model *model, const bool *wanted, const size_t *to,
                                       const foci_counts_leave_one_out_result *out, const foci_execution *how,
                                       foci_error *err) FOCI_MUST_CHECK;

#endif

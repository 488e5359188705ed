/* The two halves of a counts model that whole fields and windows share. */
#ifndef FOCI_ESTIMATE_COUNTS_MODEL_H
#define FOCI_ESTIMATE_COUNTS_MODEL_H

#include "estimate/predict/counts.h"

/* How many draws to take: options.draws, or else what memory and time allow, which go with draws x stops^2. */
size_t foci_counts_draws_wanted(const foci_counts_model *model);

/* Fills model->posterior from model->stops at model->draws. */
bool foci_counts_condition(foci_counts_model *model, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* foci_counts_predict from model->posterior. */
bool foci_counts_predict_jointly(const foci_counts_model *model, const foci_point *places, size_t count,
                                 double threshold, const foci_counts_prediction *out, const foci_execution *how,
                                 foci_error *err) FOCI_MUST_CHECK;

/* foci_counts_left_out for those stops of the model that `wanted` marks (NULL: all), all of its stops worked jointly;
 * stop i is written to place to[i] of the arrays (NULL: i). */
bool foci_counts_left_out_jointly(const foci_counts_model *model, const bool *wanted, const size_t *to,
                                  const foci_counts_left_out_result *out, const foci_execution *how,
                                  foci_error *err) FOCI_MUST_CHECK;

#endif

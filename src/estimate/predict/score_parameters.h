/* The components of a score model: from a given variogram, from the semivariances, or drawn by likelihood. */
#ifndef FOCI_ESTIMATE_SCORE_PARAMETERS_H
#define FOCI_ESTIMATE_SCORE_PARAMETERS_H

#include "estimate/predict/score_model.h"

/* Stops from which parameters are taken: all up to 400, above that every n-th in their order, 400 in all. Owned copies
 * of places and values. */
bool foci_score_sample(foci_readings *out, const foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;
void foci_score_sample_free(foci_readings *sample);

/* Fills components (systems not solved), freedom and summary of a model whose values stand on their scale. */
bool foci_score_parameters_fit(foci_score_model *model, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

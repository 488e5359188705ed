/* More stops of counts than can be worked jointly: overlapping windows on a lattice of centers, one jointly worked
 * model each, all with the same parameter points and weights. */
#ifndef FOCI_ESTIMATE_WINDOWS_H
#define FOCI_ESTIMATE_WINDOWS_H

#include "estimate/predict/counts_leave_one_out.h"

enum { FOCI_COUNTS_GROUPS = 8, FOCI_COUNTS_GROUP = 100 };

/* FOCI_COUNTS_GROUPS compact groups of up to FOCI_COUNTS_GROUP stops, one from each part of the field when it is
 * halved three times: the parameters come from them. */
bool foci_counts_groups_make(foci_observations groups[FOCI_COUNTS_GROUPS], const foci_observations *stops,
                             foci_error *err) FOCI_MUST_CHECK;
void foci_counts_groups_free(foci_observations groups[FOCI_COUNTS_GROUPS]);

/* As foci_counts_predict_jointly; works for any number of stops. Neighboring windows are blended over a quarter of the
 * distance between their centers: shares and chances linearly, bounds on the logit scale; the variance has what the
 * windows differ by. */
bool foci_windows_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                          const foci_prediction *out, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* As foci_counts_leave_one_out_jointly for all stops: forty stops of one square at a time, with the sixty nearest of
 * each.
 */
bool foci_windows_leave_one_out(const foci_counts_model *model, const foci_counts_leave_one_out_result *out,
                                const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

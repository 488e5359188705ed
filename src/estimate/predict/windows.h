/* More stops of counts than can be worked jointly: overlapping windows on a lattice of centers, one jointly worked
 * model each, all with the same parameter points and weights. */
#ifndef FOCI_ESTIMATE_WINDOWS_H
#define FOCI_ESTIMATE_WINDOWS_H

#include "estimate/predict/counts_leave_one_out.h"
#include "estimate/space/neighbours.h"

enum { FOCI_COUNTS_GROUPS = 8, FOCI_COUNTS_GROUP = 100 };

/* FOCI_COUNTS_GROUPS compact groups of up to FOCI_COUNTS_GROUP stops, one from each part of the field when it is
 * halved three times: the parameters come from them. */
bool foci_counts_groups_make(foci_observations groups[FOCI_COUNTS_GROUPS], const foci_observations *stops,
                             foci_error *err) FOCI_MUST_CHECK;
void foci_counts_groups_free(foci_observations groups[FOCI_COUNTS_GROUPS]);

/* The lattice on which the windows lie. */
typedef struct {
    const foci_counts_model *model; /* borrowed */
    foci_neighbours *index;         /* of its stops, in its frame; owned */
    double side;                    /* between centers, metres: six stop spacings */
} foci_windows;

/* A center; whole numbers, in double so that no place is too far. */
typedef struct {
    double a, b;
} foci_window_center;

bool foci_windows_open(foci_windows *out, const foci_counts_model *model, foci_error *err) FOCI_MUST_CHECK;
void foci_windows_close(foci_windows *windows);

/* Order of centers, for sorting: below, at or above 0. */
int foci_window_center_compare(foci_window_center first, foci_window_center second);

/* Sorts numbers of stops and drops those that come twice; returns how many are left. */
size_t foci_windows_tidy(size_t *stops, size_t count);

/* A model of these stops with the parameters of the windows'; not conditioned yet. */
bool foci_windows_model(foci_counts_model *out, const foci_windows *windows, const size_t *stops, size_t count,
                        foci_error *err) FOCI_MUST_CHECK;

/* As foci_counts_predict_jointly; works for any number of stops. Neighbouring windows are blended over a quarter of the
 * distance between their centers: shares and chances linearly, bounds on the logit scale; the variance has what the
 * windows differ by. */
bool foci_windows_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                          const foci_answers *out, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* As foci_counts_left_out_jointly for all stops: forty stops of one square at a time, with the sixty nearest of each.
 */
bool foci_windows_left_out(const foci_counts_model *model, const foci_counts_left_out_result *out,
                           const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Counts of so few stops that they are worked jointly: the surface given all of them, at each parameter point that
 * carries predictions. */
#ifndef FOCI_ESTIMATE_COUNTS_JOINT_H
#define FOCI_ESTIMATE_COUNTS_JOINT_H

#include "base/parallel.h"
#include "estimate/fit/counts_choice.h"
#include "estimate/gaussian/conditional.h"
#include "estimate/predict/mixture.h"

typedef struct {
    size_t draws;
    foci_conditional *given; /* one for each draw; owned */
} foci_counts_posterior;

/* Room for so many stops and draws. */
bool foci_counts_posterior_make(foci_counts_posterior *out, size_t stops, size_t draws,
                                foci_error *err) FOCI_MUST_CHECK;
void foci_counts_posterior_free(foci_counts_posterior *posterior);

/* Fills one draw from the stops of `work`. */
bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                foci_latent *work, foci_error *err) FOCI_MUST_CHECK;

/* Mean and deviation of the logit, draws x places: those of one place stand together. `draws` in ascending order of
 * stretch, family and range is fastest. */
bool foci_counts_posterior_at(double *mean, double *deviation, const foci_counts_posterior *posterior,
                              const foci_observations *stops, const foci_counts_draw *draws, const foci_targets *places,
                              foci_error *err) FOCI_MUST_CHECK;

/* Up to so many stops are worked jointly. Above, parameters come from some compact groups of them and predictions from
 * overlapping windows. */
enum { FOCI_COUNTS_JOINT = 600 };

typedef struct {
    double spacing;          /* distance between stops, metres */
    foci_observations stops; /* those of an earlier season are its second */
    size_t draw_count;
    foci_counts_draw draws[FOCI_COUNTS_DRAWS];
    foci_counts_posterior posterior; /* of all stops; empty above FOCI_COUNTS_JOINT */
    foci_counts_summary summary;
} foci_counts_model;

void foci_counts_free(foci_counts_model *model);

/* Fills model->posterior from model->stops at model->draws. */
bool foci_counts_condition(foci_counts_model *model, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Of the season in question at places, from model->posterior. `out`: one number per place. All speak of the true share
 * (0 to 1) of infected units in a stop-sized patch at the place: stop-to-stop variation included, sampling noise of a
 * count not. `threshold`: share (0: chance 1; 1 or more: chance 0), NaN for none. */
bool foci_counts_predict_jointly(const foci_counts_model *model, const foci_point *places, size_t count,
                                 double threshold, const foci_prediction *out, const foci_execution *how,
                                 foci_error *err) FOCI_MUST_CHECK;

/* Posterior mean and covariance (count x count) of the logit of the share, at the parameter point of the largest
 * weight; variation from stop to stop is not in it. More stops than can be worked jointly are put together into
 * FOCI_COUNTS_JOINT pools, their units added up. */
bool foci_counts_covariance(const foci_counts_model *model, double *mean, double *covariance, const foci_point *places,
                            size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif

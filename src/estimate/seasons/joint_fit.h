/* How much of their pattern the seasons have in common: fit, test and weights. Method and limits: docs/seasons.md. */
#ifndef FOCI_ESTIMATE_JOINT_FIT_H
#define FOCI_ESTIMATE_JOINT_FIT_H

#include "estimate/seasons/joint_mode.h"
#include "estimate/seasons/joint_space.h"
#include "fieldfoci/execution.h"

enum { FOCI_JOINT_RHOS = 11 };

/* 0, 0.1, ..., 0.9, 0.97. */
extern const double foci_joint_rho[FOCI_JOINT_RHOS];

/* Minus the sum of the seasons' log-likelihoods at rho = 0, at a point of the space; scores: less the log of a normal
 * prior of the logs of sigma^2 (about 0.65) and noise^2 (about 0.35), deviation 1. `slope` (space->count numbers) may
 * be NULL. `field`: data->count numbers, as in foci_joint_season_likelihood. */
bool foci_joint_cost(double *cost, double *slope, double *field, const foci_observations *data,
                     const foci_joint_space *space, const double *point, foci_error *err) FOCI_MUST_CHECK;

/* The least cost within the space, from the best of a few starts, to 1e-6 or better: `point`, space->count numbers. */
bool foci_joint_optimise(double *point, double *least, const foci_observations *data, const foci_joint_space *space,
                         const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* What log-likelihoods along rho, from rho = 0 on, say. */
typedef struct {
    double ratio;    /* 2 (largest - that of rho = 0) */
    double p;        /* 0.5 P(chi-squared_1 > ratio); 1 where the largest is at 0 (Self & Liang 1987) */
    double best;     /* rho of the largest */
    double mean_rho; /* by the weights */
} foci_joint_verdict;

/* `weight` (count numbers) sums to 1: half the prior is on the first rho, the rest even on the others. */
foci_joint_verdict foci_joint_judge(double *weight, const double *rho, const double *log_likelihood, size_t count);

/* The least rho of the eleven that has at least this much of the weight at it and below. */
double foci_joint_rho_below(const double weight[FOCI_JOINT_RHOS], double part);

/* The seasons read together. */
typedef struct {
    foci_observations data;
    foci_joint_space space;
    double point[FOCI_JOINT_NUMBERS_MOST]; /* of the space, fitted at rho = 0 and kept */
    foci_parameters parameters;            /* the same */
    foci_joint_verdict verdict;
    double weight[FOCI_JOINT_RHOS];
    foci_joint_mode modes[FOCI_JOINT_RHOS];
} foci_joint;

/* `row_heading`: degrees clockwise from grid north, NaN: the same in all directions. Two seasons or more, else
 * FOCI_BAD_SETTING; errors else as foci_observations_make and foci_joint_space_make. */
bool foci_joint_fit(foci_joint *out, const foci_season_readings *seasons, size_t count, double row_heading,
                    const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* The same of one season too, which tells nothing of rho: all its modes are one. */
bool foci_joint_fit_any(foci_joint *out, const foci_season_readings *seasons, size_t count, double row_heading,
                        const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
void foci_joint_free(foci_joint *joint);

/* ---- a season to come, of which nothing was read yet ---- */

/* The rho nearest to what the seasons say of it; of a single one 0.5 (docs/plan.md). An index of foci_joint_rho. */
size_t foci_joint_rho_to_come(const foci_joint *joint);

/* What the seasons say of its surface at places: mean (count numbers) and covariance (count x count). Its own mean and
 * deviation are taken to be those of the seasons on the average. FOCI_BAD_SETTING for as many seasons as can be read
 * together. */
bool foci_joint_to_come(double *mean, double *covariance, const foci_joint *joint, size_t rho, const foci_point *places,
                        size_t count, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Several seasons read together at given parameters: the surface in season s is a mean plus a Gaussian field, and the
 * fields of any two seasons have the share rho of their variation in common (covariance.h). Counts: the surface is the
 * logit of the infected share, by Laplace's approximation. Scores: readings are the surface plus independent normal
 * noise, exactly. Method and limits: docs/seasons.md. */
#ifndef FOCI_ESTIMATE_JOINT_MODE_H
#define FOCI_ESTIMATE_JOINT_MODE_H

#include "estimate/gaussian/conditional.h"
#include "estimate/gaussian/laplace.h"

/* What the readings say of all fields; owned. */
typedef struct {
    foci_parameters parameters; /* rho below 1 */
    double log_likelihood;      /* counts: Laplace's, without binomial coefficients; scores: exact */
    double *field;              /* its mode at the stops */
    foci_conditional given;     /* the surface elsewhere */
} foci_joint_mode;

/* From the field `start` (NULL: from 0) by the stops of `work`, which is left at the mode. */
bool foci_joint_mode_make(foci_joint_mode *out, foci_latent *work, const foci_parameters *parameters,
                          const double *start, foci_error *err) FOCI_MUST_CHECK;
void foci_joint_mode_free(foci_joint_mode *mode);

/* The same without what is kept: leaves `work` at the mode. */
bool foci_joint_climb(double *log_likelihood, foci_latent *work, const foci_parameters *parameters, const double *start,
                      foci_error *err) FOCI_MUST_CHECK;

/* Places that are asked about, any number of times, and what was said of them last. */
typedef struct {
    const foci_observations *stops; /* borrowed */
    size_t count;
    foci_targets places;
    foci_conditional_room room; /* its arrays lie in the block */
    double *block;              /* owned */
    double *mean;               /* a number for each season, place after place */
    double *covariance;         /* seasons x seasons between the seasons at the place, place after place */
    double *root; /* columns of a number for each stop, season after season and in it place after place: root'root
                     is the covariance of the predictor before any reading (Rasmussen & Williams 2006, Gaussian
                     Processes for Machine Learning, equations 3.21 and 3.24) */
} foci_joint_places;

bool foci_joint_places_make(foci_joint_places *out, const foci_observations *stops, const foci_point *places,
                            size_t count, foci_error *err) FOCI_MUST_CHECK;
void foci_joint_places_free(foci_joint_places *asked);

bool foci_joint_mode_at(foci_joint_places *asked, const foci_joint_mode *mode, foci_error *err) FOCI_MUST_CHECK;

#endif

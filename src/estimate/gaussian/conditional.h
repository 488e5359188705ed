/* A Gaussian field given what is known at some stops: the one kernel of kriging, counts, seasons and the covariance of
 * places. Linear algebra only: who asks brings the covariances k of the stops with each place, and f, the columns of
 * the mean there that are taken out by generalized least squares.
 *
 * With A = L^-1 diag(root), C^-1 = A'A, alpha = C^-1 (z - F b), N N' = F'C^-1 F, Q = C^-1 F N^-T:
 *
 *   mean = f'b + alpha'k        variance = k** - |A k|^2 + |N^-1 f - Q'k|^2
 *
 * Rasmussen & Williams 2006, Gaussian Processes for Machine Learning, equations 2.42, 3.21 and 3.24. */
#ifndef FOCI_ESTIMATE_CONDITIONAL_H
#define FOCI_ESTIMATE_CONDITIONAL_H

#include "estimate/gaussian/covariance.h"

/* What the field is conditioned on; borrowed. L L' = I + root K root (latent fields), or the covariance of the readings
 * itself with a root of 1. */
typedef struct {
    size_t count, flat;   /* stops; columns taken out, at most FOCI_COLUMNS_MOST */
    const double *factor; /* L, count x count, lower triangle */
    const double *root;   /* NULL: 1 */
    const double *alpha;
    const double *columns; /* A F, count x flat */
    const double *trend;   /* b */
} foci_conditional_parts;

/* Room is made once, and filled any number of times. */
typedef struct {
    size_t room, count, flat;
    bool inverse;  /* reach is A; else it is L, and A k is solved for */
    double *reach; /* count x count, lower triangle; owned, as the others */
    double *root;  /* where it is not inverse */
    double *pull;  /* alpha and Q side by side, count x (1 + flat) */
    double trend[FOCI_COLUMNS_MOST], normal[FOCI_COLUMNS_MOST * FOCI_COLUMNS_MOST]; /* b; N */
} foci_conditional;

/* Room for so many stops and columns. */
bool foci_conditional_make(foci_conditional *out, size_t stops, size_t flat, foci_error *err) FOCI_MUST_CHECK;
void foci_conditional_free(foci_conditional *given);

/* Takes copies. `few`: so few places will be asked for that A is not worth its price; nor is it made where the
 * condition of L is 1e7 or more. FOCI_NO_FIT where the columns cannot be told apart. */
bool foci_conditional_fill(foci_conditional *given, const foci_conditional_parts *parts, bool few,
                           foci_error *err) FOCI_MUST_CHECK;

/* k <- A k, count x columns. */
void foci_conditional_reach(const foci_conditional *given, double *k, size_t columns);

/* Means; `room` has (1 + 2 flat) x places numbers. `variance`, where it is not NULL, holds the prior variances k** and
 * becomes those given the stops. `k` (stops x places) becomes A k; `f` places x flat, column after column, NULL where
 * flat is 0. Rounding may leave a little below 0, which counts as 0; below -1e-9 of the prior it is FOCI_NO_FIT: the
 * matrix was near singular. */
bool foci_conditional_moments(double *mean, double *variance, const foci_conditional *given, double *k, const double *f,
                              size_t places, double *room, foci_error *err) FOCI_MUST_CHECK;

/* Means, and in place of the prior covariance (places x places) that given the stops. */
bool foci_conditional_joint(double *mean, double *covariance, const foci_conditional *given, double *k, const double *f,
                            size_t places, foci_error *err) FOCI_MUST_CHECK;

/* What foci_conditional_at works in, for up to so many stops, columns and places. */
typedef struct {
    foci_covariance_room with; /* `held` {0} where stops or places are others than before */
    double *k, *rest;
    double *block; /* owned */
} foci_conditional_room;

bool foci_conditional_room_make(foci_conditional_room *out, size_t stops, size_t columns, size_t places,
                                foci_error *err) FOCI_MUST_CHECK;
void foci_conditional_room_free(foci_conditional_room *room);

/* Means and variances (may be NULL) of the surface at places, without noise and what varies from stop to stop. */
bool foci_conditional_at(double *mean, double *variance, const foci_conditional *given, const foci_observations *stops,
                         const foci_parameters *at, const foci_targets *places, foci_conditional_room *room,
                         foci_error *err) FOCI_MUST_CHECK;

/* Means, and covariances (places x places) of the same. */
bool foci_conditional_covariance(double *mean, double *covariance, const foci_conditional *given,
                                 const foci_observations *stops, const foci_parameters *at, const foci_targets *places,
                                 foci_error *err) FOCI_MUST_CHECK;

#endif

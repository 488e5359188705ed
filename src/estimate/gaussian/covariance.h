/* Prior covariances of the surface: among stops, and of stops with places. Between place x in season s and x' in u
 *
 *   sigma_s sigma_u (rho + (1 - rho)[s = u]) R(h / range) + the folded columns' f' V f,   h^2 = along^2 + (stretch
 * across)^2
 */
#ifndef FOCI_ESTIMATE_COVARIANCE_H
#define FOCI_ESTIMATE_COVARIANCE_H

#include "estimate/gaussian/observations.h"
#include "fieldfoci/correlation.h"

typedef struct {
    foci_correlation_family family;
    double range;                        /* practical range along the rows, metres, > 0 */
    double stretch;                      /* range along the rows over the range across them, >= 1 */
    double mean[FOCI_SEASONS_TOGETHER];  /* known part of the surface's mean, a number a season as the next two */
    double sigma[FOCI_SEASONS_TOGETHER]; /* deviation of the field */
    double noise[FOCI_SEASONS_TOGETHER]; /* scores: deviation of a reading from the surface */
    double rho;                          /* share of their variation that two seasons have in common, 0 to 1 */
    double tau;                          /* counts: deviation from stop to stop */
} foci_parameters;

/* Places of one season in the frame of some stops; borrowed. */
typedef struct {
    size_t count;
    const double *along, *across; /* metres */
    size_t season;
    const double *f; /* F of the places: count x columns, column after column; not looked at without columns */
} foci_targets;

/* Numbers that so many places need as `room` below. */
size_t foci_targets_room(const foci_observations *stops, size_t count);

/* Places of a season brought into the frame of the stops; what it holds lies in `room`. */
foci_targets foci_targets_fill(double *room, const foci_observations *stops, const foci_point *places, size_t count,
                               size_t season);

/* Whether distances, or correlations too, are the same at both points. */
bool foci_parameters_same_distances(const foci_parameters *one, const foci_parameters *other);
bool foci_parameters_same_correlations(const foci_parameters *one, const foci_parameters *other);

/* out[i] = distance of `count` places from one. */
void foci_covariance_distances(double *out, const double *along, const double *across, size_t count, double stretch,
                               double from_along, double from_across);

/* out[i] = R at distance[i]; `out` may be `distance`. */
void foci_covariance_correlate(double *out, const double *distance, size_t count, const foci_parameters *at);

/* What R is times, between two seasons. */
double foci_covariance_between(const foci_parameters *at, size_t season, size_t other);

/* Distances and correlations of one list of places with one of stops, each stops x places, and what they hold for: that
 * is worked anew only where it does not hold any longer. {0} but for the two arrays where the places are new. */
typedef struct {
    double *distance, *correlation;
    foci_parameters held;
} foci_covariance_room;

/* K, stops x stops, of the surface at the stops, variation from stop to stop in it. */
void foci_covariance_at(double *k, const foci_observations *stops, const foci_parameters *at,
                        foci_covariance_room *room);

/* k, stops x places, of the surface without what varies from stop to stop. */
void foci_covariance_with(double *k, const foci_observations *stops, const foci_parameters *at,
                          const foci_targets *places, foci_covariance_room *room);

/* Among the places, places x places. */
void foci_covariance_places(double *covariance, const foci_columns *columns, const foci_parameters *at,
                            const foci_targets *places);

/* Prior mean (without flat columns), and variance, of place i; `columns` as the stops'. */
double foci_covariance_offset(const foci_columns *columns, const foci_parameters *at, const foci_targets *places,
                              size_t i);
double foci_covariance_prior(const foci_columns *columns, const foci_parameters *at, const foci_targets *places,
                             size_t i);

#endif

/* The workspace of one parameter point: the stops' covariance and what the approximations leave behind. */
#ifndef FOCI_ESTIMATE_COUNTS_WORK_H
#define FOCI_ESTIMATE_COUNTS_WORK_H

#include "estimate/gaussian/counts_stops.h"
#include "fieldfoci/correlation.h"

/* The intercept's prior on the surface: 0.04 % to 87 % infected hold 95 % of it. */
#define FOCI_COUNTS_CENTRE (-3.0)
#define FOCI_COUNTS_CENTRE_SPREAD 2.5

typedef struct {
    foci_correlation_family family;
    double ratio, range;          /* practical range along the rows, metres; across them range / ratio */
    double sigma, tau;            /* deviation of the field, and from stop to stop, logit scale */
    double centre, centre_spread; /* prior of the intercept of each season: normal, logit scale */
    double shared;                /* share of the field's variance that an earlier season has in common, 0 to 1 */
    double earlier_sigma;         /* deviation of the earlier season's field, logit scale */
} foci_counts_point;

/* Matrices are n x n, vectors n; all lie in one block. */
typedef struct {
    const foci_counts_stops *stops; /* borrowed */
    foci_counts_point point;
    double *block; /* owned */
    double *distance, *correlation, *covariance;
    double *factor;     /* Cholesky factor of B = I + W^1/2 K W^1/2, lower triangle */
    double *inverse;    /* scratch; B^-1 after a correction */
    double *field;      /* f: mode of the latent field, eta = centre + f */
    double *pull;       /* a with f = K a */
    double *weight;     /* W, or the sites' precisions */
    double *root;       /* W^1/2 */
    double *gradient;   /* g = y - n p */
    double *alpha;      /* K^-1 E[f]: the mean at a place is centre + k' alpha */
    double *spread;     /* posterior variance of f at the stops */
    double *scratch[8]; /* vectors for whoever works */
} foci_counts_work;

/* For up to `room` stops. */
bool foci_counts_work_make(foci_counts_work *out, size_t room, foci_error *err) FOCI_MUST_CHECK;
void foci_counts_work_free(foci_counts_work *work);

/* The stops to work on; borrowed until the next call. */
void foci_counts_work_take(foci_counts_work *work, const foci_counts_stops *stops);

/* Fills the covariance at `point`; distances and correlations that still hold are kept. */
void foci_counts_work_at(foci_counts_work *work, const foci_counts_point *point);

/* Whether distances, or correlations too, are the same at both points. */
bool foci_counts_same_distances(const foci_counts_point *one, const foci_counts_point *other);
bool foci_counts_same_correlations(const foci_counts_point *one, const foci_counts_point *other);

/* out[i] = correlation at distance[i]; `out` may be `distance`. */
void foci_counts_correlate(double *out, const double *distance, size_t count, const foci_counts_point *point);

/* out[i] = distance of (u, v) from each stop, v stretched by `ratio`. */
void foci_counts_distances(double *out, const foci_counts_stops *stops, double ratio, double u, double v);

/* covariance = prior covariance of the field and the intercept, without what varies from stop to stop, between all of
 * `stops` and each of `count` places of the season in question; both matrices stops x count. */
void foci_counts_covariances(double *restrict covariance, const double *restrict correlation,
                             const foci_counts_stops *stops, size_t count, const foci_counts_point *point);

/* out = A x, A symmetric with both triangles. */
void foci_counts_multiply(double *restrict out, const double *restrict matrix, const double *restrict x, size_t order);

double foci_counts_dot(const double *a, const double *b, size_t count);

/* Factors B from `root`. */
bool foci_counts_work_factor(foci_counts_work *work, foci_error *err) FOCI_MUST_CHECK;

/* out = (I - W^1/2 B^-1 W^1/2 K) x, which is W^1/2 B^-1 W^-1/2 x: written so nothing cancels, however large the counts.
 * W is above 0. */
void foci_counts_work_reduce(const foci_counts_work *work, double *out, const double *x);

#endif

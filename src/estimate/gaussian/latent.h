/* The workspace of one parameter point: the stops' covariance and what the approximations leave behind. */
#ifndef FOCI_ESTIMATE_LATENT_H
#define FOCI_ESTIMATE_LATENT_H

#include "estimate/gaussian/covariance.h"

/* Matrices are n x n, vectors n; all lie in one block. The surface at the stops is offset + f, f ~ N(0, K). */
typedef struct {
    const foci_observations *stops; /* borrowed */
    foci_parameters at;
    double *block; /* owned */
    foci_covariance_room room;
    double *covariance; /* K */
    double *factor;     /* Cholesky factor of B = I + W^1/2 K W^1/2, lower triangle */
    double *inverse;    /* scratch; B^-1 after a correction */
    double *offset;     /* known mean of the surface */
    double *detail;     /* of each reading: units checked, or its variance */
    double *field;      /* f: its mode */
    double *pull;       /* a with f = K a */
    double *weight;     /* W, or the sites' precisions */
    double *root;       /* W^1/2 */
    double *gradient;   /* of the log-likelihood */
    double *alpha;      /* K^-1 E[f]: the mean at a place is its offset + k' alpha */
    double *spread;     /* posterior variance of f at the stops */
    double *scratch[8]; /* vectors for whoever works */
} foci_latent;

/* For up to `room` stops. */
bool foci_latent_make(foci_latent *out, size_t room, foci_error *err) FOCI_MUST_CHECK;
void foci_latent_free(foci_latent *work);

/* One for each of `threads`; freed by foci_latents_free. NULL where memory fails. */
foci_latent *foci_latents_make(size_t threads, size_t room, foci_error *err) FOCI_MUST_CHECK;
void foci_latents_free(foci_latent *works, size_t threads);

/* The stops to work on; borrowed until the next call. */
void foci_latent_take(foci_latent *work, const foci_observations *stops);

/* Fills covariance, offset and detail at a parameter point; distances and correlations that still hold are kept. */
void foci_latent_at(foci_latent *work, const foci_parameters *at);

/* Factors B from `root`. */
bool foci_latent_factor(foci_latent *work, foci_error *err) FOCI_MUST_CHECK;

/* out = (I - W^1/2 B^-1 W^1/2 K) x, which is W^1/2 B^-1 W^-1/2 x: written so nothing cancels, however large the counts.
 * W is above 0. */
void foci_latent_reduce(const foci_latent *work, double *out, const double *x);

#endif

/* The latent field given some stops' counts, at each parameter point that carries predictions. */
#ifndef FOCI_ESTIMATE_COUNTS_POSTERIOR_H
#define FOCI_ESTIMATE_COUNTS_POSTERIOR_H

#include "estimate/gaussian/propagation.h"

typedef struct {
    foci_parameters point;
    double weight;
    foci_propagate_when propagate;
} foci_counts_draw;

typedef struct {
    foci_observations stops; /* owned */
    size_t draws;
    double *reach; /* n x (n + 1) x draws: (L^-1 W^1/2)' and alpha side by side; the product of their transposes with
                      the covariances k of a place gives what the variance loses (the sum of squares) and the mean */
} foci_counts_posterior;

/* Makes room; takes over `stops`. */
bool foci_counts_posterior_make(foci_counts_posterior *out, foci_observations *stops, size_t draws,
                                foci_error *err) FOCI_MUST_CHECK;
void foci_counts_posterior_free(foci_counts_posterior *posterior);

/* Fills one draw. */
bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                foci_latent *work, foci_error *err) FOCI_MUST_CHECK;

enum { FOCI_COUNTS_TILE = 128 };

/* Numbers that foci_counts_posterior_at needs as `room`. */
size_t foci_counts_posterior_room(size_t stops);

/* Mean and deviation of the logit at up to FOCI_COUNTS_TILE places, draws x count: those of one place stand together.
 * `draws` in ascending order of stretch, family and range is fastest. */
void foci_counts_posterior_at(double *mean, double *deviation, const foci_counts_posterior *posterior,
                              const foci_counts_draw *draws, const foci_targets *places, double *room);

#endif

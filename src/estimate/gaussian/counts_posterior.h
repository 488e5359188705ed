/* The latent field given some stops' counts, at each parameter point that carries predictions. */
#ifndef FOCI_ESTIMATE_COUNTS_POSTERIOR_H
#define FOCI_ESTIMATE_COUNTS_POSTERIOR_H

#include "estimate/gaussian/counts_work.h"

typedef struct {
    foci_counts_point point;
    double weight;
    bool propagate; /* by expectation propagation even where the correction is within its limit */
} foci_counts_draw;

typedef struct {
    double laplace, log_z; /* log marginal, binomial coefficients included: Laplace's, and the one to use */
    double shift;          /* see foci_counts_correction */
    bool propagated;
} foci_counts_approximation;

/* The best approximation at the point where `work` stands: corrected Laplace, or expectation propagation where the
 * correction is past its limit or `propagate` says so (unless `plain`). Starts from work->field; leaves root, factor
 * and alpha. */
bool foci_counts_approximate(foci_counts_work *work, bool propagate, bool plain, foci_counts_approximation *out,
                             foci_error *err) FOCI_MUST_CHECK;

typedef struct {
    foci_counts_stops stops; /* owned */
    size_t draws;
    double *reach; /* n x (n + 1) x draws: (L^-1 W^1/2)' and alpha side by side; the product of their transposes with
                      the covariances k of a place gives what the variance loses (the sum of squares) and the mean */
} foci_counts_posterior;

/* Makes room; takes over `stops`. */
bool foci_counts_posterior_make(foci_counts_posterior *out, foci_counts_stops *stops, size_t draws,
                                foci_error *err) FOCI_MUST_CHECK;
void foci_counts_posterior_free(foci_counts_posterior *posterior);

/* Fills one draw. */
bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                bool plain, foci_counts_work *work, foci_error *err) FOCI_MUST_CHECK;

enum { FOCI_COUNTS_TILE = 128 };

/* Numbers that foci_counts_posterior_at needs as `room`. */
size_t foci_counts_posterior_room(size_t stops);

/* Mean and deviation of the logit at `count` <= FOCI_COUNTS_TILE places of the plane, draws x count: those of one place
 * stand together. `draws` in ascending order of ratio, family and range is fastest. */
void foci_counts_posterior_at(double *mean, double *deviation, const foci_counts_posterior *posterior,
                              const foci_counts_draw *draws, const double *u, const double *v, size_t count,
                              double *room);

#endif

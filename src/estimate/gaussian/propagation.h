/* Expectation propagation of the latent field at one parameter point: for where the correction of Laplace's
 * approximation is past its limit, and for leaving stops out; and which of the two is used. */
#ifndef FOCI_ESTIMATE_PROPAGATION_H
#define FOCI_ESTIMATE_PROPAGATION_H

#include "estimate/gaussian/laplace.h"

/* What is known of the latent field at one stop from all the others, and how likely that makes its reading. */
typedef struct {
    double mean, variance; /* of f */
    double log_z;          /* log probability of the reading, without its constant */
    double tilted_mean, tilted_variance;
} foci_cavity;

/* A reading where the surface is offset + f. */
typedef struct {
    const foci_response *response;
    double reading, detail, offset;
} foci_reading_at;

/* log Z, mean and variance of likelihood(offset + f) N(f; mean, variance), by Gauss-Hermite quadrature around the mode.
 * In: mean and variance; out: the rest. */
void foci_propagation_tilt(foci_cavity *cavity, const foci_reading_at *of);

typedef struct {
    double log_z; /* of the marginal, constants of the readings included */
    int sweeps;
    bool settled; /* false: nothing of it must be used, and `work` has lost its mode */
} foci_propagation;

/* Starts from the mode that stands in `work` (foci_laplace_mode) and leaves weight (site precisions), root, factor,
 * spread and alpha as they are at the end. All sites at once, damped where the change grows (Minka 2001, Proc. UAI
 * 17:362; Rasmussen & Williams 2006, section 3.6). `cavities`, one per stop, may be NULL. */
foci_propagation foci_propagate(foci_latent *work, foci_cavity *cavities);

/* BEYOND_LIMIT: where the correction moves a mean by more than one posterior deviation. */
typedef enum { FOCI_PROPAGATE_BEYOND_LIMIT, FOCI_PROPAGATE_NEVER, FOCI_PROPAGATE_ALWAYS } foci_propagate_when;

typedef struct {
    double laplace, log_z; /* log marginal, constants of the readings included: Laplace's, and the one to use */
    double shift;          /* see foci_correction */
    bool propagated;
} foci_approximation;

/* The best approximation at the point where `work` stands: corrected Laplace, or expectation propagation where `when`
 * says so and it settles. Starts from work->field; leaves root, factor and alpha. */
bool foci_approximate(foci_latent *work, foci_propagate_when when, foci_approximation *out,
                      foci_error *err) FOCI_MUST_CHECK;

#endif

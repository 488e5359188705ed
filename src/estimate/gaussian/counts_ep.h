/* Expectation propagation of the latent field at one parameter point: for where the correction of Laplace's
 * approximation is past its limit, and for leaving stops out. */
#ifndef FOCI_ESTIMATE_COUNTS_EP_H
#define FOCI_ESTIMATE_COUNTS_EP_H

#include "estimate/gaussian/counts_work.h"

/* What is known of the latent field at one stop from all the others, and how likely that makes its count. */
typedef struct {
    double mean, variance; /* of f */
    double log_z;          /* log probability of the count, without the binomial coefficient */
    double tilted_mean, tilted_variance;
} foci_counts_cavity;

/* log Z, mean and variance of Bin(hits | checked, expit(centre + f)) N(f; mean, variance), by Gauss-Hermite
 * quadrature around the mode. In: mean and variance; out: the rest. */
void foci_counts_tilt(foci_counts_cavity *cavity, double hits, double checked, double centre);

typedef struct {
    double log_z; /* of the marginal, binomial coefficients included */
    int sweeps;
    bool settled; /* false: nothing of it must be used, and `work` has lost its mode */
} foci_counts_ep;

/* Starts from the mode that stands in `work` (foci_counts_mode) and leaves weight (site precisions), root, factor,
 * spread and alpha as they are at the end. All sites at once, damped where the change grows (Minka 2001, Proc. UAI
 * 17:362; Rasmussen & Williams 2006, section 3.6). `cavities`, one per stop, may be NULL. */
foci_counts_ep foci_counts_ep_run(foci_counts_work *work, foci_counts_cavity *cavities);

#endif

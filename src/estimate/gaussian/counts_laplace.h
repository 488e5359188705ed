/* Laplace's approximation of the latent field at one parameter point, with a third-order correction. */
#ifndef FOCI_ESTIMATE_COUNTS_LAPLACE_H
#define FOCI_ESTIMATE_COUNTS_LAPLACE_H

#include "estimate/gaussian/counts_work.h"

/* Where to start: what each stop says by itself, which is near the mode however large the counts. Newton's method from
 * far away would step where the likelihood is flat. work->point is set. */
void foci_counts_start(foci_counts_work *work);

/* Goes from work->field to the mode by Newton's method (Rasmussen & Williams 2006, Gaussian Processes for Machine
 * Learning, algorithm 3.1) and leaves field, pull, gradient, weight, root and factor as they are there, alpha = pull.
 * `log_z` is the log of Laplace's marginal, binomial coefficients included. */
bool foci_counts_mode(foci_counts_work *work, double *log_z, foci_error *err) FOCI_MUST_CHECK;

typedef struct {
    double log_z; /* to be added to the log of Laplace's marginal, held within -5 and 5 */
    double shift; /* largest shift of the mean against the mode, in posterior deviations of the stop */
} foci_counts_correction;

/* The first terms that Laplace's approximation leaves out (Shun & McCullagh 1995, J. R. Stat. Soc. B 57:749), at the
 * mode that stands in `work`. Leaves alpha, spread and inverse; scratch[0] holds the shift's force (half of third
 * derivative times variance). */
bool foci_counts_correct(foci_counts_work *work, foci_counts_correction *out, foci_error *err) FOCI_MUST_CHECK;

/* log(1 + exp(x)). */
double foci_counts_softplus(double x);

#endif

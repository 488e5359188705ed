/* Laplace's approximation of the latent field at one parameter point, with a third-order correction. */
#ifndef FOCI_ESTIMATE_LAPLACE_H
#define FOCI_ESTIMATE_LAPLACE_H

#include "estimate/gaussian/latent.h"

/* What differs with reason between those who ask (docs/gaussian.md). */
typedef struct {
    double last_step;  /* Newton's method has arrived where the field changes by no more */
    bool exact_factor; /* the factor is of the mode itself, not of the field before the last step */
} foci_laplace_rules;

/* Counts integrate over parameters and correct; seasons compared are plain, and search their parameters by slopes. */
extern const foci_laplace_rules foci_laplace_of_counts, foci_laplace_of_seasons;

/* Where to start: what each stop says by itself, which is near the mode however large the counts. Newton's method from
 * far away would step where the likelihood is flat. */
void foci_laplace_start(foci_latent *work);

/* Goes from work->field to the mode by Newton's method (Rasmussen & Williams 2006, Gaussian Processes for Machine
 * Learning, algorithm 3.1) and leaves field, pull, gradient, weight, root and factor as they are there, alpha = pull.
 * `log_z` is the log of Laplace's marginal, constants of the readings included; exact for the normal response.
 * FOCI_NO_FIT where the method does not arrive. */
bool foci_laplace_mode(foci_latent *work, const foci_laplace_rules *rules, double *log_z,
                       foci_error *err) FOCI_MUST_CHECK;

typedef struct {
    double log_z; /* to be added to the log of Laplace's marginal, held within -5 and 5 */
    double shift; /* largest shift of the mean against the mode, in posterior deviations of the stop */
} foci_correction;

/* The first terms that Laplace's approximation leaves out (Shun & McCullagh 1995, J. R. Stat. Soc. B 57:749), at the
 * mode that stands in `work`. Leaves alpha, spread and inverse; scratch[0] holds the shift's force (half of third
 * derivative times variance). */
bool foci_laplace_correct(foci_latent *work, foci_correction *out, foci_error *err) FOCI_MUST_CHECK;

#endif

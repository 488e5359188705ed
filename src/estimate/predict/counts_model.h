/* The counts surface: model-based binomial kriging. Infected of checked units at each stop are binomial; the logit of
 * their true share is a constant plus a Gaussian field, plus variation from stop to stop where the data ask for it. The
 * field's parameters are integrated over, not fitted. Method, priors, limits and sources: docs/counts.md. */
#ifndef FOCI_ESTIMATE_COUNTS_MODEL_H
#define FOCI_ESTIMATE_COUNTS_MODEL_H

#include "estimate/predict/counts_leave_one_out.h"

typedef struct {
    double row_heading; /* degrees clockwise from grid north of the work system; NaN: isotropic */
    double spacing;     /* d = sqrt(field area / stops), metres, > 0 */
    foci_stop_variation stop_variation;
    size_t draws; /* from the parameters' posterior, at most FOCI_COUNTS_DRAWS; 0: as docs/counts.md says */
    bool plain;   /* the grid is not extended, and expectation propagation is not used: for comparisons */
    const foci_readings *earlier; /* counts of an earlier season of the field, read together with these; NULL: none */
} foci_counts_options;

/* With an earlier season both share the parameters, each has its own intercept, and the field of one has a share of its
 * variance in common with the other's; the share is integrated over. All answers are for the season of `places`.
 * Errors: FOCI_BAD_INPUT (row = 1-based stop) for impossible counts or no stops; FOCI_NO_FIT where the spacing is not
 * known, no parameters give a stable estimate, or the stops of two seasons are more than FOCI_COUNTS_JOINT. */
bool foci_counts_fit(foci_counts_model *out, const foci_point *places, const double *hits, const double *checked,
                     size_t count, const foci_counts_options *options, const foci_execution *how,
                     foci_error *err) FOCI_MUST_CHECK;

/* foci_counts_predict_jointly, and foci_counts_leave_one_out_jointly for all stops: by windows above FOCI_COUNTS_JOINT.
 */
bool foci_counts_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                         const foci_prediction *out, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;
bool foci_counts_leave_one_out(const foci_counts_model *model, const foci_counts_leave_one_out_result *out,
                               const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

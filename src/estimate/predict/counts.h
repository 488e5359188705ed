/* The counts surface: model-based binomial kriging. Infected of checked units at each stop are binomial; the logit of
 * their true share is a constant plus a Gaussian field, plus variation from stop to stop where the data ask for it. The
 * field's parameters are integrated over, not fitted. Method, priors, limits and sources: docs/counts.md. */
#ifndef FOCI_ESTIMATE_COUNTS_H
#define FOCI_ESTIMATE_COUNTS_H

#include "base/parallel.h"
#include "estimate/fit/counts_grid.h"
#include "estimate/gaussian/counts_posterior.h"
#include "estimate/predict/counts_mixture.h"
#include "fieldfoci/surface.h"

typedef struct {
    double row_heading; /* degrees clockwise from grid north of the work system; NaN: isotropic */
    double spacing;     /* d = sqrt(field area / stops), metres, > 0 */
    foci_stop_variation stop_variation;
    size_t draws; /* from the parameters' posterior, at most FOCI_COUNTS_DRAWS; 0: as docs/counts.md says */
    bool plain;   /* the grid is not extended, and expectation propagation is not used: for comparisons */
    const foci_readings *earlier; /* counts of an earlier season of the field, read together with these; NULL: none */
} foci_counts_options;

typedef struct {
    size_t stops;
    double infected, checked; /* units over all stops */
    double log_evidence;      /* log of the sum of prior times marginal likelihood */
    foci_interval range;      /* practical range along the rows (correlation 0.05), metres */
    foci_interval sigma;      /* deviation of the field, logit scale */
    foci_interval ratio;      /* range along over range across the rows; levels of the grid */
    foci_interval tau;        /* deviation from stop to stop, logit scale; levels of the grid; 0 where not used */
    size_t families;
    foci_correlation_family family[FOCI_CORRELATION_FAMILIES];
    double family_share[FOCI_CORRELATION_FAMILIES];
    bool stop_variation;         /* tau is part of the model */
    double stop_variation_ratio; /* evidence of tau > 0 over that of tau = 0; NaN where not asked */
    double no_pattern;           /* weight where the range is below the spacing or sigma at its two lowest levels ... */
    double no_pattern_before;    /* ... and the same under the prior alone */
    double largest_shift;        /* largest correction of a mean among points with a say, posterior deviations */
    double propagated;           /* share of the weight on points worked by expectation propagation */
    bool range_open, sigma_open; /* over 30 % of the weight at the largest level: the scale is not identified */
    size_t draws;                /* different parameter points that carry the predictions */
    size_t fitted_on;            /* stops from which the parameters come; fewer than `stops` above FOCI_COUNTS_JOINT */
    double shared;               /* with an earlier season: mean share of the field's variance that both have ... */
    double shared_none;          /* ... and the weight of its being 0 */
} foci_counts_summary;

enum { FOCI_COUNTS_DRAWS = 256 };

/* Up to so many stops are worked jointly. Above, parameters come from some compact groups of them and predictions from
 * overlapping windows. */
enum { FOCI_COUNTS_JOINT = 600 };

typedef struct {
    foci_counts_options options;
    foci_observations stops; /* those of an earlier season are its second */
    size_t draw_count;
    foci_counts_draw draws[FOCI_COUNTS_DRAWS];
    foci_counts_posterior posterior; /* of all stops; empty above FOCI_COUNTS_JOINT */
    foci_counts_summary summary;
} foci_counts_model;

/* With an earlier season both share the parameters, each has its own intercept, and the field of one has a share of its
 * variance in common with the other's; the share is integrated over. All answers are for the season of `places`.
 * Errors: FOCI_BAD_INPUT (row = 1-based stop) for impossible counts or no stops; FOCI_NO_FIT where the spacing is not
 * known, or the stops of two seasons are more than FOCI_COUNTS_JOINT. */
bool foci_counts_fit(foci_counts_model *out, const foci_point *places, const double *hits, const double *checked,
                     size_t count, const foci_counts_options *options, const foci_execution *how,
                     foci_error *err) FOCI_MUST_CHECK;

void foci_counts_free(foci_counts_model *model);

/* `out`: one number per place. All speak of the true share (0 to 1) of infected units in a stop-sized patch at the
 * place: stop-to-stop variation included, sampling noise of a count not. `threshold`: share (0: chance 1; 1 or more:
 * chance 0), NaN for none. */
bool foci_counts_predict(const foci_counts_model *model, const foci_point *places, size_t count, double threshold,
                         const foci_counts_prediction *out, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* As above with each stop's own count left out, parameters and their weights kept: mean, variance and bounds of its
 * true share, and of its count the log of the predictive probability and the probability transform P(less) + P(same) /
 * 2, which is uniform where the model is right. Arrays of the caller, one number per stop; any may be NULL. */
typedef struct {
    double *mean, *variance, *low, *high, *log_score, *transform;
} foci_counts_left_out_result;

bool foci_counts_left_out(const foci_counts_model *model, const foci_counts_left_out_result *out,
                          const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

/* What the marginal likelihood over the grid leads to: whether stops vary, how far the grid reaches, which points carry
 * the predictions. */
#ifndef FOCI_ESTIMATE_COUNTS_CHOICE_H
#define FOCI_ESTIMATE_COUNTS_CHOICE_H

#include "estimate/fit/counts_search.h"
#include "fieldfoci/surface.h"

typedef struct {
    foci_fit_summary facts; /* of the range along the rows; log_likelihood: the log evidence */
    size_t stops;
    double infected, checked; /* units over all stops */
    size_t families;
    foci_correlation_family family[FOCI_CORRELATION_FAMILIES];
    double family_share[FOCI_CORRELATION_FAMILIES];
    double no_pattern_before; /* facts.no_pattern (range below the spacing, or sigma at its two lowest levels) under the
                                 prior alone */
    double largest_shift;     /* largest correction of a mean among points with a say, posterior deviations */
    double propagated;        /* share of the weight on points worked by expectation propagation */
    bool range_open, sigma_open; /* over 30 % of the weight at the largest level: the scale is not identified */
    double shared_none;          /* with an earlier season: weight of its having nothing in common */
} foci_counts_summary;

/* A parameter point that carries predictions. */
typedef struct {
    foci_parameters point;
    double weight;
    foci_propagate_when propagate;
} foci_counts_draw;

enum { FOCI_COUNTS_DRAWS = 256 };

/* Runs the search over the levels of tau that `wanted` leads to. `ratio`: evidence of tau > 0 over that of tau = 0, NaN
 * where not asked. `weight`: room for a number for each point. The rule: docs/counts.md. */
bool foci_counts_choose_variation(foci_counts_search *search, foci_stop_variation wanted, double *weight, double *ratio,
                                  const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Adds levels of range and sigma above the grid while the weight piles up at its end. `weight`: room for
 * a number for each point. */
bool foci_counts_extend(foci_counts_search *search, double *weight, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

/* Systematic sample of `wanted` <= FOCI_COUNTS_DRAWS points along the snake order; equal ones are put together.
 * `distinct`: how many differ, sorted by stretch, family, range, sigma, tau. */
bool foci_counts_draw_points(foci_counts_draw *draws, size_t *distinct, size_t wanted, const foci_counts_search *search,
                             const double *weight, foci_error *err) FOCI_MUST_CHECK;

/* Fills what the search tells; stops and units are left alone. */
void foci_counts_summarise(foci_counts_summary *summary, const foci_counts_search *search, const double *weight,
                           double spacing);

#endif

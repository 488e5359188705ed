/* What the marginal likelihood over the grid leads to: whether stops vary, how far the grid reaches, which points carry
 * the predictions. */
#ifndef FOCI_ESTIMATE_COUNTS_CHOICE_H
#define FOCI_ESTIMATE_COUNTS_CHOICE_H

#include "estimate/fit/counts_search.h"
#include "estimate/predict/counts.h"

/* Runs the search over the levels of tau that `wanted` leads to. `ratio`: evidence of tau > 0 over that of tau = 0, NaN
 * where not asked. `weight`: room for a number for each point. The rule: docs/counts.md. */
bool foci_counts_choose_variation(foci_counts_search *search, foci_stop_variation wanted, double *weight, double *ratio,
                                  const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Adds levels of range and sigma above the grid while the weight piles up at its end. `weight`: room for
 * a number for each point. */
bool foci_counts_extend(foci_counts_search *search, double *weight, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

/* Systematic sample of `wanted` <= FOCI_COUNTS_DRAWS points along the snake order; equal ones are put together.
 * `distinct`: how many differ, sorted by ratio, family, range, sigma, tau. */
bool foci_counts_draw_points(foci_counts_draw *draws, size_t *distinct, size_t wanted, const foci_counts_search *search,
                             const double *weight, foci_error *err) FOCI_MUST_CHECK;

/* Fills what the search tells; stops, units, draws and fitted_on are left alone. */
void foci_counts_summarise(foci_counts_summary *summary, const foci_counts_search *search, const double *weight,
                           double spacing);

#endif

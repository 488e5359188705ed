/* The likelihood of scores over a grid of covariances of sill 1, with weak priors.
 *
 * Levels and priors are in units of the stops' spacing d = sqrt(field area / stops). The practical range R has density
 * proportional to R^-2 exp(-rate / R) with P(R < 40/53 d) = 5 % (Fuglstad et al. 2019, Journal of the American
 * Statistical Association 114:445-452); the nugget's share of the sill is uniform on 0 to 1; the ratio is 1 with
 * chance 1/3, else lognormal around 1/2 with spread 0.6; models are alike. */
#ifndef FOCI_ESTIMATE_SCORE_SEARCH_H
#define FOCI_ESTIMATE_SCORE_SEARCH_H

#include "base/parallel.h"
#include "estimate/fit/levels.h"
#include "estimate/gaussian/exact.h"
#include "estimate/variogram/covariance_shape.h"

typedef struct {
    foci_levels levels; /* the rest is the nugget's share; drawn with it outermost, then range, stretch, family */
    double heading;     /* degrees */
    double largest;     /* distance between stops, metres: the diagonal of their box */
    double spacing;
} foci_score_grid;

/* `kind` NULL: those tried by default; `smoothness` 0: the kind's own. `heading` NaN: isotropic. `spacing` not above 0:
 * that of the stops' box. */
foci_score_grid foci_score_grid_make(const foci_point *places, size_t count, const foci_correlation *kind,
                                     double smoothness, double heading, double spacing);

foci_covariance_shape foci_score_grid_shape(const foci_score_grid *grid, size_t point);

/* The likelihood at each point, columns x points: those of one point stand together. */
bool foci_score_grid_run(foci_likelihood_value *values, const foci_score_grid *grid, const foci_likelihood *likelihood,
                         const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Weights summing to 1 of all points, proportional to prior x likelihood of one-column `values`. FOCI_NO_FIT where no
 * point has a likelihood. */
bool foci_score_grid_weigh(double *weights, const foci_score_grid *grid, const foci_likelihood_value *values,
                           foci_error *err) FOCI_MUST_CHECK;

/* What was found over a grid; borrowed. */
typedef struct {
    const foci_score_grid *grid;
    const foci_likelihood *likelihood;
    const foci_likelihood_value *values; /* one column */
    double rho;                          /* share that seasons have in common, where it is searched further */
} foci_score_search;

#endif

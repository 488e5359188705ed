/* The shapes of covariance over which the likelihood is evaluated, their weak priors, and the few that stand for all.
 *
 * Ranges and priors are in units of the stops' spacing d = sqrt(field area / stops). The practical range R has density
 * proportional to R^-2 exp(-rate / R) with P(R < 40/53 d) = 5 % (Fuglstad et al. 2019, Journal of the American
 * Statistical Association 114:445-452); the nugget's share of the sill is uniform on 0 to 1; the ratio is 1 with
 * chance 1/3, else lognormal around 1/2 with spread 0.6; models are alike. */
#ifndef FOCI_ESTIMATE_LIKELIHOOD_GRID_H
#define FOCI_ESTIMATE_LIKELIHOOD_GRID_H

#include "base/parallel.h"
#include "estimate/gaussian/exact.h"
#include "estimate/variogram/covariance_shape.h"

enum { FOCI_LIKELIHOOD_RATIOS = 5, FOCI_LIKELIHOOD_RANGES = 14, FOCI_LIKELIHOOD_SHARES = 12 };

typedef struct {
    size_t families, ratios, ranges;
    foci_correlation_family family[FOCI_CORRELATION_FAMILIES];
    double ratio[FOCI_LIKELIHOOD_RATIOS], ratio_prior[FOCI_LIKELIHOOD_RATIOS];
    double range[FOCI_LIKELIHOOD_RANGES], range_prior[FOCI_LIKELIHOOD_RANGES]; /* practical range, metres */
    double heading;                                                            /* degrees */
    double largest; /* distance between stops, metres: the diagonal of their box */
    double spacing;
} foci_likelihood_grid;

/* The shares of the nugget in the sill, and their prior. */
extern const double foci_likelihood_share[FOCI_LIKELIHOOD_SHARES], foci_likelihood_share_prior[FOCI_LIKELIHOOD_SHARES];

/* `kind` NULL: those tried by default; `smoothness` 0: the kind's own. `heading` NaN: isotropic. `spacing` not above 0:
 * that of the stops' box. */
foci_likelihood_grid foci_likelihood_grid_make(const foci_point *places, size_t count, const foci_correlation *kind,
                                               double smoothness, double heading, double spacing);

/* Points are counted family, ratio, range, share, the last one fastest. */
typedef struct {
    size_t family, ratio, range, share;
} foci_likelihood_index;

size_t foci_likelihood_grid_count(const foci_likelihood_grid *grid);
foci_likelihood_index foci_likelihood_grid_index(const foci_likelihood_grid *grid, size_t point);

foci_covariance_shape foci_likelihood_grid_shape(const foci_likelihood_grid *grid, size_t point);
double foci_likelihood_grid_log_prior(const foci_likelihood_grid *grid, size_t point);

/* columns x points: those of one point stand together. */
bool foci_likelihood_grid_run(foci_likelihood_value *values, const foci_likelihood_grid *grid,
                              const foci_likelihood *likelihood, const foci_execution *how,
                              foci_error *err) FOCI_MUST_CHECK;

/* Weights summing to 1 of all points, proportional to prior x likelihood of one-column `values`. FOCI_NO_FIT where no
 * point has a likelihood. */
bool foci_likelihood_grid_weigh(double *weights, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                                foci_error *err) FOCI_MUST_CHECK;

typedef struct {
    size_t point;
    double weight;
} foci_likelihood_draw;

/* Systematic draws from `weights`, at (j + 1/2) / draws along a path through the grid that turns back at its edges
 * (share outermost, then range, ratio, family), so that neighbours on the path are alike. Returns how many distinct
 * points `out` (room for `draws`) has; their weights sum to 1. */
bool foci_likelihood_grid_draw(foci_likelihood_draw *out, size_t *distinct, size_t draws,
                               const foci_likelihood_grid *grid, const double *weights,
                               foci_error *err) FOCI_MUST_CHECK;

#endif

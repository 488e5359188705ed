/* Covariances of scores that carry predictions: from a given variogram, from the semivariances, or drawn by likelihood.
 */
#ifndef FOCI_ESTIMATE_SCORE_DRAWS_H
#define FOCI_ESTIMATE_SCORE_DRAWS_H

#include "estimate/fit/box_cox.h"
#include "estimate/fit/score_seasons.h"
#include "fieldfoci/surface.h"

/* One row of the catalogue of fits. */
struct foci_fit_method {
    const char *name;  /* "restricted-likelihood" */
    const char *title; /* in words */
    bool restricted;   /* likelihood of what the trend leaves */
    bool by_squares;   /* weighted squares of the semivariances: one model, its parameters taken as known */
};

/* Ends with a row of zeros; the first row is the default. */
extern const foci_fit_method foci_fit_methods[];

/* Stops from which parameters are taken: all up to 400, above that every n-th in their order, 400 in all. Owned copies
 * of places and values. */
bool foci_score_sample(foci_readings *out, const foci_readings *readings, foci_error *err) FOCI_MUST_CHECK;
void foci_score_sample_free(foci_readings *sample);

typedef struct {
    size_t count;
    struct {
        foci_covariance_shape shape;
        double sill, weight, rho;
    } draw[FOCI_SCORE_DRAWS]; /* those with the same distances stand together; weights sum to 1 */
    double widen;             /* factor of the variance: sills are estimated */
    double freedom;           /* stops less functions of the trend where the sills come from all stops, else 0 */
    double scale;             /* brings the earlier season's readings to the sill of the other */
} foci_score_draws;

/* From readings on the scale of kriging; `earlier`: of an earlier season, or NULL. Of the facts the scale is not
 * filled.
 */
bool foci_score_draws_make(foci_score_draws *out, foci_fit_summary *facts, const foci_readings *readings,
                           const foci_readings *earlier, const foci_surface_options *options, bool headings,
                           const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Scores of an earlier season read together with those of the season in question. */
#ifndef FOCI_ESTIMATE_SCORE_SEASONS_H
#define FOCI_ESTIMATE_SCORE_SEASONS_H

#include "estimate/fit/score_search.h"
#include "estimate/fit/ties.h"

enum { FOCI_SCORE_TIES = 5, FOCI_SCORE_DRAWS = 12 };

/* How much of the partial sill the seasons may have in common; half of the prior says nothing. The first: nothing. */
extern const foci_tie foci_score_ties[FOCI_SCORE_TIES];

/* Both seasons with one sill: at the likeliest point of the grid under independence `*scale` brings the earlier season
 * (`seasons` 1), as it is in `out`, to the sill of the other. `values`, of `own` over the grid, become those of both
 * seasons, as independent. FOCI_NO_FIT where all earlier readings are equal. */
bool foci_score_seasons_join(foci_observations *out, double *scale, foci_likelihood_value *values,
                             const foci_score_grid *grid, const foci_likelihood *own,
                             const foci_season_readings seasons[2], const foci_execution *how,
                             foci_error *err) FOCI_MUST_CHECK;

/* A point of the grid that carries predictions. */
typedef struct {
    size_t point;
    double weight, sill, rho;
} foci_score_draw;

/* Spreads the weight of draws of independent seasons over the ties, in proportion to prior x likelihood over the
 * likelihood at 0, and takes `wanted` systematic draws of what comes out, at most FOCI_SCORE_DRAWS; sills are set anew.
 * `*mean`: of the share. */
bool foci_score_seasons_spread(foci_score_draw draws[FOCI_SCORE_DRAWS], size_t *count, size_t wanted, double *mean,
                               const foci_score_grid *grid, const foci_likelihood *both,
                               foci_error *err) FOCI_MUST_CHECK;

#endif

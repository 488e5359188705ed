/* The marginal likelihood over the parameter grid: all points in parallel, each from its neighbour's mode. */
#ifndef FOCI_ESTIMATE_COUNTS_SEARCH_H
#define FOCI_ESTIMATE_COUNTS_SEARCH_H

#include "estimate/fit/levels.h"
#include "estimate/gaussian/propagation.h"
#include "fieldfoci/execution.h"

/* The intercept's prior on the surface: 0.04 % to 87 % infected hold 95 % of it. Each season has its own. */
#define FOCI_COUNTS_CENTRE (-3.0)
#define FOCI_COUNTS_CENTRE_SPREAD 2.5

foci_columns foci_counts_columns(size_t seasons);

enum {
    FOCI_COUNTS_LEVELS = 8, /* of range and of sigma, before the grid is extended */
    FOCI_COUNTS_EXTRA = 4,  /* levels that may be added above each */
    FOCI_COUNTS_MOST = FOCI_COUNTS_LEVELS + FOCI_COUNTS_EXTRA,
    FOCI_COUNTS_TAUS = 4,
    FOCI_COUNTS_POINTS = FOCI_STRETCHES * FOCI_COUNTS_MOST * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS /* of a family */
};

/* The grid of the counts surface: families that counts try; deviation sigma of the field on the logit scale; tau, of
 * the variation from stop to stop, from 0, one level in use. Priors and levels: docs/counts.md. */
foci_levels foci_counts_levels(double spacing, bool along_rows);

typedef enum { FOCI_COUNTS_UNSEEN, FOCI_COUNTS_WANTED, FOCI_COUNTS_SEEN, FOCI_COUNTS_REFINED } foci_counts_stage;

/* One grid point, summed over the groups of stops. */
typedef struct {
    foci_counts_stage stage;
    foci_approximation found; /* log_z is Laplace's until refined */
} foci_counts_evaluation;

typedef struct {
    const foci_observations *groups; /* borrowed; each is taken as independent of the others */
    size_t group_count, stops;       /* stops over all groups */
    bool plain;
    foci_levels levels;
    foci_counts_evaluation *points; /* all of the grid; owned */
    double *modes;                  /* stops x all of the grid; owned */
    size_t threads;
    foci_latent *works; /* one per thread, for the largest group; owned */
} foci_counts_search;

bool foci_counts_search_make(foci_counts_search *out, const foci_levels *levels, const foci_observations *groups,
                             size_t group_count, bool plain, const foci_execution *how,
                             foci_error *err) FOCI_MUST_CHECK;
void foci_counts_search_free(foci_counts_search *search);

foci_parameters foci_counts_search_point(const foci_counts_search *search, foci_level_index index);

/* Marks the points in use that were not seen yet. */
void foci_counts_search_want(foci_counts_search *search);

/* Laplace's marginal at all wanted points, then the better approximation at those in use that are not hopeless: log
 * prior + log Z within 14 of the best. Where no approximation is found a point has no weight; FOCI_NO_FIT where none
 * has. */
bool foci_counts_search_run(foci_counts_search *search, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Weight of each point in use (0 elsewhere), a number for each of the grid, that sum to 1; returns the log evidence. */
double foci_counts_search_weights(const foci_counts_search *search, double *weight);

#endif

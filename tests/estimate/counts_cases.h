/* Twelve stops that the tests of the counts surface share: u, v, infected, checked. Their results were found beforehand
 * by a program in another language; they are printed with nine decimals where they are used. */
#ifndef FOCI_TESTS_COUNTS_CASES_H
#define FOCI_TESTS_COUNTS_CASES_H

#include "estimate/predict/counts_model.h"
#include "support/support.h"

enum { CASE_STOPS = 12, CASE_PLACES = 3 };

static const double case_u[CASE_STOPS] = {0, 60, 120, 180, 10, 70, 130, 190, 5, 65, 125, 185};
static const double case_v[CASE_STOPS] = {0, 10, -5, 5, 50, 60, 55, 45, 110, 100, 115, 105};
static const double case_hits[CASE_STOPS] = {0, 1, 4, 2, 0, 3, 9, 5, 1, 0, 2, 1};
static const double case_checked[CASE_STOPS] = {30, 30, 30, 30, 25, 30, 30, 30, 30, 40, 30, 30};
static const double case_place_u[CASE_PLACES] = {100, 20, 250};
static const double case_place_v[CASE_PLACES] = {40, 80, 150};

/* In the work system with rows along grid north, so that u is north and v is east. */
static inline void case_fill(foci_point stops[CASE_STOPS], foci_point places[CASE_PLACES]) {
    for (size_t i = 0; i < CASE_STOPS; i++)
        stops[i] = (foci_point){case_v[i], case_u[i]};
    for (size_t i = 0; i < CASE_PLACES; i++)
        places[i] = (foci_point){case_place_v[i], case_place_u[i]};
}

/* Counts of one season in rows along grid north, as they are, not centred. */
static inline foci_observations case_observed(const foci_point *places, const double *hits, const double *checked,
                                              size_t count) {
    const foci_frame north = {{0, 0}, 0, 1};
    const foci_season_readings season = {places, hits, checked, count};
    const foci_columns columns = foci_counts_columns(1);
    foci_observations made = {0};
    foci_error err = {0};
    assert_done(foci_observations_make_in(&made, &north, foci_response_binomial, &season, 1, &columns, &err), err);
    return made;
}

static inline foci_observations case_stops(void) {
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    case_fill(stops, places);
    return case_observed(stops, case_hits, case_checked, CASE_STOPS);
}

/* Places in the frame of some stops; `f` has room for the columns of two seasons. */
static inline foci_targets case_targets(double *f, const foci_observations *stops, const double *u, const double *v,
                                        size_t count) {
    foci_columns_fill(f, count, &stops->columns, 0, u, v, count);
    return (foci_targets){count, u, v, 0, f};
}

enum { CASE_FAMILIES = 2 };

static inline foci_parameters case_point(size_t family) {
    return (foci_parameters){
        .family = support_family(family == 0 ? "exponential" : "matern"), .stretch = 2, .range = 120, .sigma = {1}};
}

/* The surface given the stops at each of the draws. */
static inline foci_counts_posterior case_posterior(const foci_observations *stops, const foci_counts_draw *draws,
                                                   size_t count) {
    foci_counts_posterior posterior = {0};
    foci_latent work = {0};
    foci_error err = {0};
    assert_done(foci_latent_make(&work, stops->count, &err), err);
    foci_latent_take(&work, stops);
    assert_done(foci_counts_posterior_make(&posterior, stops->count, count, &err), err);
    for (size_t d = 0; d < count; d++)
        assert_done(foci_counts_posterior_fill(&posterior, d, &draws[d], &work, &err), err);
    foci_latent_free(&work);
    return posterior;
}

/* Mean and deviation, draws x places. */
static inline void case_ask(double *mean, double *deviation, const foci_counts_posterior *posterior,
                            const foci_observations *stops, const foci_counts_draw *draws, const foci_targets *places) {
    foci_error err = {0};
    assert_done(foci_counts_posterior_at(mean, deviation, posterior, stops, draws, places, &err), err);
}

/* Place `i` of a lattice with `columns` columns. */
static inline foci_point case_lattice(size_t i, size_t columns, double step_x, double step_y) {
    size_t row = i / columns;
    return (foci_point){step_x * (double)(i % columns), step_y * (double)row};
}

#endif

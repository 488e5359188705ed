/* Twelve stops that the tests of the counts surface share: u, v, infected, checked. Their results were found beforehand
 * by a program in another language; they are printed with nine decimals where they are used. */
#ifndef FOCI_TESTS_COUNTS_CASES_H
#define FOCI_TESTS_COUNTS_CASES_H

#include "estimate/predict/counts.h"
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

/* The stops as they are, not centred. */
static inline foci_counts_stops case_stops(void) {
    foci_error err = {0};
    foci_point stops[CASE_STOPS], places[CASE_PLACES];
    foci_frame frame = {{0, 0}, 0, 1};
    foci_counts_stops made = {0};
    case_fill(stops, places);
    assert_done(foci_counts_stops_make(&made, &frame, stops, case_hits, case_checked, CASE_STOPS, &err), err);
    return made;
}

enum { CASE_FAMILIES = 2 };

static inline foci_counts_point case_point(size_t family) {
    return (foci_counts_point){.family = support_family(family == 0 ? "exponential" : "matern"),
                               .ratio = 2,
                               .range = 120,
                               .sigma = 1,
                               .centre = FOCI_COUNTS_CENTRE,
                               .centre_spread = FOCI_COUNTS_CENTRE_SPREAD};
}

/* Place `i` of a lattice with `columns` columns. */
static inline foci_point case_lattice(size_t i, size_t columns, double step_x, double step_y) {
    size_t row = i / columns;
    return (foci_point){step_x * (double)(i % columns), step_y * (double)row};
}

#endif

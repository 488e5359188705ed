/* Seasons to read together: three stops with known answers, and fields of round foci. */
#ifndef FOCI_TESTS_JOINT_CASES_H
#define FOCI_TESTS_JOINT_CASES_H

#include "support/support.h"

#include "base/random.h"
#include "estimate/joint_asked.h"
#include "estimate/seasons/joint_fit.h"

/* Two seasons of three stops, correlation exp(-h / 30 m). */
static const foci_point first_places[] = {{0, 0}, {30, 0}, {0, 60}}, second_places[] = {{10, 10}, {40, 20}, {10, 50}};
static const double first_hits[] = {4, 1, 0}, first_checked[] = {10, 10, 20}, second_hits[] = {3, 2, 1},
                    second_checked[] = {12, 12, 12};
static const foci_season_readings small[] = {{first_places, first_hits, first_checked, 3},
                                             {second_places, second_hits, second_checked, 3}};

static inline foci_parameters small_parameters(double rho) {
    const foci_correlation_family family = support_family("exponential");
    return (foci_parameters){.family = family,
                             .range = 30 * family.practical,
                             .stretch = 1,
                             .mean = {-2, -1.8},
                             .sigma = {1, sqrt(0.8)},
                             .rho = rho};
}

enum { SIDE = 6, STOPS = SIDE * SIDE };

typedef struct {
    foci_point places[3][STOPS];
    double readings[3][STOPS], checked[3][STOPS];
    foci_season_readings seasons[3];
} field;

/* Two round foci in the first season; the second and third have them at the same places, or mirrored to the far side.
 * Counts of 20, or scores with noise. */
static inline void fill_field(field *f, bool same_places, bool scores) {
    foci_random draws = foci_random_stream(3, 14);
    for (int s = 0; s < 3; s++) {
        for (int i = 0; i < STOPS; i++) {
            double x = 22.5 * (i % SIDE) + 7 * s, y = 22.5 * (int)(i / SIDE) + 3 * s, noise = 0;
            double seen = s > 0 && !same_places ? 112.5 - x : x;
            double near_one = hypot(seen - 25, y - 30), near_two = hypot(seen - 40, y - 95);
            double height = 14 * exp(-near_one * near_one / 900) + 9 * exp(-near_two * near_two / 700) + 0.7;
            foci_random_normal(&draws, &noise, 1);
            f->places[s][i] = (foci_point){x, y};
            f->checked[s][i] = 20;
            f->readings[s][i] = scores ? (height - 4) / 4 + 0.3 * noise : floor(height);
        }
        f->seasons[s] = (foci_season_readings){f->places[s], f->readings[s], scores ? NULL : f->checked[s], STOPS};
    }
}

/* A fit whose parameters are taken as known, at one rho. */
static inline void pin(foci_joint *joint, size_t rho) {
    memcpy(joint->space.lower, joint->point, sizeof joint->point);
    memcpy(joint->space.upper, joint->point, sizeof joint->point);
    for (size_t r = 0; r < FOCI_JOINT_RHOS; r++)
        joint->weight[r] = r == rho;
}

#endif

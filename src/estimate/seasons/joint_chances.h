/* In which seasons a place is hot, all seasons read together: chances averaged over rho. docs/seasons.md. */
#ifndef FOCI_ESTIMATE_JOINT_CHANCES_H
#define FOCI_ESTIMATE_JOINT_CHANCES_H

#include "estimate/seasons/joint_fit.h"

/* Quasi-normal vectors per place for three seasons or more. */
enum { FOCI_JOINT_VECTORS = 512 };

typedef struct {
    const double *threshold;    /* one a season, on the scale of the surface: hot at or above it */
    const unsigned char *group; /* of each of the 2^seasons patterns, below `groups`; bit s: season s is hot */
    size_t groups;
} foci_joint_question;

/* `season`: seasons numbers a place, the chance of being hot; `group`: groups numbers a place, the chance that the
 * pattern is one of the group. Two seasons: bivariate normal chances; more: shares of FOCI_JOINT_VECTORS fixed vectors,
 * Richtmyer's sequence (square roots of primes) and its mirror image made normal by Box & Muller. */
bool foci_joint_chances(double *season, double *group, const foci_joint *joint, const foci_joint_question *question,
                        const foci_point *places, size_t count, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;

#endif

/* What the fields of all seasons could be, given the readings: draws that include the parameters. docs/seasons.md. */
#ifndef FOCI_ESTIMATE_JOINT_DRAWS_H
#define FOCI_ESTIMATE_JOINT_DRAWS_H

#include <stdint.h>

#include "estimate/seasons/joint_fit.h"

enum {
    FOCI_JOINT_THETAS = 24, /* draws of the parameters */
    FOCI_JOINT_FIELDS = 20, /* draws of the fields for each of them */
    FOCI_JOINT_DRAWS = FOCI_JOINT_THETAS * FOCI_JOINT_FIELDS
};

/* H^-1/2, symmetric, space->count squared: H is the curvature of foci_joint_cost at the fitted point, by differences of
 * 0.15 in means and log(ratio) and 0.2 in the others, plus the precisions of a prior (0.01 for each mean, 4 for
 * log(ratio), 1 for the others; 0 where the cost has a prior), its eigenvalues not below 0.3. */
bool foci_joint_spread(double *root, const foci_joint *joint, const foci_execution *how,
                       foci_error *err) FOCI_MUST_CHECK;

/* Told of draw 0 ... FOCI_JOINT_DRAWS - 1, from several threads: `level` holds seasons x places, mean and field;
 * `unrelated` as much: fields of deviation 1 with the same correlation between places that know nothing of any reading.
 */
typedef bool (*foci_joint_draw_use)(void *context, size_t draw, const double *level, const double *unrelated,
                                    foci_error *err);

typedef struct {
    uint64_t seed;
    /* One a season, none alike: what is a season's own (its field, its noise, its unrelated field) is drawn from its
     * key, what is common from all keys. */
    const char *const *keys;
} foci_joint_draw_options;

/* Parameters: counts about the fitted ones by H^-1/2, held within the bounds; scores by choice among 16 such
 * points, 1.4 times as far out, by their likelihood. Fields: Matheron's rule (Journel & Huijbregts 1978): an
 * unconditional field, moved by what the readings say about its difference from the truth. One factor of places and
 * stops a theta serves all seasons. */
bool foci_joint_draw(const foci_joint *joint, const foci_point *places, size_t count,
                     const foci_joint_draw_options *options, foci_joint_draw_use use, void *context,
                     const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

/* A season without stops beside those that have some: the field of the coming season, foretold. */
#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/seasons/joint_fit.h"

#define RHO_OF_ONE 0.5

size_t foci_joint_rho_to_come(const foci_joint *joint) {
    const double said = joint->data.seasons > 1 ? joint->verdict.mean_rho : RHO_OF_ONE;
    size_t nearest = 0;
    for (size_t r = 1; r < FOCI_JOINT_RHOS; r++)
        if (fabs(foci_joint_rho[r] - said) < fabs(foci_joint_rho[nearest] - said))
            nearest = r;
    return nearest;
}

/* The parameters, with one season more. */
static foci_parameters with_one_more(const foci_parameters *given, size_t seasons) {
    foci_parameters all = *given;
    double mean = 0, variance = 0;
    for (size_t s = 0; s < seasons; s++) {
        mean += given->mean[s] / (double)seasons;
        variance += given->sigma[s] * given->sigma[s] / (double)seasons;
    }
    all.mean[seasons] = mean;
    all.sigma[seasons] = sqrt(variance);
    return all;
}

bool foci_joint_to_come(double *mean, double *covariance, const foci_joint *joint, size_t rho, const foci_point *places,
                        size_t count, foci_error *err) {
    const size_t seasons = joint->data.seasons;
    const foci_joint_mode *mode = &joint->modes[rho];
    if (seasons >= FOCI_SEASONS_TOGETHER)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "%zu earlier seasons are too many; give %d at most", seasons,
                         FOCI_SEASONS_TOGETHER - 1);
    const foci_parameters all = with_one_more(&mode->parameters, seasons);
    double *room = foci_new_array(foci_targets_room(&joint->data, count), sizeof *room, err);
    if (!room)
        return false;
    foci_linear_single_thread();
    const foci_targets targets = foci_targets_fill(room, &joint->data, places, count, seasons);
    const bool ok = foci_conditional_covariance(mean, covariance, &mode->given, &joint->data, &all, &targets, err);
    free(room);
    return ok;
}

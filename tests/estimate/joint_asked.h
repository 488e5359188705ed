/* Seasons read together at parameters that are given, and what is said of places. */
#ifndef FOCI_TESTS_JOINT_ASKED_H
#define FOCI_TESTS_JOINT_ASKED_H

#include "support/support.h"

#include "estimate/seasons/joint_mode.h"

static inline foci_observations observed(const foci_season_readings *seasons, size_t count, double heading) {
    const foci_response *response = seasons[0].checked ? foci_response_binomial : foci_response_normal;
    foci_observations made = {0};
    foci_error err = {0};
    assert_done(foci_observations_make(&made, response, seasons, count, NULL, heading, &err), err);
    return made;
}

static inline foci_joint_mode mode_at(const foci_observations *data, const foci_parameters *parameters) {
    foci_joint_mode mode = {0};
    foci_latent work = {0};
    foci_error err = {0};
    assert_done(foci_latent_make(&work, data->count, &err), err);
    foci_latent_take(&work, data);
    assert_done(foci_joint_mode_make(&mode, &work, parameters, NULL, &err), err);
    foci_latent_free(&work);
    return mode;
}

/* What a mode says of places; to be freed. */
static inline foci_joint_places predicted(const foci_joint_mode *mode, const foci_observations *data,
                                          const foci_point *places, size_t count) {
    foci_joint_places asked = {0};
    foci_error err = {0};
    assert_done(foci_joint_places_make(&asked, data, places, count, &err), err);
    assert_done(foci_joint_mode_at(&asked, mode, &err), err);
    return asked;
}

/* Mean and covariance of one place. */
static inline void predict_one(const foci_joint_mode *mode, const foci_observations *data, foci_point place,
                               double *mean, double *covariance) {
    foci_joint_places asked = predicted(mode, data, &place, 1);
    memcpy(mean, asked.mean, data->seasons * sizeof *mean);
    memcpy(covariance, asked.covariance, data->seasons * data->seasons * sizeof *covariance);
    foci_joint_places_free(&asked);
}

#endif

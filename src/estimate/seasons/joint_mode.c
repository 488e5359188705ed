#include "estimate/seasons/joint_mode.h"

#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"

void foci_joint_mode_free(foci_joint_mode *mode) {
    free(mode->field);
    foci_conditional_free(&mode->given);
    *mode = (foci_joint_mode){0};
}

bool foci_joint_climb(double *log_likelihood, foci_latent *work, const foci_parameters *parameters, const double *start,
                      foci_error *err) {
    const size_t n = work->stops->count;
    double log_z = 0;
    foci_latent_at(work, parameters);
    for (size_t i = 0; i < n; i++)
        work->field[i] = start ? start[i] : 0;
    if (!foci_laplace_mode(work, &foci_laplace_of_seasons, &log_z, err))
        return false;
    *log_likelihood = log_z - foci_observations_constant(work->stops);
    return true;
}

bool foci_joint_mode_make(foci_joint_mode *out, foci_latent *work, const foci_parameters *parameters,
                          const double *start, foci_error *err) {
    const size_t n = work->stops->count;
    foci_joint_mode mode = {.parameters = *parameters};
    bool ok = false;
    if (!foci_joint_climb(&mode.log_likelihood, work, parameters, start, err))
        goto done;
    const foci_conditional_parts parts = {.count = n, .factor = work->factor, .root = work->root, .alpha = work->alpha};
    mode.field = foci_new_array(n, sizeof *mode.field, err);
    if (!mode.field || !foci_conditional_make(&mode.given, n, 0, err) ||
        !foci_conditional_fill(&mode.given, &parts, false, err))
        goto done;
    memcpy(mode.field, work->field, n * sizeof *mode.field);
    *out = mode;
    mode = (foci_joint_mode){0};
    ok = true;
done:
    foci_joint_mode_free(&mode);
    return ok;
}

bool foci_joint_places_make(foci_joint_places *out, const foci_observations *stops, const foci_point *places,
                            size_t count, foci_error *err) {
    const size_t n = stops->count, seasons = stops->seasons, matrix = n * count;
    foci_joint_places asked = {.stops = stops, .count = count};
    asked.block =
        foci_new_array(foci_targets_room(stops, count) + (2 + seasons) * matrix + (seasons * (seasons + 1) + 3) * count,
                       sizeof *asked.block, err);
    if (!asked.block)
        return false;
    asked.places = foci_targets_fill(asked.block, stops, places, count, 0);
    asked.room.with.distance = asked.block + foci_targets_room(stops, count);
    asked.room.with.correlation = asked.room.with.distance + matrix;
    asked.root = asked.room.with.correlation + matrix;
    asked.mean = asked.root + seasons * matrix;
    asked.covariance = asked.mean + seasons * count;
    asked.room.rest = asked.covariance + seasons * seasons * count;
    *out = asked;
    return true;
}

void foci_joint_places_free(foci_joint_places *asked) {
    free(asked->block);
    *asked = (foci_joint_places){0};
}

/* Means of one season, variances on the diagonals, and its part of the root. */
static bool ask_season(foci_joint_places *asked, const foci_joint_mode *mode, size_t season, foci_error *err) {
    const size_t count = asked->count, seasons = asked->stops->seasons;
    double *mean = asked->room.rest + count, *variance = mean + count;
    asked->places.season = season;
    asked->room.k = asked->root + season * count * asked->stops->count;
    if (!foci_conditional_at(mean, variance, &mode->given, asked->stops, &mode->parameters, &asked->places,
                             &asked->room, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        asked->mean[i * seasons + season] = mean[i];
        asked->covariance[(i * seasons + season) * seasons + season] = variance[i];
    }
    return true;
}

bool foci_joint_mode_at(foci_joint_places *asked, const foci_joint_mode *mode, foci_error *err) {
    const size_t n = asked->stops->count, count = asked->count, seasons = asked->stops->seasons;
    for (size_t s = 0; s < seasons; s++)
        if (!ask_season(asked, mode, s, err))
            return false;
    for (size_t s = 0; s < seasons; s++)
        for (size_t u = 0; u < s; u++)
            for (size_t i = 0; i < count; i++) {
                double *c = asked->covariance + i * seasons * seasons;
                c[s * seasons + u] = c[u * seasons + s] =
                    foci_covariance_between(&mode->parameters, s, u) -
                    foci_linear_dot(asked->root + (s * count + i) * n, asked->root + (u * count + i) * n, n);
            }
    return true;
}

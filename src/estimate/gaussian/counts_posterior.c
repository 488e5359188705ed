#include "estimate/gaussian/counts_posterior.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"

#define LEAST_VARIANCE 1e-12

bool foci_counts_posterior_make(foci_counts_posterior *out, foci_observations *stops, size_t draws, foci_error *err) {
    foci_counts_posterior posterior = {.draws = draws};
    size_t n = stops->count;
    bool ok = false;
    posterior.reach = foci_new_array(draws, n * (n + 1) * sizeof *posterior.reach, err);
    if (!posterior.reach)
        goto done;
    posterior.stops = *stops;
    *stops = (foci_observations){0};
    *out = posterior;
    posterior = (foci_counts_posterior){0};
    ok = true;
done:
    foci_counts_posterior_free(&posterior);
    return ok;
}

void foci_counts_posterior_free(foci_counts_posterior *posterior) {
    foci_observations_free(&posterior->stops);
    free(posterior->reach);
    *posterior = (foci_counts_posterior){0};
}

bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                foci_latent *work, foci_error *err) {
    size_t n = posterior->stops.count;
    foci_approximation found = {0};
    foci_latent_take(work, &posterior->stops);
    foci_latent_at(work, &draw->point);
    foci_laplace_start(work);
    if (!foci_approximate(work, draw->propagate, &found, err))
        return false;
    double *reach = posterior->reach + index * n * (n + 1);
    memset(reach, 0, n * n * sizeof *reach);
    for (size_t j = 0; j < n; j++)
        reach[j + j * n] = 1;
    foci_linear_solve_upper(work->factor, n, reach, n);
    for (size_t j = 0; j < n; j++)
        for (size_t i = 0; i < n; i++)
            reach[i + j * n] *= work->root[i];
    memcpy(reach + n * n, work->alpha, n * sizeof *reach);
    return true;
}

size_t foci_counts_posterior_room(size_t stops) {
    return FOCI_COUNTS_TILE * (4 * stops + 1);
}

void foci_counts_posterior_at(double *mean, double *deviation, const foci_counts_posterior *posterior,
                              const foci_counts_draw *draws, const foci_targets *places, double *room) {
    size_t n = posterior->stops.count, count = places->count;
    foci_covariance_room kept = {.distance = room, .correlation = room + n * FOCI_COUNTS_TILE};
    double *covariance = kept.correlation + n * FOCI_COUNTS_TILE, *reached = covariance + n * FOCI_COUNTS_TILE;
    for (size_t d = 0; d < posterior->draws; d++) {
        const foci_parameters *at = &draws[d].point;
        foci_covariance_with(covariance, &posterior->stops, at, places, &kept);
        foci_linear_transposed_product(posterior->reach + d * n * (n + 1), covariance, n, n + 1, count, reached);
        for (size_t j = 0; j < count; j++) {
            const double *column = reached + j * (n + 1);
            double prior = foci_covariance_prior(&posterior->stops.columns, at, places, j);
            double variance = fmax(prior - foci_latent_dot(column, column, n), LEAST_VARIANCE);
            mean[d + j * posterior->draws] =
                foci_covariance_offset(&posterior->stops.columns, at, places, j) + column[n];
            deviation[d + j * posterior->draws] = sqrt(variance + at->tau * at->tau);
        }
    }
}

#include "estimate/gaussian/counts_posterior.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/gaussian/counts_ep.h"
#include "estimate/gaussian/counts_laplace.h"

/* Beyond this shift of a mean, in posterior deviations, the third-order correction errs by more than 0.1 deviations. */
#define LIMIT_OF_CORRECTION 1.0
#define LEAST_VARIANCE 1e-12

static bool correct(foci_counts_work *work, foci_counts_approximation *found, foci_error *err) {
    foci_counts_correction correction = {0};
    if (!foci_counts_mode(work, &found->laplace, err) || !foci_counts_correct(work, &correction, err))
        return false;
    found->log_z = found->laplace + correction.log_z;
    found->shift = correction.shift;
    return true;
}

bool foci_counts_approximate(foci_counts_work *work, bool propagate, bool plain, foci_counts_approximation *out,
                             foci_error *err) {
    foci_counts_approximation found = {0};
    if (!correct(work, &found, err))
        return false;
    if (!plain && (propagate || found.shift > LIMIT_OF_CORRECTION)) {
        foci_counts_ep ep = foci_counts_ep_run(work, NULL);
        found.propagated = ep.settled;
        if (ep.settled)
            found.log_z = ep.log_z;
        else if (!correct(work, &found, err))
            return false;
    }
    *out = found;
    return true;
}

bool foci_counts_posterior_make(foci_counts_posterior *out, foci_counts_stops *stops, size_t draws, foci_error *err) {
    foci_counts_posterior posterior = {.draws = draws};
    size_t n = stops->count;
    bool ok = false;
    posterior.reach = foci_new_array(draws, n * (n + 1) * sizeof *posterior.reach, err);
    if (!posterior.reach)
        goto done;
    posterior.stops = *stops;
    *stops = (foci_counts_stops){0};
    *out = posterior;
    posterior = (foci_counts_posterior){0};
    ok = true;
done:
    foci_counts_posterior_free(&posterior);
    return ok;
}

void foci_counts_posterior_free(foci_counts_posterior *posterior) {
    foci_counts_stops_free(&posterior->stops);
    free(posterior->reach);
    *posterior = (foci_counts_posterior){0};
}

bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                bool plain, foci_counts_work *work, foci_error *err) {
    size_t n = posterior->stops.count;
    foci_counts_approximation found = {0};
    foci_counts_work_take(work, &posterior->stops);
    foci_counts_work_at(work, &draw->point);
    foci_counts_start(work);
    if (!foci_counts_approximate(work, draw->propagate, plain, &found, err))
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
                              const foci_counts_draw *draws, const double *u, const double *v, size_t count,
                              double *room) {
    size_t n = posterior->stops.count;
    double *distance = room, *correlation = distance + n * FOCI_COUNTS_TILE;
    double *covariance = correlation + n * FOCI_COUNTS_TILE, *reached = covariance + n * FOCI_COUNTS_TILE;
    const foci_counts_point *held = NULL;
    for (size_t d = 0; d < posterior->draws; d++) {
        const foci_counts_point *point = &draws[d].point;
        const bool near = held && foci_counts_same_distances(held, point);
        for (size_t j = 0; j < count && !near; j++)
            foci_counts_distances(distance + j * n, &posterior->stops, point->ratio, u[j], v[j]);
        if (!held || !foci_counts_same_correlations(held, point))
            foci_counts_correlate(correlation, distance, n * count, point);
        held = point;
        foci_counts_covariances(covariance, correlation, &posterior->stops, count, point);
        foci_linear_transposed_product(posterior->reach + d * n * (n + 1), covariance, n, n + 1, count, reached);
        double prior = point->sigma * point->sigma + point->centre_spread * point->centre_spread;
        for (size_t j = 0; j < count; j++) {
            const double *column = reached + j * (n + 1);
            double variance = fmax(prior - foci_counts_dot(column, column, n), LEAST_VARIANCE);
            mean[d + j * posterior->draws] = point->centre + column[n];
            deviation[d + j * posterior->draws] = sqrt(variance + point->tau * point->tau);
        }
    }
}

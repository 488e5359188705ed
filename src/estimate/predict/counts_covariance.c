#include "estimate/predict/counts_covariance.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"

#define LEAST_VARIANCE 1e-12

static size_t likeliest_draw(const foci_counts_model *model) {
    size_t likeliest = 0;
    for (size_t d = 1; d < model->draw_count; d++)
        if (model->draws[d].weight > model->draws[likeliest].weight)
            likeliest = d;
    return likeliest;
}

/* The field given the pools, at this draw alone. */
static bool condition_pools(foci_counts_posterior *out, const foci_counts_model *model, const foci_counts_draw *draw,
                            foci_error *err) {
    foci_observations pools = {0};
    foci_counts_posterior posterior = {0};
    foci_latent work = {0};
    bool ok = false;
    if (!foci_observations_pool(&pools, &model->stops, FOCI_COUNTS_POOLS, err) ||
        !foci_latent_make(&work, pools.count, err) || !foci_counts_posterior_make(&posterior, &pools, 1, err) ||
        !foci_counts_posterior_fill(&posterior, 0, draw, &work, err))
        goto done;
    *out = posterior;
    posterior = (foci_counts_posterior){0};
    ok = true;
done:
    foci_latent_free(&work);
    foci_counts_posterior_free(&posterior);
    foci_observations_free(&pools);
    return ok;
}

/* mean = offset + k' alpha, covariance = prior - (L^-1 W^1/2 k)' (L^-1 W^1/2 k). */
static bool condition_places(double *mean, double *covariance, const foci_observations *stops, const double *reach,
                             const foci_targets *places, const foci_parameters *at, foci_error *err) {
    size_t n = stops->count, m = places->count, longer = n > m ? n : m;
    foci_covariance_room kept = {0};
    bool ok = false;
    double *known = NULL, *reached = NULL;
    kept.distance = foci_new_array(longer, 2 * m * sizeof *kept.distance, err);
    if (!kept.distance)
        goto done;
    kept.correlation = kept.distance + longer * m;
    known = foci_new_array(longer, m * sizeof *known, err);
    if (!known)
        goto done;
    reached = foci_new_array(n + 1, m * sizeof *reached, err);
    if (!reached)
        goto done;
    foci_covariance_with(known, stops, at, places, &kept);
    foci_linear_transposed_product(reach, known, n, n + 1, m, reached);
    for (size_t j = 0; j < m; j++) {
        mean[j] = foci_covariance_offset(&stops->columns, at, places, j) + reached[n + j * (n + 1)];
        reached[n + j * (n + 1)] = 0;
    }
    foci_covariance_places(covariance, &stops->columns, at, places);
    foci_linear_transposed_product(reached, reached, n + 1, m, m, known);
    for (size_t i = 0; i < m * m; i++)
        covariance[i] -= known[i];
    for (size_t j = 0; j < m; j++)
        covariance[j + j * m] = fmax(covariance[j + j * m], LEAST_VARIANCE);
    ok = true;
done:
    free(kept.distance);
    free(known);
    free(reached);
    return ok;
}

bool foci_counts_covariance(const foci_counts_model *model, double *mean, double *covariance, const foci_point *places,
                            size_t count, foci_error *err) {
    size_t likeliest = likeliest_draw(model), n = model->posterior.stops.count;
    const foci_counts_draw *draw = &model->draws[likeliest];
    foci_counts_posterior pools = {0};
    bool ok = false;
    double *room = foci_new_array(foci_targets_room(&model->stops, count), sizeof *room, err);
    if (!room)
        goto done;
    const foci_targets targets = foci_targets_fill(room, &model->stops, places, count, 0);
    if (n > 0) {
        ok = condition_places(mean, covariance, &model->posterior.stops,
                              model->posterior.reach + likeliest * n * (n + 1), &targets, &draw->point, err);
        goto done;
    }
    ok = condition_pools(&pools, model, draw, err) &&
         condition_places(mean, covariance, &pools.stops, pools.reach, &targets, &draw->point, err);
done:
    foci_counts_posterior_free(&pools);
    free(room);
    return ok;
}

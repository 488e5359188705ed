#include "estimate/predict/counts_covariance.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/space/pools.h"

#define LEAST_VARIANCE 1e-12

static size_t likeliest_draw(const foci_counts_model *model) {
    size_t likeliest = 0;
    for (size_t d = 1; d < model->draw_count; d++)
        if (model->draws[d].weight > model->draws[likeliest].weight)
            likeliest = d;
    return likeliest;
}

/* The units of all stops of a pool at the middle of these stops. */
static bool pool_stops(foci_counts_stops *out, const foci_counts_model *model, foci_error *err) {
    const foci_counts_stops *stops = &model->stops;
    size_t n = stops->count, pools = 0;
    bool ok = false;
    const foci_frame same = {.north = 1}; /* its u is y, its v is x */
    double *hits = NULL, *checked = NULL, *members = NULL;
    foci_point *middles = NULL, *places = foci_new_array(n, sizeof *places, err);
    size_t *pool = places ? foci_new_array(n, sizeof *pool, err) : NULL;
    if (!pool)
        goto done;
    for (size_t i = 0; i < n; i++)
        places[i] = (foci_point){stops->v[i], stops->u[i]};
    if (!foci_pools_make(pool, &pools, places, n, FOCI_COUNTS_POOLS, err))
        goto done;
    middles = foci_new_array(pools, sizeof *middles, err);
    hits = middles ? foci_new_array(pools, sizeof *hits, err) : NULL;
    checked = hits ? foci_new_array(pools, sizeof *checked, err) : NULL;
    members = checked ? foci_new_array(pools, sizeof *members, err) : NULL;
    if (!members)
        goto done;
    for (size_t i = 0; i < n; i++)
        members[pool[i]]++;
    for (size_t i = 0; i < n; i++) {
        hits[pool[i]] += stops->hits[i];
        checked[pool[i]] += stops->checked[i];
        middles[pool[i]].x += places[i].x / members[pool[i]];
        middles[pool[i]].y += places[i].y / members[pool[i]];
    }
    ok = foci_counts_stops_make(out, &same, middles, hits, checked, pools, err);
done:
    free(places);
    free(pool);
    free(middles);
    free(hits);
    free(checked);
    free(members);
    return ok;
}

/* The field given the pools, at this draw alone. */
static bool condition_pools(foci_counts_posterior *out, const foci_counts_model *model, const foci_counts_draw *draw,
                            foci_error *err) {
    foci_counts_stops pools = {0};
    foci_counts_posterior posterior = {0};
    foci_counts_work work = {0};
    bool ok = false;
    if (!pool_stops(&pools, model, err) || !foci_counts_work_make(&work, pools.count, err) ||
        !foci_counts_posterior_make(&posterior, &pools, 1, err) ||
        !foci_counts_posterior_fill(&posterior, 0, draw, model->options.plain, &work, err))
        goto done;
    *out = posterior;
    posterior = (foci_counts_posterior){0};
    ok = true;
done:
    foci_counts_work_free(&work);
    foci_counts_posterior_free(&posterior);
    foci_counts_stops_free(&pools);
    return ok;
}

/* Prior covariance of the surface between `stops` and the places, one column per place; `room` as large. */
static void prior_between(double *out, double *room, const foci_counts_stops *stops, const foci_counts_stops *places,
                          const foci_counts_point *point) {
    size_t n = stops->count;
    for (size_t j = 0; j < places->count; j++)
        foci_counts_distances(out + j * n, stops, point->ratio, places->u[j], places->v[j]);
    foci_counts_correlate(room, out, n * places->count, point);
    foci_counts_covariances(out, room, stops, places->count, point);
}

/* mean = centre + k' alpha, covariance = prior - (L^-1 W^1/2 k)' (L^-1 W^1/2 k). */
static bool condition_places(double *mean, double *covariance, const foci_counts_stops *stops, const double *reach,
                             const foci_counts_stops *places, const foci_counts_point *point, foci_error *err) {
    size_t n = stops->count, m = places->count, longer = n > m ? n : m;
    bool ok = false;
    double *known = NULL, *reached = NULL, *room = foci_new_array(longer, m * sizeof *room, err);
    if (!room)
        goto done;
    known = foci_new_array(longer, m * sizeof *known, err);
    if (!known)
        goto done;
    reached = foci_new_array(n + 1, m * sizeof *reached, err);
    if (!reached)
        goto done;
    prior_between(known, room, stops, places, point);
    foci_linear_transposed_product(reach, known, n, n + 1, m, reached);
    for (size_t j = 0; j < m; j++) {
        mean[j] = point->centre + reached[n + j * (n + 1)];
        reached[n + j * (n + 1)] = 0;
    }
    prior_between(covariance, room, places, places, point);
    foci_linear_transposed_product(reached, reached, n + 1, m, m, known);
    for (size_t i = 0; i < m * m; i++)
        covariance[i] -= known[i];
    for (size_t j = 0; j < m; j++)
        covariance[j + j * m] = fmax(covariance[j + j * m], LEAST_VARIANCE);
    ok = true;
done:
    free(room);
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
    double *u = foci_new_array(count, sizeof *u, err), *v = u ? foci_new_array(count, sizeof *v, err) : NULL;
    if (!v)
        goto done;
    foci_frame_turn(&model->frame, places, count, u, v);
    const foci_counts_stops targets = {.count = count, .u = u, .v = v}; /* borrowed */
    if (n > 0) {
        ok = condition_places(mean, covariance, &model->posterior.stops,
                              model->posterior.reach + likeliest * n * (n + 1), &targets, &draw->point, err);
        goto done;
    }
    ok = condition_pools(&pools, model, draw, err) &&
         condition_places(mean, covariance, &pools.stops, pools.reach, &targets, &draw->point, err);
done:
    foci_counts_posterior_free(&pools);
    free(u);
    free(v);
    return ok;
}

#include "estimate/predict/score_covariance.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static const foci_score_component *likeliest_component(const foci_score_model *model) {
    const foci_score_component *likeliest = model->components;
    for (size_t k = 1; k < model->count; k++)
        if (model->components[k].weight > likeliest->weight)
            likeliest = &model->components[k];
    return likeliest;
}

/* All stops, or their pools; the squares of these run with the map. */
static bool pool_stops(foci_observations *out, const foci_observations *stops, double heading, foci_error *err) {
    foci_observations north = {0}, pools = {0};
    const bool many = stops->count > FOCI_SCORE_POOLS;
    bool ok = (!many || (foci_observations_turn(&north, stops, NAN, err) &&
                         foci_observations_pool(&pools, &north, FOCI_SCORE_POOLS, err))) &&
              foci_observations_turn(out, many ? &pools : stops, heading, err);
    foci_observations_free(&north);
    foci_observations_free(&pools);
    return ok;
}

/* The field given these at one component, where the model has no such thing: it works from the nearest. */
static bool condition_pools(foci_observations *pools, foci_conditional *given, foci_parameters *at,
                            const foci_score_model *model, double heading, foci_error *err) {
    foci_exact work = {0};
    if (!pool_stops(pools, &model->stops, heading, err))
        return false;
    const size_t columns = pools->columns.count;
    at->noise[0] *= sqrt((double)pools->count / (double)model->stops.count);
    if (!foci_exact_make(&work, pools->count, columns + 1, err))
        return false;
    foci_exact_take(&work, pools);
    bool ok = foci_exact_solve(&work, at, err) && foci_conditional_make(given, pools->count, columns, err) &&
              foci_exact_condition(given, &work, false, err);
    foci_exact_free(&work);
    return ok;
}

bool foci_score_covariance(const foci_score_model *model, double *mean, double *covariance, const foci_point *places,
                           size_t count, foci_error *err) {
    if (model->constant) {
        for (size_t j = 0; j < count; j++)
            mean[j] = model->readings.values[0];
        for (size_t i = 0; i < count * count; i++)
            covariance[i] = 0;
        return true;
    }
    const foci_score_component *component = likeliest_component(model);
    const bool whole = model->neighbours == 0;
    foci_parameters at = component->at;
    foci_observations pools = {0};
    foci_conditional of_pools = {0};
    bool ok = false;
    double *room = NULL;
    if (!whole && !condition_pools(&pools, &of_pools, &at, model, component->variogram.heading, err))
        goto done;
    const foci_observations *stops = whole ? &model->stops : &pools;
    room = foci_new_array(foci_targets_room(stops, count), sizeof *room, err);
    if (!room)
        goto done;
    const foci_targets targets = foci_targets_fill(room, stops, places, count, 0);
    if (!foci_conditional_covariance(mean, covariance, whole ? &component->given : &of_pools, stops, &at, &targets,
                                     err))
        goto done;
    for (size_t i = 0; i < count * count; i++)
        covariance[i] *= component->widen;
    for (size_t j = 0; j < count; j++)
        covariance[j + j * count] = fmax(covariance[j + j * count], 0);
    ok = true;
done:
    free(room);
    foci_observations_free(&pools);
    foci_conditional_free(&of_pools);
    return ok;
}

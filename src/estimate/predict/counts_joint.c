#include "estimate/predict/counts_joint.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define LEAST_VARIANCE 1e-12

bool foci_counts_posterior_make(foci_counts_posterior *out, size_t stops, size_t draws, foci_error *err) {
    foci_counts_posterior posterior = {.draws = draws};
    posterior.given = foci_new_array(draws, sizeof *posterior.given, err);
    for (size_t d = 0; posterior.given && d < draws; d++)
        if (!foci_conditional_make(&posterior.given[d], stops, 0, err))
            foci_counts_posterior_free(&posterior);
    *out = posterior;
    return posterior.given != NULL;
}

void foci_counts_posterior_free(foci_counts_posterior *posterior) {
    for (size_t d = 0; posterior->given && d < posterior->draws; d++)
        foci_conditional_free(&posterior->given[d]);
    free(posterior->given);
    *posterior = (foci_counts_posterior){0};
}

bool foci_counts_posterior_fill(foci_counts_posterior *posterior, size_t index, const foci_counts_draw *draw,
                                foci_latent *work, foci_error *err) {
    foci_approximation found = {0};
    foci_latent_at(work, &draw->point);
    foci_laplace_start(work);
    if (!foci_approximate(work, draw->propagate, &found, err))
        return false;
    const foci_conditional_parts parts = {
        .count = work->stops->count, .factor = work->factor, .root = work->root, .alpha = work->alpha};
    return foci_conditional_fill(&posterior->given[index], &parts, false, err);
}

bool foci_counts_posterior_at(double *mean, double *deviation, const foci_counts_posterior *posterior,
                              const foci_observations *stops, const foci_counts_draw *draws, const foci_targets *places,
                              foci_error *err) {
    const size_t count = places->count;
    foci_conditional_room room = {0};
    double *said = foci_new_array(count, 2 * sizeof *said, err);
    if (!said)
        return false;
    double *variance = said + count;
    bool ok = foci_conditional_room_make(&room, stops->count, stops->columns.count, count, err);
    for (size_t d = 0; ok && d < posterior->draws; d++) {
        const foci_parameters *at = &draws[d].point;
        ok = foci_conditional_at(said, variance, &posterior->given[d], stops, at, places, &room, err);
        for (size_t j = 0; ok && j < count; j++) {
            mean[d + j * posterior->draws] = said[j];
            deviation[d + j * posterior->draws] = sqrt(fmax(variance[j], LEAST_VARIANCE) + at->tau * at->tau);
        }
    }
    foci_conditional_room_free(&room);
    free(said);
    return ok;
}

void foci_counts_free(foci_counts_model *model) {
    foci_observations_free(&model->stops);
    foci_counts_posterior_free(&model->posterior);
    *model = (foci_counts_model){0};
}

typedef struct {
    foci_counts_model *model;
    foci_latent *works;
} condition_context;

static bool condition_draw(void *context, size_t thread, size_t draw, foci_error *err) {
    condition_context *condition = context;
    foci_counts_model *model = condition->model;
    foci_latent_take(&condition->works[thread], &model->stops);
    return foci_counts_posterior_fill(&model->posterior, draw, &model->draws[draw], &condition->works[thread], err);
}

bool foci_counts_condition(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    const size_t threads = foci_parallel_threads(how, model->draw_count);
    condition_context condition = {.model = model};
    if (!foci_counts_posterior_make(&model->posterior, model->stops.count, model->draw_count, err))
        return false;
    condition.works = foci_latents_make(threads, model->stops.count, err);
    bool ok = condition.works && foci_parallel(model->draw_count, how, condition_draw, &condition, err);
    foci_latents_free(condition.works, threads);
    return ok;
}

typedef struct {
    const foci_counts_model *model;
    const foci_point *places;
    size_t count;
    double threshold;
    const foci_prediction *out;
    double weight[FOCI_COUNTS_DRAWS];
} predict_context;

static bool predict_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    const predict_context *predict = context;
    const foci_counts_model *model = predict->model;
    const size_t draws = model->draw_count, first = tile * FOCI_TILE, count = foci_tile_length(predict->count, tile);
    double *mean = foci_new_array(2 * draws * count + foci_targets_room(&model->stops, count), sizeof *mean, err);
    (void)thread;
    if (!mean)
        return false;
    double *deviation = mean + draws * count, *turned = deviation + draws * count;
    const foci_targets places = foci_targets_fill(turned, &model->stops, predict->places + first, count, 0);
    bool ok = foci_counts_posterior_at(mean, deviation, &model->posterior, &model->stops, model->draws, &places, err);
    for (size_t j = 0; ok && j < count; j++) {
        const foci_mixture mixture = {draws, predict->weight, mean + j * draws, deviation + j * draws};
        foci_mixture_tell_share(predict->out, first + j, &mixture, predict->threshold);
    }
    free(mean);
    return ok;
}

bool foci_counts_predict_jointly(const foci_counts_model *model, const foci_point *places, size_t count,
                                 double threshold, const foci_prediction *out, const foci_execution *how,
                                 foci_error *err) {
    predict_context predict = {.model = model, .places = places, .count = count, .threshold = threshold, .out = out};
    for (size_t d = 0; d < model->draw_count; d++)
        predict.weight[d] = model->draws[d].weight;
    return foci_parallel(foci_tiles(count), how, predict_tile, &predict, err);
}

static size_t likeliest_draw(const foci_counts_model *model) {
    size_t likeliest = 0;
    for (size_t d = 1; d < model->draw_count; d++)
        if (model->draws[d].weight > model->draws[likeliest].weight)
            likeliest = d;
    return likeliest;
}

/* The field given the pools of the stops, at one draw alone. */
static bool condition_pools(foci_counts_posterior *out, foci_observations *pools, const foci_counts_model *model,
                            const foci_counts_draw *draw, foci_error *err) {
    foci_latent work = {0};
    bool ok = foci_observations_pool(pools, &model->stops, FOCI_COUNTS_JOINT, err) &&
              foci_latent_make(&work, pools->count, err) && foci_counts_posterior_make(out, pools->count, 1, err);
    if (ok) {
        foci_latent_take(&work, pools);
        ok = foci_counts_posterior_fill(out, 0, draw, &work, err);
    }
    foci_latent_free(&work);
    return ok;
}

bool foci_counts_covariance(const foci_counts_model *model, double *mean, double *covariance, const foci_point *places,
                            size_t count, foci_error *err) {
    const size_t likeliest = likeliest_draw(model);
    const foci_counts_draw *draw = &model->draws[likeliest];
    const bool joint = model->posterior.draws > 0;
    foci_counts_posterior pooled = {0};
    foci_observations pools = {0};
    bool ok = false;
    double *room = foci_new_array(foci_targets_room(&model->stops, count), sizeof *room, err);
    if (!room || (!joint && !condition_pools(&pooled, &pools, model, draw, err)))
        goto done;
    const foci_targets targets = foci_targets_fill(room, &model->stops, places, count, 0);
    ok = foci_conditional_covariance(mean, covariance, joint ? &model->posterior.given[likeliest] : &pooled.given[0],
                                     joint ? &model->stops : &pools, &draw->point, &targets, err);
    for (size_t j = 0; ok && j < count; j++)
        covariance[j + j * count] = fmax(covariance[j + j * count], LEAST_VARIANCE);
done:
    foci_counts_posterior_free(&pooled);
    foci_observations_free(&pools);
    free(room);
    return ok;
}

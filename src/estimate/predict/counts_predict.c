#include "estimate/predict/counts_model.h"

#include <stdlib.h>

#include "base/memory.h"

typedef struct {
    const foci_counts_model *model;
    const foci_point *places;
    size_t count;
    double threshold;
    const foci_counts_prediction *out;
    double weight[FOCI_COUNTS_DRAWS];
    size_t room;   /* doubles per thread */
    double *rooms; /* mean and deviation of a tile, then the posterior's room */
} predict_context;

static bool predict_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    (void)err;
    predict_context *predict = context;
    const foci_counts_model *model = predict->model;
    size_t draws = model->draw_count, first = tile * FOCI_COUNTS_TILE, count = predict->count - first;
    double *mean = predict->rooms + thread * predict->room, *deviation = mean + draws * FOCI_COUNTS_TILE;
    double *turned = deviation + draws * FOCI_COUNTS_TILE;
    if (count > FOCI_COUNTS_TILE)
        count = FOCI_COUNTS_TILE;
    const foci_targets places = foci_targets_fill(turned, &model->stops, predict->places + first, count, 0);
    foci_counts_posterior_at(mean, deviation, &model->posterior, model->draws, &places,
                             turned + foci_targets_room(&model->stops, FOCI_COUNTS_TILE));
    for (size_t j = 0; j < count; j++) {
        foci_counts_mixture mixture = {draws, predict->weight, mean + j * draws, deviation + j * draws};
        foci_counts_mixture_tell(predict->out, first + j, &mixture, predict->threshold);
    }
    return true;
}

bool foci_counts_predict_jointly(const foci_counts_model *model, const foci_point *places, size_t count,
                                 double threshold, const foci_counts_prediction *out, const foci_execution *how,
                                 foci_error *err) {
    predict_context predict = {.model = model, .places = places, .count = count, .threshold = threshold, .out = out};
    size_t tiles = (count + FOCI_COUNTS_TILE - 1) / FOCI_COUNTS_TILE;
    size_t threads = foci_parallel_threads(how, tiles);
    bool ok = false;
    for (size_t d = 0; d < model->draw_count; d++)
        predict.weight[d] = model->draws[d].weight;
    predict.room = 2 * model->draw_count * FOCI_COUNTS_TILE + foci_targets_room(&model->stops, FOCI_COUNTS_TILE) +
                   foci_counts_posterior_room(model->posterior.stops.count);
    predict.rooms = foci_new_array(threads, predict.room * sizeof *predict.rooms, err);
    if (!predict.rooms)
        goto done;
    ok = foci_parallel(tiles, how, predict_tile, &predict, err);
done:
    free(predict.rooms);
    return ok;
}

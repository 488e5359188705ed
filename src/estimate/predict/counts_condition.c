#include "estimate/predict/counts_model.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* All of them up to half of FOCI_COUNTS_JOINT stops, a quarter from there on. With an earlier season a quarter too:
 * each is tried with every tie between the seasons. */
size_t foci_counts_draws_wanted(const foci_counts_model *model) {
    double half = FOCI_COUNTS_JOINT / 2.0, share = half / fmax((double)model->stops.count, half);
    if (model->options.draws > 0)
        return model->options.draws < FOCI_COUNTS_DRAWS ? model->options.draws : FOCI_COUNTS_DRAWS;
    if (model->options.earlier)
        return FOCI_COUNTS_DRAWS / 4;
    return (size_t)(FOCI_COUNTS_DRAWS * fmax(share * share, 0.25));
}

typedef struct {
    foci_counts_model *model;
    foci_latent *works;
} condition_context;

static bool condition_draw(void *context, size_t thread, size_t draw, foci_error *err) {
    condition_context *condition = context;
    foci_counts_model *model = condition->model;
    return foci_counts_posterior_fill(&model->posterior, draw, &model->draws[draw], &condition->works[thread], err);
}

static bool copy_stops(foci_observations *out, const foci_observations *stops, foci_error *err) {
    size_t *all = foci_new_array(stops->count, sizeof *all, err);
    if (!all)
        return false;
    for (size_t i = 0; i < stops->count; i++)
        all[i] = i;
    bool ok = foci_observations_pick(out, stops, all, stops->count, err);
    free(all);
    return ok;
}

bool foci_counts_condition(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    size_t threads = foci_parallel_threads(how, model->draw_count);
    condition_context condition = {.model = model};
    foci_observations copy = {0};
    bool ok = false;
    if (!copy_stops(&copy, &model->stops, err))
        goto done;
    if (!foci_counts_posterior_make(&model->posterior, &copy, model->draw_count, err))
        goto done;
    condition.works = foci_latents_make(threads, model->stops.count, err);
    if (!condition.works)
        goto done;
    ok = foci_parallel(model->draw_count, how, condition_draw, &condition, err);
done:
    foci_latents_free(condition.works, threads);
    foci_observations_free(&copy);
    return ok;
}

#include "estimate/predict/counts_leave_one_out.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

typedef struct {
    const foci_counts_model *model;
    foci_latent *works;
    foci_cavity *cavities; /* stops x draws */
} cavity_context;

/* The cavities of expectation propagation at one draw; those of its last sweep where it did not settle. */
static bool leave_out_at(void *context, size_t thread, size_t draw, foci_error *err) {
    cavity_context *cavity = context;
    const foci_counts_model *model = cavity->model;
    foci_latent *work = &cavity->works[thread];
    double log_z = 0;
    foci_latent_take(work, &model->stops);
    foci_latent_at(work, &model->draws[draw].point);
    foci_laplace_start(work);
    if (!foci_laplace_mode(work, &foci_laplace_of_counts, &log_z, err))
        return false;
    foci_cavity *own = cavity->cavities + draw * model->stops.count;
    foci_propagation ep = foci_propagate(work, own);
    if (ep.sweeps == 0 || !isfinite(ep.log_z))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the stops could not be left out one by one; do without");
    for (size_t i = 0; i < model->stops.count; i++)
        own[i].mean += work->offset[i];
    return true;
}

static bool find_cavities(cavity_context *cavity, const foci_execution *how, foci_error *err) {
    const foci_counts_model *model = cavity->model;
    size_t threads = foci_parallel_threads(how, model->draw_count);
    cavity->works = foci_latents_make(threads, model->stops.count, err);
    bool ok = cavity->works && foci_parallel(model->draw_count, how, leave_out_at, cavity, err);
    foci_latents_free(cavity->works, threads);
    cavity->works = NULL;
    return ok;
}

static void tell_count(const foci_counts_leave_one_out_result *out, size_t to, const foci_mixture *mixture,
                       const double *log_likelihood, const foci_observations *stops, size_t stop) {
    double hits = stops->readings[stop], checked = stops->checked[stop], best = -INFINITY, sum = 0;
    for (size_t d = 0; d < mixture->count; d++)
        best = fmax(best, log_likelihood[d]);
    for (size_t d = 0; d < mixture->count; d++)
        sum += mixture->weight[d] * exp(log_likelihood[d] - best);
    if (out->log_score)
        out->log_score[to] = best + log(sum) + stops->constant[stop];
    if (out->transform)
        out->transform[to] = 0.5 * (foci_mixture_share_fewer(mixture, hits, checked) +
                                    foci_mixture_share_fewer(mixture, hits + 1, checked));
}

static void tell_stop(const foci_counts_leave_one_out_result *out, size_t to, const cavity_context *cavity,
                      size_t stop) {
    const foci_counts_model *model = cavity->model;
    double weight[FOCI_COUNTS_DRAWS], mean[FOCI_COUNTS_DRAWS], deviation[FOCI_COUNTS_DRAWS];
    double log_likelihood[FOCI_COUNTS_DRAWS];
    for (size_t d = 0; d < model->draw_count; d++) {
        const foci_cavity *one = &cavity->cavities[d * model->stops.count + stop];
        weight[d] = model->draws[d].weight;
        mean[d] = one->mean;
        deviation[d] = sqrt(one->variance);
        log_likelihood[d] = one->log_z;
    }
    foci_mixture mixture = {model->draw_count, weight, mean, deviation};
    foci_prediction share = {out->mean, out->variance, out->low, out->high, NULL};
    foci_mixture_tell_share(&share, to, &mixture, NAN);
    tell_count(out, to, &mixture, log_likelihood, &model->stops, stop);
}

bool foci_counts_leave_one_out_jointly(const foci_counts_model *model, const bool *wanted, const size_t *to,
                                       const foci_counts_leave_one_out_result *out, const foci_execution *how,
                                       foci_error *err) {
    size_t n = model->stops.count, draws = model->draw_count;
    cavity_context cavity = {.model = model};
    bool ok = false;
    cavity.cavities = foci_new_array(draws, n * sizeof *cavity.cavities, err);
    if (!cavity.cavities)
        goto done;
    if (!find_cavities(&cavity, how, err))
        goto done;
    for (size_t i = 0; i < model->stops.first[1]; i++)
        if (!wanted || wanted[i])
            tell_stop(out, to ? to[i] : i, &cavity, i);
    ok = true;
done:
    free(cavity.cavities);
    return ok;
}

#include "estimate/counts_seasons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "estimate/counts_laplace.h"
#include "estimate/counts_model.h"

enum { TIES = FOCI_COUNTS_TIES };

const foci_counts_tie foci_counts_ties[TIES] = {
    {0, 1, 0.25},        {0, 1 / 1.5, 0.125},       {0, 1.5, 0.125},
    {0.3, 1, 1 / 16.0},  {0.3, 1 / 1.5, 1 / 32.0},  {0.3, 1.5, 1 / 32.0},
    {0.6, 1, 1 / 16.0},  {0.6, 1 / 1.5, 1 / 32.0},  {0.6, 1.5, 1 / 32.0},
    {0.8, 1, 1 / 16.0},  {0.8, 1 / 1.5, 1 / 32.0},  {0.8, 1.5, 1 / 32.0},
    {0.95, 1, 1 / 16.0}, {0.95, 1 / 1.5, 1 / 32.0}, {0.95, 1.5, 1 / 32.0},
};

typedef struct {
    const foci_counts_model *model;
    foci_counts_work *works; /* one per thread */
    double *log_z;           /* draws x ties */
} ties_job;

static void tie_to(foci_counts_point *point, size_t tie) {
    point->shared = foci_counts_ties[tie].shared;
    point->earlier_sigma = foci_counts_ties[tie].scale * point->sigma;
}

/* All ties of one draw, each from the mode of the one before. */
static bool try_draw(void *context, size_t thread, size_t d, foci_error *err) {
    const ties_job *job = context;
    const foci_counts_draw *draw = &job->model->draws[d];
    foci_counts_work *work = &job->works[thread];
    foci_counts_work_take(work, &job->model->stops);
    for (size_t s = 0; s < TIES; s++) {
        foci_counts_approximation found = {0};
        foci_counts_point point = draw->point;
        tie_to(&point, s);
        foci_counts_work_at(work, &point);
        if (s == 0)
            foci_counts_start(work);
        if (!foci_counts_approximate(work, draw->propagate, job->model->options.plain, &found, err))
            return false;
        job->log_z[d * TIES + s] = found.log_z;
    }
    return true;
}

bool foci_counts_ties_try(double *log_z, const foci_counts_model *model, const foci_execution *how, foci_error *err) {
    size_t threads = foci_parallel_threads(how, model->draw_count);
    ties_job job = {model, foci_new_array(threads, sizeof *job.works, err), log_z};
    bool ok = false;
    if (!job.works)
        return false;
    for (size_t t = 0; t < threads; t++)
        if (!foci_counts_work_make(&job.works[t], model->stops.count, err))
            goto done;
    ok = foci_parallel(model->draw_count, how, try_draw, &job, err);
done:
    for (size_t t = 0; t < threads; t++)
        foci_counts_work_free(&job.works[t]);
    free(job.works);
    return ok;
}

/* Draws x ties; sums to 1. Returns the log of what the evidence gains over that of independent seasons. */
static double weigh(double *weight, const foci_counts_model *model, const double *log_z) {
    double best = -INFINITY, sum = 0;
    size_t count = model->draw_count * TIES;
    for (size_t i = 0; i < count; i++)
        best = fmax(best, log_z[i] - log_z[i - i % TIES]);
    for (size_t i = 0; i < count; i++)
        sum += weight[i] = model->draws[i / TIES].weight * foci_counts_ties[i % TIES].prior *
                           exp(log_z[i] - log_z[i - i % TIES] - best);
    for (size_t i = 0; i < count; i++)
        weight[i] /= sum;
    return best + log(sum);
}

/* The ties of every second draw run backwards, so that neighbours in the order are alike. */
static size_t in_order(size_t step) {
    size_t d = step / TIES, s = step % TIES;
    return d * TIES + (d % 2 == 0 ? s : TIES - 1 - s);
}

static size_t draw(foci_counts_draw *out, const foci_counts_model *model, const double *weight) {
    size_t count = 0, next = 0, steps = model->draw_count * TIES, wanted = foci_counts_draws_wanted(model);
    double passed = 0;
    for (size_t step = 0; step < steps; step++) {
        size_t i = in_order(step), taken = 0;
        passed += weight[i];
        while (next < wanted && (passed >= ((double)next + 0.5) / (double)wanted || step + 1 == steps)) {
            next++;
            taken++;
        }
        if (taken == 0)
            continue;
        out[count] = model->draws[i / TIES];
        tie_to(&out[count].point, i % TIES);
        out[count++].weight = (double)taken / (double)wanted;
    }
    return count;
}

bool foci_counts_seasons_weigh(foci_counts_model *model, const foci_execution *how, foci_error *err) {
    size_t count = model->draw_count * TIES;
    foci_counts_draw drawn[FOCI_COUNTS_DRAWS];
    foci_counts_summary *summary = &model->summary;
    bool ok = false;
    double *weight = NULL, *log_z = foci_new_array(count, sizeof *log_z, err);
    if (!log_z)
        goto done;
    weight = foci_new_array(count, sizeof *weight, err);
    if (!weight || !foci_counts_ties_try(log_z, model, how, err))
        goto done;
    summary->log_evidence += weigh(weight, model, log_z);
    for (size_t i = 0; i < count; i++) {
        summary->shared += weight[i] * foci_counts_ties[i % TIES].shared;
        summary->shared_none += foci_counts_ties[i % TIES].shared == 0 ? weight[i] : 0;
    }
    model->draw_count = summary->draws = draw(drawn, model, weight);
    memcpy(model->draws, drawn, model->draw_count * sizeof *drawn);
    ok = true;
done:
    free(log_z);
    free(weight);
    return ok;
}

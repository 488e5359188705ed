#include "estimate/fit/counts_ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/parallel.h"

enum { TIES = FOCI_COUNTS_TIES };

const foci_tie foci_counts_ties[TIES] = {
    {0, 1, 0.25},        {0, 1 / 1.5, 0.125},       {0, 1.5, 0.125},
    {0.3, 1, 1 / 16.0},  {0.3, 1 / 1.5, 1 / 32.0},  {0.3, 1.5, 1 / 32.0},
    {0.6, 1, 1 / 16.0},  {0.6, 1 / 1.5, 1 / 32.0},  {0.6, 1.5, 1 / 32.0},
    {0.8, 1, 1 / 16.0},  {0.8, 1 / 1.5, 1 / 32.0},  {0.8, 1.5, 1 / 32.0},
    {0.95, 1, 1 / 16.0}, {0.95, 1 / 1.5, 1 / 32.0}, {0.95, 1.5, 1 / 32.0},
};

typedef struct {
    const foci_counts_draw *draws;
    const foci_observations *both;
    foci_latent *works; /* one per thread */
    double *log_z;      /* draws x ties */
} ties_job;

static void tie_to(foci_parameters *point, size_t tie) {
    point->rho = foci_counts_ties[tie].rho;
    point->sigma[1] = foci_counts_ties[tie].scale * point->sigma[0];
}

/* All ties of one draw, each from the mode of the one before. */
static bool try_draw(void *context, size_t thread, size_t d, foci_error *err) {
    const ties_job *job = context;
    foci_latent *work = &job->works[thread];
    foci_latent_take(work, job->both);
    for (size_t s = 0; s < TIES; s++) {
        foci_approximation found = {0};
        foci_parameters point = job->draws[d].point;
        tie_to(&point, s);
        foci_latent_at(work, &point);
        if (s == 0)
            foci_laplace_start(work);
        if (!foci_approximate(work, job->draws[d].propagate, &found, err))
            return false;
        job->log_z[d * TIES + s] = found.log_z;
    }
    return true;
}

bool foci_counts_ties_try(double *log_z, const foci_observations *both, const foci_counts_draw *draws, size_t count,
                          const foci_execution *how, foci_error *err) {
    const size_t threads = foci_parallel_threads(how, count);
    ties_job job = {draws, both, foci_latents_make(threads, both->count, err), log_z};
    bool ok = job.works && foci_parallel(count, how, try_draw, &job, err);
    foci_latents_free(job.works, threads);
    return ok;
}

static bool draw_anew(foci_counts_draw *draws, size_t *count, const double *weight, size_t wanted, foci_error *err) {
    foci_counts_draw drawn[FOCI_COUNTS_DRAWS];
    foci_drawn tied[FOCI_COUNTS_DRAWS];
    size_t found = 0;
    if (!foci_ties_draw(tied, &found, weight, *count, TIES, wanted, err))
        return false;
    for (size_t k = 0; k < found; k++) {
        drawn[k] = draws[tied[k].point / TIES];
        drawn[k].weight = tied[k].weight;
        tie_to(&drawn[k].point, tied[k].point % TIES);
    }
    memcpy(draws, drawn, found * sizeof *drawn);
    *count = found;
    return true;
}

bool foci_counts_ties_weigh(foci_counts_draw draws[FOCI_COUNTS_DRAWS], size_t *count, foci_counts_summary *summary,
                            const foci_observations *both, size_t wanted, const foci_execution *how, foci_error *err) {
    const size_t tied = *count * TIES;
    double draw_weight[FOCI_COUNTS_DRAWS], *weight = NULL, *log_z = foci_new_array(tied, sizeof *log_z, err);
    bool ok = false;
    if (!log_z)
        goto done;
    weight = foci_new_array(tied, sizeof *weight, err);
    if (!weight || !foci_counts_ties_try(log_z, both, draws, *count, how, err))
        goto done;
    for (size_t d = 0; d < *count; d++)
        draw_weight[d] = draws[d].weight;
    summary->facts.log_likelihood += foci_ties_weigh(weight, log_z, draw_weight, *count, foci_counts_ties, TIES);
    summary->facts.earlier.rho = summary->shared_none = 0;
    for (size_t i = 0; i < tied; i++) {
        summary->facts.earlier.rho += weight[i] * foci_counts_ties[i % TIES].rho;
        summary->shared_none += foci_counts_ties[i % TIES].rho == 0 ? weight[i] : 0;
    }
    ok = draw_anew(draws, count, weight, wanted, err);
    summary->facts.components = *count;
done:
    free(log_z);
    free(weight);
    return ok;
}

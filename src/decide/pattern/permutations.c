#include "decide/pattern/permutations.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/parallel.h"
#include "base/random.h"
#include "decide/pattern/autocorrelation.h"
#include "decide/pattern/join_counts.h"
#include "decide/pattern/transport.h"

double foci_permuted_least(double own) {
    return own - 1e-9 * fabs(own) - 1e-15;
}

/* Of one thread. */
typedef struct {
    size_t *order;
    foci_transport *transport;
} workspace;

static void close_all(workspace *work, size_t threads) {
    for (size_t t = 0; work && t < threads; t++) {
        free(work[t].order);
        foci_transport_close(work[t].transport);
    }
    free(work);
}

static workspace *open_all(const foci_permutation_plan *plan, size_t threads, foci_error *err) {
    workspace *work = foci_new_array(threads, sizeof *work, err);
    if (!work)
        return NULL;
    for (size_t t = 0; t < threads; t++) {
        work[t].order = foci_new_array(plan->count, sizeof *work[t].order, err);
        if (!work[t].order)
            goto failed;
        if (plan->parts && !foci_transport_open(&work[t].transport, plan->places, plan->count, err))
            goto failed;
    }
    return work;
failed:
    close_all(work, threads);
    return NULL;
}

static foci_measures measure(const foci_permutation_plan *plan, double s0, workspace *work, const size_t *order) {
    foci_autocorrelation found = foci_autocorrelation_at(plan->links, s0, plan->values, order);
    foci_measures m = {found.moran, found.geary, found.general_g,
                       foci_join_counts_count(plan->links, plan->infected, order), NAN};
    if (plan->parts)
        m.transport = foci_transport_cost(work->transport, plan->parts, order);
    return m;
}

typedef struct {
    foci_measures *out;
    const foci_permutation_plan *plan;
    double s0;
    workspace *work; /* one per thread */
} permuting;

/* The permutation after `job`'s number. */
static bool permute(void *context, size_t thread, size_t job, foci_error *err) {
    const permuting *p = context;
    workspace *mine = &p->work[thread];
    (void)err;
    foci_random draws = foci_random_stream(p->plan->seed, job + 1);
    foci_random_order(&draws, mine->order, p->plan->count);
    p->out[job + 1] = measure(p->plan, p->s0, mine, mine->order);
    return true;
}

bool foci_permutations_run(foci_measures *out, const foci_permutation_plan *plan, const foci_execution *how,
                           foci_error *err) {
    const size_t threads = foci_parallel_threads(how, plan->permutations);
    foci_links_sums sums = {0};
    if (!foci_links_sum(&sums, plan->links, err))
        return false;
    permuting p = {.out = out, .plan = plan, .s0 = sums.s0, .work = open_all(plan, threads, err)};
    if (!p.work)
        return false;
    out[0] = measure(plan, sums.s0, &p.work[0], NULL);
    const bool ok = foci_parallel(plan->permutations, how, permute, &p, err);
    close_all(p.work, threads);
    return ok;
}

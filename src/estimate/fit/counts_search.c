#include "estimate/fit/counts_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/parallel.h"

/* exp(-14) is less than one part in a million. */
#define HOPELESS 14.0

/* The points that share family, ratio and range are one job; so many of each family. */
enum { JOBS = FOCI_COUNTS_RATIOS * FOCI_COUNTS_MOST };

bool foci_counts_search_make(foci_counts_search *out, const foci_counts_grid *grid, const foci_observations *groups,
                             size_t group_count, bool plain, const foci_execution *how, foci_error *err) {
    foci_counts_search search = {.groups = groups, .group_count = group_count, .plain = plain, .grid = *grid};
    size_t largest = 0;
    bool ok = false;
    for (size_t g = 0; g < group_count; g++) {
        search.stops += groups[g].count;
        largest = groups[g].count > largest ? groups[g].count : largest;
    }
    search.points = foci_new_array(foci_counts_grid_count(grid), sizeof *search.points, err);
    if (!search.points)
        goto done;
    search.modes = foci_new_array(foci_counts_grid_count(grid), search.stops * sizeof *search.modes, err);
    if (!search.modes)
        goto done;
    search.threads = foci_parallel_threads(how, JOBS * grid->families);
    search.works = foci_latents_make(search.threads, largest, err);
    if (!search.works)
        goto done;
    *out = search;
    search = (foci_counts_search){0};
    ok = true;
done:
    foci_counts_search_free(&search);
    return ok;
}

void foci_counts_search_free(foci_counts_search *search) {
    foci_latents_free(search->works, search->threads);
    free(search->modes);
    free(search->points);
    *search = (foci_counts_search){0};
}

foci_parameters foci_counts_search_point(const foci_counts_search *search, foci_counts_index index) {
    const foci_counts_grid *grid = &search->grid;
    foci_parameters at = {.family = grid->family[index.family],
                          .stretch = grid->ratio[index.ratio],
                          .range = grid->range[index.range],
                          .tau = grid->tau[index.tau]};
    for (size_t s = 0; s < search->groups[0].seasons; s++)
        at.sigma[s] = grid->sigma[index.sigma];
    return at;
}

void foci_counts_search_want(foci_counts_search *search) {
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++)
        if (search->points[k].stage == FOCI_COUNTS_UNSEEN &&
            foci_counts_grid_has(&search->grid, foci_counts_grid_index(k)))
            search->points[k].stage = FOCI_COUNTS_WANTED;
}

typedef void (*visit_point)(foci_counts_search *search, foci_latent *work, foci_counts_index index, double *mode);

/* Calls `visit` for each of the job's points that is at `stage` (and was chosen), group by group. */
static void visit_job(foci_counts_search *search, size_t thread, size_t job, foci_counts_stage stage,
                      visit_point visit) {
    foci_latent *work = &search->works[thread];
    size_t first = job * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS, offset = 0;
    for (size_t g = 0; g < search->group_count; offset += search->groups[g++].count) {
        foci_latent_take(work, &search->groups[g]);
        for (size_t tau = 0; tau < FOCI_COUNTS_TAUS; tau++)
            for (size_t sigma = 0; sigma < FOCI_COUNTS_MOST; sigma++) {
                size_t k = first + sigma * FOCI_COUNTS_TAUS + tau;
                foci_counts_index index = foci_counts_grid_index(k);
                if (search->points[k].stage != stage)
                    continue;
                foci_parameters point = foci_counts_search_point(search, index);
                foci_latent_at(work, &point);
                visit(search, work, index, search->modes + k * search->stops + offset);
            }
    }
}

static void set_stage(foci_counts_search *search, size_t job, foci_counts_stage from, foci_counts_stage to) {
    size_t first = job * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS;
    for (size_t k = first; k < first + FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS; k++)
        if (search->points[k].stage == from)
            search->points[k].stage = to;
}

/* Whether Newton's method arrived at the point, as far as was looked. */
static bool arrived(const foci_counts_search *search, size_t point) {
    return search->points[point].found.log_z > -INFINITY;
}

/* From the mode at the next smaller sigma where there is one: it lies FOCI_COUNTS_TAUS points before. A point at which
 * no mode is found has no weight. */
static void see_point(foci_counts_search *search, foci_latent *work, foci_counts_index index, double *mode) {
    size_t n = work->stops->count, k = foci_counts_grid_point(index);
    double log_z = 0;
    foci_error lost = {0};
    if (index.sigma > 0 && arrived(search, k - FOCI_COUNTS_TAUS))
        memcpy(work->field, mode - FOCI_COUNTS_TAUS * search->stops, n * sizeof *mode);
    else
        foci_laplace_start(work);
    if (!foci_laplace_mode(work, &foci_laplace_of_counts, &log_z, &lost))
        log_z = -INFINITY;
    memcpy(mode, work->field, n * sizeof *mode);
    search->points[k].found.laplace += log_z;
    search->points[k].found.log_z += log_z;
}

static bool see_job(void *context, size_t thread, size_t job, foci_error *err) {
    (void)err;
    visit_job(context, thread, job, FOCI_COUNTS_WANTED, see_point);
    set_stage(context, job, FOCI_COUNTS_WANTED, FOCI_COUNTS_SEEN);
    return true;
}

static void refine_point(foci_counts_search *search, foci_latent *work, foci_counts_index index, double *mode) {
    const foci_propagate_when when = search->plain                       ? FOCI_PROPAGATE_NEVER
                                     : index.sigma >= FOCI_COUNTS_LEVELS ? FOCI_PROPAGATE_ALWAYS
                                                                         : FOCI_PROPAGATE_BEYOND_LIMIT;
    foci_approximation *found = &search->points[foci_counts_grid_point(index)].found, own = {0};
    foci_error lost = {0};
    memcpy(work->field, mode, work->stops->count * sizeof *mode);
    if (!foci_approximate(work, when, &own, &lost)) {
        found->log_z = -INFINITY;
        return;
    }
    found->log_z += own.log_z - own.laplace;
    found->shift = fmax(found->shift, own.shift);
    found->propagated = found->propagated || own.propagated;
}

static bool refine_job(void *context, size_t thread, size_t job, foci_error *err) {
    (void)err;
    visit_job(context, thread, job, FOCI_COUNTS_WANTED, refine_point);
    set_stage(context, job, FOCI_COUNTS_WANTED, FOCI_COUNTS_REFINED);
    return true;
}

/* Marks what is worth refining as wanted; FOCI_NO_FIT where no point has a mode. */
static bool want_refined(foci_counts_search *search, foci_error *err) {
    double best = -INFINITY;
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
            foci_counts_index index = foci_counts_grid_index(k);
            foci_counts_evaluation *point = &search->points[k];
            if (point->stage < FOCI_COUNTS_SEEN || !foci_counts_grid_has(&search->grid, index))
                continue;
            double height = foci_counts_grid_prior(&search->grid, index) + point->found.laplace;
            if (pass == 0)
                best = fmax(best, height);
            else if (point->stage == FOCI_COUNTS_SEEN && height >= best - HOPELESS)
                point->stage = FOCI_COUNTS_WANTED;
        }
    return best > -INFINITY || foci_fail(err, FOCI_NO_FIT, NULL, 0, "the counts found no stable estimate; check them");
}

bool foci_counts_search_run(foci_counts_search *search, const foci_execution *how, foci_error *err) {
    const foci_execution seeing = foci_execution_part(how, 0, 0.5), refining = foci_execution_part(how, 0.5, 1);
    if (!foci_parallel(JOBS * search->grid.families, &seeing, see_job, search, err) || !want_refined(search, err))
        return false;
    return foci_parallel(JOBS * search->grid.families, &refining, refine_job, search, err);
}

double foci_counts_search_weights(const foci_counts_search *search, double *weight) {
    double best = -INFINITY, sum = 0;
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++) {
        foci_counts_index index = foci_counts_grid_index(k);
        weight[k] = -INFINITY;
        if (search->points[k].stage >= FOCI_COUNTS_SEEN && foci_counts_grid_has(&search->grid, index))
            weight[k] = foci_counts_grid_prior(&search->grid, index) + search->points[k].found.log_z;
        best = fmax(best, weight[k]);
    }
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++)
        sum += weight[k] = exp(weight[k] - best);
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++)
        weight[k] /= sum;
    return best + log(sum);
}

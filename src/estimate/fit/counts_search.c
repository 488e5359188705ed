#include "estimate/fit/counts_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/parallel.h"
#include "estimate/gaussian/counts_laplace.h"

/* exp(-14) is less than one part in a million. */
#define HOPELESS 14.0

/* The points that share family, ratio and range are one job; so many of each family. */
enum { JOBS = FOCI_COUNTS_RATIOS * FOCI_COUNTS_MOST };

bool foci_counts_search_make(foci_counts_search *out, const foci_counts_grid *grid, const foci_counts_stops *groups,
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
    search.works = foci_new_array(search.threads, sizeof *search.works, err);
    if (!search.works)
        goto done;
    for (size_t t = 0; t < search.threads; t++)
        if (!foci_counts_work_make(&search.works[t], largest, err))
            goto done;
    *out = search;
    search = (foci_counts_search){0};
    ok = true;
done:
    foci_counts_search_free(&search);
    return ok;
}

void foci_counts_search_free(foci_counts_search *search) {
    for (size_t t = 0; search->works && t < search->threads; t++)
        foci_counts_work_free(&search->works[t]);
    free(search->works);
    free(search->modes);
    free(search->points);
    *search = (foci_counts_search){0};
}

foci_counts_point foci_counts_search_point(const foci_counts_search *search, foci_counts_index index) {
    const foci_counts_grid *grid = &search->grid;
    return (foci_counts_point){.family = grid->family[index.family],
                               .ratio = grid->ratio[index.ratio],
                               .range = grid->range[index.range],
                               .sigma = grid->sigma[index.sigma],
                               .tau = grid->tau[index.tau],
                               .centre = FOCI_COUNTS_CENTRE,
                               .centre_spread = FOCI_COUNTS_CENTRE_SPREAD};
}

void foci_counts_search_want(foci_counts_search *search) {
    for (size_t k = 0; k < foci_counts_grid_count(&search->grid); k++)
        if (search->points[k].stage == FOCI_COUNTS_UNSEEN &&
            foci_counts_grid_has(&search->grid, foci_counts_grid_index(k)))
            search->points[k].stage = FOCI_COUNTS_WANTED;
}

typedef bool (*visit_point)(foci_counts_search *search, foci_counts_work *work, foci_counts_index index, double *mode,
                            foci_error *err);

/* Calls `visit` for each of the job's points that is at `stage` (and was chosen), group by group. */
static bool visit_job(foci_counts_search *search, size_t thread, size_t job, foci_counts_stage stage, visit_point visit,
                      foci_error *err) {
    foci_counts_work *work = &search->works[thread];
    size_t first = job * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS, offset = 0;
    for (size_t g = 0; g < search->group_count; offset += search->groups[g++].count) {
        foci_counts_work_take(work, &search->groups[g]);
        for (size_t tau = 0; tau < FOCI_COUNTS_TAUS; tau++)
            for (size_t sigma = 0; sigma < FOCI_COUNTS_MOST; sigma++) {
                size_t k = first + sigma * FOCI_COUNTS_TAUS + tau;
                foci_counts_index index = foci_counts_grid_index(k);
                if (search->points[k].stage != stage)
                    continue;
                foci_counts_point point = foci_counts_search_point(search, index);
                foci_counts_work_at(work, &point);
                if (!visit(search, work, index, search->modes + k * search->stops + offset, err))
                    return false;
            }
    }
    return true;
}

static void set_stage(foci_counts_search *search, size_t job, foci_counts_stage from, foci_counts_stage to) {
    size_t first = job * FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS;
    for (size_t k = first; k < first + FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS; k++)
        if (search->points[k].stage == from)
            search->points[k].stage = to;
}

/* From the mode at the next smaller sigma where there is one: it lies FOCI_COUNTS_TAUS points before. */
static bool see_point(foci_counts_search *search, foci_counts_work *work, foci_counts_index index, double *mode,
                      foci_error *err) {
    size_t n = work->stops->count, k = foci_counts_grid_point(index);
    double log_z = 0;
    if (index.sigma > 0)
        memcpy(work->field, mode - FOCI_COUNTS_TAUS * search->stops, n * sizeof *mode);
    else
        foci_counts_start(work);
    if (!foci_counts_mode(work, &log_z, err))
        return false;
    memcpy(mode, work->field, n * sizeof *mode);
    search->points[k].found.laplace += log_z;
    search->points[k].found.log_z += log_z;
    return true;
}

static bool see_job(void *context, size_t thread, size_t job, foci_error *err) {
    if (!visit_job(context, thread, job, FOCI_COUNTS_WANTED, see_point, err))
        return false;
    set_stage(context, job, FOCI_COUNTS_WANTED, FOCI_COUNTS_SEEN);
    return true;
}

static bool refine_point(foci_counts_search *search, foci_counts_work *work, foci_counts_index index, double *mode,
                         foci_error *err) {
    foci_counts_approximation *found = &search->points[foci_counts_grid_point(index)].found, own = {0};
    memcpy(work->field, mode, work->stops->count * sizeof *mode);
    if (!foci_counts_approximate(work, index.sigma >= FOCI_COUNTS_LEVELS, search->plain, &own, err))
        return false;
    found->log_z += own.log_z - own.laplace;
    found->shift = fmax(found->shift, own.shift);
    found->propagated = found->propagated || own.propagated;
    return true;
}

static bool refine_job(void *context, size_t thread, size_t job, foci_error *err) {
    if (!visit_job(context, thread, job, FOCI_COUNTS_WANTED, refine_point, err))
        return false;
    set_stage(context, job, FOCI_COUNTS_WANTED, FOCI_COUNTS_REFINED);
    return true;
}

/* Marks what is worth refining as wanted. */
static void want_refined(foci_counts_search *search) {
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
}

bool foci_counts_search_run(foci_counts_search *search, const foci_execution *how, foci_error *err) {
    const foci_execution seeing = foci_execution_part(how, 0, 0.5), refining = foci_execution_part(how, 0.5, 1);
    if (!foci_parallel(JOBS * search->grid.families, &seeing, see_job, search, err))
        return false;
    want_refined(search);
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

#include "estimate/fit/counts_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/parallel.h"

/* exp(-14) is less than one part in a million. */
#define HOPELESS 14.0

#define LEAST_SIGMA 0.25
#define SIGMA_STEP 1.45
#define SIGMA_RARELY_ABOVE 3.0
#define RARE 0.05

/* The points that share family, stretch and range are one job. */
enum { OF_JOB = FOCI_COUNTS_MOST * FOCI_COUNTS_TAUS };

foci_columns foci_counts_columns(size_t seasons) {
    return foci_columns_intercepts(seasons, FOCI_COUNTS_CENTRE, FOCI_COUNTS_CENTRE_SPREAD * FOCI_COUNTS_CENTRE_SPREAD);
}

foci_levels foci_counts_levels(double spacing, bool along_rows) {
    static const double tau[FOCI_COUNTS_TAUS] = {0, 0.6, 1.2, 2.0},
                        tau_weight[FOCI_COUNTS_TAUS] = {0.75, 0.125, 0.0625, 0.0625};
    static const unsigned char path[FOCI_AXES] = {FOCI_AXIS_SIGMA, FOCI_AXIS_RANGE, FOCI_AXIS_STRETCH, FOCI_AXIS_FAMILY,
                                                  FOCI_AXIS_REST};
    double sigma[FOCI_COUNTS_MOST], density[FOCI_COUNTS_MOST];
    foci_correlation_family families[FOCI_CORRELATION_FAMILIES];
    const size_t count = foci_correlation_families(families, NULL, 0, FOCI_TRIED_BY_COUNTS);
    foci_levels levels = foci_levels_make(families, count, spacing, along_rows, FOCI_COUNTS_MOST);
    for (size_t i = 0; i < FOCI_COUNTS_MOST; i++) { /* exponential, times the step of a logarithmic grid */
        sigma[i] = LEAST_SIGMA * pow(SIGMA_STEP, (double)i);
        density[i] = sigma[i] * exp(log(RARE) / SIGMA_RARELY_ABOVE * sigma[i]);
    }
    foci_levels_set(&levels, FOCI_AXIS_SIGMA, sigma, density, FOCI_COUNTS_MOST);
    foci_levels_set(&levels, FOCI_AXIS_REST, tau, tau_weight, FOCI_COUNTS_TAUS);
    foci_levels_use(&levels, FOCI_AXIS_RANGE, FOCI_COUNTS_LEVELS);
    foci_levels_use(&levels, FOCI_AXIS_SIGMA, FOCI_COUNTS_LEVELS);
    foci_levels_use(&levels, FOCI_AXIS_REST, 1);
    memcpy(levels.path, path, sizeof path);
    return levels;
}

bool foci_counts_search_make(foci_counts_search *out, const foci_levels *levels, const foci_observations *groups,
                             size_t group_count, bool plain, const foci_execution *how, foci_error *err) {
    foci_counts_search search = {.groups = groups, .group_count = group_count, .plain = plain, .levels = *levels};
    size_t largest = 0;
    bool ok = false;
    for (size_t g = 0; g < group_count; g++) {
        search.stops += groups[g].count;
        largest = groups[g].count > largest ? groups[g].count : largest;
    }
    search.points = foci_new_array(foci_levels_points(levels), sizeof *search.points, err);
    if (!search.points)
        goto done;
    search.modes = foci_new_array(foci_levels_points(levels), search.stops * sizeof *search.modes, err);
    if (!search.modes)
        goto done;
    search.threads = foci_parallel_threads(how, foci_levels_points(levels) / OF_JOB);
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

foci_parameters foci_counts_search_point(const foci_counts_search *search, foci_level_index index) {
    const foci_levels *levels = &search->levels;
    foci_parameters at = {.family = levels->family[index.at[FOCI_AXIS_FAMILY]],
                          .stretch = levels->level[FOCI_AXIS_STRETCH][index.at[FOCI_AXIS_STRETCH]],
                          .range = levels->level[FOCI_AXIS_RANGE][index.at[FOCI_AXIS_RANGE]],
                          .tau = levels->level[FOCI_AXIS_REST][index.at[FOCI_AXIS_REST]]};
    for (size_t s = 0; s < search->groups[0].seasons; s++)
        at.sigma[s] = levels->level[FOCI_AXIS_SIGMA][index.at[FOCI_AXIS_SIGMA]];
    return at;
}

void foci_counts_search_want(foci_counts_search *search) {
    for (size_t k = 0; k < foci_levels_points(&search->levels); k++)
        if (search->points[k].stage == FOCI_COUNTS_UNSEEN &&
            foci_levels_has(&search->levels, foci_levels_index(&search->levels, k)))
            search->points[k].stage = FOCI_COUNTS_WANTED;
}

typedef void (*visit_point)(foci_counts_search *search, foci_latent *work, foci_level_index index, double *mode);

/* Calls `visit` for each of the job's points that is at `stage` (and was chosen), group by group. */
static void visit_job(foci_counts_search *search, size_t thread, size_t job, foci_counts_stage stage,
                      visit_point visit) {
    foci_latent *work = &search->works[thread];
    size_t first = job * OF_JOB, offset = 0;
    for (size_t g = 0; g < search->group_count; offset += search->groups[g++].count) {
        foci_latent_take(work, &search->groups[g]);
        for (size_t tau = 0; tau < FOCI_COUNTS_TAUS; tau++)
            for (size_t sigma = 0; sigma < FOCI_COUNTS_MOST; sigma++) {
                size_t k = first + sigma * FOCI_COUNTS_TAUS + tau;
                foci_level_index index = foci_levels_index(&search->levels, k);
                if (search->points[k].stage != stage)
                    continue;
                foci_parameters point = foci_counts_search_point(search, index);
                foci_latent_at(work, &point);
                visit(search, work, index, search->modes + k * search->stops + offset);
            }
    }
}

static void set_stage(foci_counts_search *search, size_t job, foci_counts_stage from, foci_counts_stage to) {
    size_t first = job * OF_JOB;
    for (size_t k = first; k < first + OF_JOB; k++)
        if (search->points[k].stage == from)
            search->points[k].stage = to;
}

/* Whether Newton's method arrived at the point, as far as was looked. */
static bool arrived(const foci_counts_search *search, size_t point) {
    return search->points[point].found.log_z > -INFINITY;
}

/* From the mode at the next smaller sigma where there is one: it lies FOCI_COUNTS_TAUS points before. A point at which
 * no mode is found has no weight. */
static void see_point(foci_counts_search *search, foci_latent *work, foci_level_index index, double *mode) {
    size_t n = work->stops->count, k = foci_levels_point(&search->levels, index);
    double log_z = 0;
    foci_error lost = {0};
    if (index.at[FOCI_AXIS_SIGMA] > 0 && arrived(search, k - FOCI_COUNTS_TAUS))
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

static void refine_point(foci_counts_search *search, foci_latent *work, foci_level_index index, double *mode) {
    const foci_propagate_when when = search->plain                                     ? FOCI_PROPAGATE_NEVER
                                     : index.at[FOCI_AXIS_SIGMA] >= FOCI_COUNTS_LEVELS ? FOCI_PROPAGATE_ALWAYS
                                                                                       : FOCI_PROPAGATE_BEYOND_LIMIT;
    foci_approximation *found = &search->points[foci_levels_point(&search->levels, index)].found, own = {0};
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
        for (size_t k = 0; k < foci_levels_points(&search->levels); k++) {
            foci_level_index index = foci_levels_index(&search->levels, k);
            foci_counts_evaluation *point = &search->points[k];
            if (point->stage < FOCI_COUNTS_SEEN || !foci_levels_has(&search->levels, index))
                continue;
            double height = foci_levels_log_prior(&search->levels, index) + point->found.laplace;
            if (pass == 0)
                best = fmax(best, height);
            else if (point->stage == FOCI_COUNTS_SEEN && height >= best - HOPELESS)
                point->stage = FOCI_COUNTS_WANTED;
        }
    return best > -INFINITY || foci_fail(err, FOCI_NO_FIT, NULL, 0, "the counts found no stable estimate; check them");
}

bool foci_counts_search_run(foci_counts_search *search, const foci_execution *how, foci_error *err) {
    const foci_execution seeing = foci_execution_part(how, 0, 0.5), refining = foci_execution_part(how, 0.5, 1);
    const size_t jobs = foci_levels_points(&search->levels) / OF_JOB;
    if (!foci_parallel(jobs, &seeing, see_job, search, err) || !want_refined(search, err))
        return false;
    return foci_parallel(jobs, &refining, refine_job, search, err);
}

double foci_counts_search_weights(const foci_counts_search *search, double *weight) {
    for (size_t k = 0; k < foci_levels_points(&search->levels); k++)
        weight[k] = search->points[k].stage >= FOCI_COUNTS_SEEN ? search->points[k].found.log_z : -INFINITY;
    return foci_levels_weigh(weight, &search->levels);
}

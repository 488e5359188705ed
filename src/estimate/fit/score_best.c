#include "estimate/fit/score_best.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/optimum.h"

/* A family whose best point lies further below the best of all than refining gains is not refined. */
#define NEAR 3.0

/* Bounds of the refined parameters: practical range in spacings and largest distances, ratio. */
#define LEAST_RANGE 0.25
#define MOST_RANGE 2.0
#define LEAST_RATIO 0.1

enum { HEADINGS = 12, STARTS_EACH = 2, STARTS_MOST = STARTS_EACH * FOCI_CORRELATION_FAMILIES, RANGES_TRIED = 5 };

typedef struct {
    const foci_likelihood *likelihood;
    foci_exact *work;
    double rho;
    foci_covariance_shape shape;
    bool with_ratio;
} problem;

static foci_likelihood_value value_of(const problem *p, const foci_covariance_shape *shape) {
    foci_likelihood_value value;
    foci_parameters at = foci_covariance_shape_parameters(shape, 1, p->likelihood->stops->seasons);
    at.rho = p->rho;
    foci_exact_likelihood(&value, p->work, p->likelihood, &at);
    return value;
}

/* point: log of the model's own range, nugget share, log ratio. */
static foci_covariance_shape shape_at(const problem *p, const double *point) {
    foci_covariance_shape shape = p->shape;
    shape.range = exp(point[0]) * shape.family.practical;
    shape.share = point[1];
    shape.ratio = p->with_ratio ? exp(point[2]) : p->shape.ratio;
    return shape;
}

static double loss_at(const double *point, size_t count, void *context) {
    const problem *p = context;
    const foci_covariance_shape shape = shape_at(p, point);
    (void)count;
    return -value_of(p, &shape).log;
}

/* From the problem's shape. */
static bool refine(foci_score_best *out, const problem *from, const foci_score_grid *grid, foci_error *err) {
    problem p = *from;
    const double practical = p.shape.family.practical;
    double point[] = {log(p.shape.range / practical), p.shape.share, log(p.shape.ratio)};
    double lower[] = {log(LEAST_RANGE * grid->spacing / practical), 0, log(LEAST_RATIO)};
    double upper[] = {log(MOST_RANGE * fmax(grid->largest, grid->spacing) / practical), 1, 0};
    if (!foci_minimise(point, p.with_ratio ? 3 : 2, lower, upper, loss_at, &p, &(double){0}, err))
        return false;
    const foci_covariance_shape shape = shape_at(&p, point);
    const foci_likelihood_value value = value_of(&p, &shape);
    *out = (foci_score_best){shape, value.sill, value.log};
    return true;
}

typedef struct {
    foci_score_best *starts; /* shapes to begin from, then what was found */
    const foci_score_search *search;
    foci_exact *works; /* one per thread */
} refine_job;

static bool refine_one(void *context, size_t thread, size_t job, foci_error *err) {
    const refine_job *j = context;
    const problem p = {j->search->likelihood, &j->works[thread], j->search->rho, j->starts[job].shape,
                       j->search->grid->levels.count[FOCI_AXIS_STRETCH] > 1};
    return refine(&j->starts[job], &p, j->search->grid, err);
}

/* The best point of a family; with `other` one whose range is two steps or more from that of `other`. Count where there
 * is none. */
static size_t best_point(const foci_score_search *search, size_t family, const size_t *other) {
    size_t count = foci_levels_points(&search->grid->levels), best = count;
    for (size_t i = 0; i < count; i++) {
        foci_level_index index = foci_levels_index(&search->grid->levels, i);
        if (index.at[FOCI_AXIS_FAMILY] != family || !isfinite(search->values[i].log))
            continue;
        if (other) {
            const size_t range = foci_levels_index(&search->grid->levels, *other).at[FOCI_AXIS_RANGE];
            if (index.at[FOCI_AXIS_RANGE] + 1 >= range && index.at[FOCI_AXIS_RANGE] <= range + 1)
                continue;
        }
        if (best == count || search->values[i].log > search->values[best].log)
            best = i;
    }
    return best;
}

static size_t choose_starts(foci_score_best *starts, const foci_score_search *search) {
    size_t points[STARTS_MOST], count = foci_levels_points(&search->grid->levels), chosen = 0, kept = 0;
    double best = -INFINITY;
    for (size_t family = 0; family < search->grid->levels.count[FOCI_AXIS_FAMILY]; family++) {
        size_t first = best_point(search, family, NULL);
        if (first == count)
            continue;
        best = fmax(best, search->values[first].log);
        points[chosen++] = first;
        size_t second = best_point(search, family, &first);
        if (second < count)
            points[chosen++] = second;
    }
    for (size_t i = 0; i < chosen; i++)
        if (search->values[points[i]].log >= best - NEAR)
            starts[kept++].shape = foci_score_grid_shape(search->grid, points[i]);
    return kept;
}

foci_variogram foci_score_best_variogram(const foci_score_best *best, bool restricted) {
    foci_variogram variogram = foci_covariance_shape_variogram(&best->shape, best->sill);
    snprintf(variogram.fit, sizeof variogram.fit, "%s", restricted ? "restricted-likelihood" : "likelihood");
    return variogram;
}

bool foci_score_best_find(foci_score_best *out, const foci_score_search *search, const foci_execution *how,
                          foci_error *err) {
    foci_score_best starts[STARTS_MOST] = {0};
    refine_job job = {starts, search, NULL};
    size_t count = choose_starts(starts, search), best = 0;
    size_t workers = foci_parallel_threads(how, count);
    if (count == 0)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "no covariance model fits the readings; give {variogram}, or use {surface} idw");
    job.works = foci_exacts_make(workers, search->likelihood, err);
    bool ok = job.works && foci_parallel(count, how, refine_one, &job, err);
    foci_exacts_free(job.works, workers);
    if (!ok)
        return false;
    for (size_t i = 1; i < count; i++)
        if (starts[i].log > starts[best].log)
            best = i;
    *out = starts[best];
    return true;
}

/* The readings in the frame of one heading. */
typedef struct {
    foci_observations stops; /* owned */
    foci_likelihood likelihood;
} turned;

static bool turn(turned *out, const foci_likelihood *likelihood, double heading, foci_error *err) {
    return foci_observations_turn(&out->stops, likelihood->stops, heading, err) &&
           foci_likelihood_make(&out->likelihood, &out->stops, likelihood->values, likelihood->columns,
                                likelihood->restricted, err);
}

/* One heading and ratio: the best of a few ranges and shares around those of the isotropic fit. The longest range is at
 * least the isotropic one. */
typedef struct {
    foci_score_best *found; /* one per job */
    const turned *turned;   /* one per heading */
    foci_covariance_shape from;
    double rho;
    foci_exact *works; /* one per thread */
} heading_job;

static const double tried_ratios[] = {1 / 1.5, 1 / 2.25, 1 / 3.375, 1 / 5.0625};
enum { RATIOS_TRIED = sizeof tried_ratios / sizeof *tried_ratios };

static bool try_heading(void *context, size_t thread, size_t job, foci_error *err) {
    static const double factors[RANGES_TRIED] = {1, 1.4, 2, 2.8, 4};
    const heading_job *j = context;
    const size_t heading = job / RATIOS_TRIED;
    const turned *there = &j->turned[heading];
    const problem p = {.likelihood = &there->likelihood, .work = &j->works[thread], .rho = j->rho};
    foci_covariance_shape shape = j->from;
    (void)err;
    foci_exact_take(&j->works[thread], &there->stops);
    shape.heading = 180.0 / HEADINGS * (double)heading;
    shape.ratio = tried_ratios[job % RATIOS_TRIED];
    j->found[job] = (foci_score_best){.shape = shape, .log = -INFINITY};
    for (size_t k = 0; k < RANGES_TRIED; k++) {
        shape.range = j->from.range * factors[k];
        for (int step = -1; step <= 1; step++) {
            shape.share = fmin(fmax(j->from.share + 0.15 * step, 0), 1);
            const foci_likelihood_value value = value_of(&p, &shape);
            if (value.log > j->found[job].log)
                j->found[job] = (foci_score_best){shape, value.sill, value.log};
        }
    }
    return true;
}

bool foci_score_best_heading(foci_score_best *out, const foci_score_search *search, const foci_score_best *start,
                             const foci_execution *how, foci_error *err) {
    enum { JOBS = HEADINGS * RATIOS_TRIED };
    foci_score_best found[JOBS], refined = {0};
    turned headings[HEADINGS] = {0};
    heading_job job = {found, headings, start->shape, search->rho, NULL};
    size_t best = 0, workers = foci_parallel_threads(how, JOBS);
    bool ok = false;
    for (size_t h = 0; h < HEADINGS; h++)
        if (!turn(&headings[h], search->likelihood, 180.0 / HEADINGS * (double)h, err))
            goto done;
    job.works = foci_exacts_make(workers, search->likelihood, err);
    if (!job.works || !foci_parallel(JOBS, how, try_heading, &job, err))
        goto done;
    for (size_t i = 1; i < JOBS; i++)
        if (found[i].log > found[best].log)
            best = i;
    const turned *there = &headings[best / RATIOS_TRIED];
    foci_exact_take(job.works, &there->stops);
    const problem p = {&there->likelihood, job.works, search->rho, found[best].shape, true};
    if (!refine(&refined, &p, search->grid, err))
        goto done;
    *out = refined.log > start->log ? refined : *start;
    ok = true;
done:
    foci_exacts_free(job.works, workers);
    for (size_t h = 0; h < HEADINGS; h++)
        foci_observations_free(&headings[h].stops);
    return ok;
}

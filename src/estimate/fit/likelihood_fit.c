#include "estimate/fit/likelihood_fit.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/optimum.h"
#include "base/parallel.h"

/* A family whose best point lies further below the best of all than refining gains is not refined. */
#define NEAR 3.0

/* Bounds of the refined parameters: practical range in spacings and largest distances, ratio. */
#define LEAST_RANGE 0.25
#define MOST_RANGE 2.0
#define LEAST_RATIO 0.1

enum { HEADINGS = 12, STARTS_EACH = 2, STARTS_MOST = STARTS_EACH * FOCI_CORRELATION_FAMILIES, RANGES_TRIED = 5 };

/* One refinement, and then its result. */
typedef struct {
    foci_variogram shape; /* sill 1 */
    double log, sill;
} start;

typedef struct {
    const foci_likelihood *likelihood;
    foci_likelihood_work *work;
    foci_variogram shape;
    bool with_ratio;
} problem;

static foci_likelihood_value value_of(const foci_likelihood *likelihood, foci_likelihood_work *work,
                                      const foci_variogram *shape) {
    foci_likelihood_value value;
    foci_likelihood_correlate(work, likelihood, shape);
    foci_likelihood_at(&value, likelihood, work, shape->nugget);
    return value;
}

/* point: log range, nugget share, log ratio. */
static foci_variogram shape_at(const problem *p, const double *point) {
    foci_variogram shape = p->shape;
    shape.range = exp(point[0]);
    shape.nugget = point[1];
    shape.partial_sill = 1 - point[1];
    shape.ratio = p->with_ratio ? exp(point[2]) : p->shape.ratio;
    return shape;
}

static double loss_at(const double *point, size_t count, void *context) {
    const problem *p = context;
    foci_variogram shape = shape_at(p, point);
    (void)count;
    return -value_of(p->likelihood, p->work, &shape).log;
}

static bool refine(start *s, const foci_likelihood_grid *grid, const foci_likelihood *likelihood, bool with_ratio,
                   foci_likelihood_work *work, foci_error *err) {
    foci_variogram unit = s->shape;
    unit.range = 1;
    double practical = foci_variogram_practical_range(&unit);
    double point[] = {log(s->shape.range), s->shape.nugget, log(s->shape.ratio)};
    double lower[] = {log(LEAST_RANGE * grid->spacing / practical), 0, log(LEAST_RATIO)};
    double upper[] = {log(MOST_RANGE * fmax(grid->largest, grid->spacing) / practical), 1, 0};
    problem p = {likelihood, work, s->shape, with_ratio};
    if (!foci_minimise(point, with_ratio ? 3 : 2, lower, upper, loss_at, &p, &(double){0}, err))
        return false;
    s->shape = shape_at(&p, point);
    foci_likelihood_value value = value_of(likelihood, work, &s->shape);
    s->log = value.log;
    s->sill = value.sill;
    return true;
}

typedef struct {
    start *starts;
    const foci_likelihood_grid *grid;
    const foci_likelihood *likelihood;
    bool with_ratio;
    foci_likelihood_work *works; /* one per thread */
} refine_job;

static bool refine_one(void *context, size_t thread, size_t job, foci_error *err) {
    const refine_job *j = context;
    return refine(&j->starts[job], j->grid, j->likelihood, j->with_ratio, &j->works[thread], err);
}

/* The best point of a family; with `other` one whose range is two steps or more from that of `other`. Count where there
 * is none. */
static size_t best_point(const foci_likelihood_grid *grid, const foci_likelihood_value *values, size_t family,
                         bool with_ratio, const size_t *other) {
    size_t count = foci_likelihood_grid_count(grid), best = count;
    for (size_t i = 0; i < count; i++) {
        foci_likelihood_index index = foci_likelihood_grid_index(grid, i);
        if (index.family != family || (!with_ratio && index.ratio != 0) || !isfinite(values[i].log))
            continue;
        if (other) {
            size_t range = foci_likelihood_grid_index(grid, *other).range;
            if (index.range + 1 >= range && index.range <= range + 1)
                continue;
        }
        if (best == count || values[i].log > values[best].log)
            best = i;
    }
    return best;
}

static size_t choose_starts(start *starts, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                            bool with_ratio) {
    size_t points[STARTS_MOST], count = foci_likelihood_grid_count(grid), chosen = 0, kept = 0;
    double best = -INFINITY;
    for (size_t family = 0; family < grid->families; family++) {
        size_t first = best_point(grid, values, family, with_ratio, NULL);
        if (first == count)
            continue;
        best = fmax(best, values[first].log);
        points[chosen++] = first;
        size_t second = best_point(grid, values, family, with_ratio, &first);
        if (second < count)
            points[chosen++] = second;
    }
    for (size_t i = 0; i < chosen; i++)
        if (values[points[i]].log >= best - NEAR)
            starts[kept++] = (start){.shape = foci_likelihood_grid_shape(grid, points[i])};
    return kept;
}

static foci_likelihood_fit finished(const start *s, const foci_likelihood *likelihood) {
    foci_likelihood_fit fit = {.variogram = s->shape, .log = s->log};
    fit.variogram.nugget = s->shape.nugget * s->sill;
    fit.variogram.partial_sill = s->shape.partial_sill * s->sill;
    fit.variogram.squares = NAN;
    snprintf(fit.variogram.fit, sizeof fit.variogram.fit, "%s",
             likelihood->restricted ? "restricted-likelihood" : "likelihood");
    return fit;
}

static bool best_of(foci_likelihood_fit *out, const foci_likelihood_grid *grid, const foci_likelihood_value *values,
                    const foci_likelihood *likelihood, bool with_ratio, const foci_execution *how, foci_error *err) {
    start starts[STARTS_MOST] = {0};
    refine_job job = {starts, grid, likelihood, with_ratio, NULL};
    size_t count = choose_starts(starts, grid, values, with_ratio), best = 0;
    size_t workers = foci_parallel_threads(how, count);
    if (count == 0)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                         "no covariance model fits the readings; give --variogram, or use --surface idw");
    job.works = foci_likelihood_works_make(workers, likelihood, err);
    bool ok = job.works && foci_parallel(count, how, refine_one, &job, err);
    foci_likelihood_works_free(job.works, workers);
    if (!ok)
        return false;
    for (size_t i = 1; i < count; i++)
        if (starts[i].log > starts[best].log)
            best = i;
    *out = finished(&starts[best], likelihood);
    return true;
}

bool foci_likelihood_best(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                          const foci_likelihood_value *values, const foci_likelihood *likelihood,
                          const foci_execution *how, foci_error *err) {
    return best_of(out, grid, values, likelihood, grid->ratios > 1, how, err);
}

bool foci_likelihood_best_isotropic(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                                    const foci_likelihood_value *values, const foci_likelihood *likelihood,
                                    const foci_execution *how, foci_error *err) {
    return best_of(out, grid, values, likelihood, false, how, err);
}

/* One heading and ratio: the best of a few ranges and shares around those of the isotropic fit. The longest range is at
 * least the isotropic one. */
typedef struct {
    start *found; /* one per job */
    foci_variogram from;
    const foci_likelihood *likelihood;
    foci_likelihood_work *works; /* one per thread */
} heading_job;

static const double tried_ratios[] = {1 / 1.5, 1 / 2.25, 1 / 3.375, 1 / 5.0625};
enum { RATIOS_TRIED = sizeof tried_ratios / sizeof *tried_ratios };

static bool try_heading(void *context, size_t thread, size_t job, foci_error *err) {
    static const double factors[RANGES_TRIED] = {1, 1.4, 2, 2.8, 4};
    const heading_job *j = context;
    foci_likelihood_work *work = &j->works[thread];
    (void)err;
    start best = {.shape = j->from, .log = -INFINITY};
    size_t heading = job / RATIOS_TRIED;
    best.shape.heading = 180.0 / HEADINGS * (double)heading;
    best.shape.ratio = tried_ratios[job % RATIOS_TRIED];
    foci_variogram shape = best.shape;
    for (size_t k = 0; k < RANGES_TRIED; k++) {
        shape.range = j->from.range * factors[k];
        foci_likelihood_correlate(work, j->likelihood, &shape);
        for (int step = -1; step <= 1; step++) {
            foci_likelihood_value value;
            shape.nugget = fmin(fmax(j->from.nugget + 0.15 * step, 0), 1);
            shape.partial_sill = 1 - shape.nugget;
            foci_likelihood_at(&value, j->likelihood, work, shape.nugget);
            if (value.log > best.log)
                best = (start){.shape = shape, .log = value.log};
        }
    }
    j->found[job] = best;
    return true;
}

bool foci_likelihood_best_heading(foci_likelihood_fit *out, const foci_likelihood_grid *grid,
                                  const foci_likelihood_fit *begin, const foci_likelihood *likelihood,
                                  const foci_execution *how, foci_error *err) {
    enum { JOBS = HEADINGS * RATIOS_TRIED };
    start found[JOBS];
    heading_job job = {found, begin->variogram, likelihood, NULL};
    double sill = begin->variogram.nugget + begin->variogram.partial_sill;
    size_t best = 0, workers = foci_parallel_threads(how, JOBS);
    bool ok = false;
    job.from.nugget /= sill;
    job.from.partial_sill /= sill;
    job.works = foci_likelihood_works_make(workers, likelihood, err);
    if (!job.works || !foci_parallel(JOBS, how, try_heading, &job, err))
        goto done;
    for (size_t i = 1; i < JOBS; i++)
        if (found[i].log > found[best].log)
            best = i;
    if (!refine(&found[best], grid, likelihood, true, job.works, err))
        goto done;
    *out = found[best].log > begin->log ? finished(&found[best], likelihood) : *begin;
    ok = true;
done:
    foci_likelihood_works_free(job.works, workers);
    return ok;
}

#include "estimate/kriging.h"

#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/kriging_system.h"
#include "estimate/neighbours.h"
#include "estimate/tiles.h"

#define NONE ((size_t)-1)

/* What one thread works in. */
typedef struct {
    double *u, *v;             /* FOCI_TILE places in the plane */
    double *covariance;        /* stops of the system x FOCI_TILE, or x 1 with neighbours */
    size_t *found;             /* neighbours only */
    foci_kriging_system local; /* neighbours only */
} workspace;

typedef struct {
    double *estimate, *variance; /* variance may be NULL */
    const foci_readings *readings;
    const foci_variogram *model;
    const foci_point *places;
    bool leave_own; /* place i is stop i, which does not count */
    foci_kriging_plane plane;
    foci_kriging_system whole; /* all stops; empty with neighbours */
    size_t neighbours;         /* 0: all stops enter */
    foci_neighbours *index;
    size_t threads;
    workspace *works; /* one per thread */
} job;

static void workspace_free(workspace *work) {
    free(work->u);
    free(work->v);
    free(work->covariance);
    free(work->found);
    foci_kriging_system_free(&work->local);
}

static bool workspace_make(workspace *work, const job *j, foci_error *err) {
    work->u = foci_new_array(FOCI_TILE, sizeof *work->u, err);
    if (!work->u)
        return false;
    work->v = foci_new_array(FOCI_TILE, sizeof *work->v, err);
    if (!work->v)
        return false;
    if (j->neighbours == 0) {
        work->covariance = foci_new_array(j->whole.count, FOCI_TILE * sizeof *work->covariance, err);
        return work->covariance;
    }
    work->covariance = foci_new_array(j->neighbours, sizeof *work->covariance, err);
    if (!work->covariance)
        return false;
    work->found = foci_new_array(j->neighbours, sizeof *work->found, err);
    return work->found && foci_kriging_system_make(&work->local, j->neighbours, err);
}

static void job_free(job *j) {
    for (size_t t = 0; j->works && t < j->threads; t++)
        workspace_free(&j->works[t]);
    free(j->works);
    foci_neighbours_close(j->index);
    foci_kriging_system_free(&j->whole);
}

/* The stops that enter into a system: `chosen`, or all where that is NULL. */
static void fill_stops(foci_kriging_system *system, const job *j, const size_t *chosen, size_t count) {
    system->count = count;
    for (size_t k = 0; k < count; k++) {
        size_t i = chosen ? chosen[k] : k;
        foci_kriging_plane_place(&j->plane, j->readings->places[i], &system->u[k], &system->v[k]);
        system->values[k] = j->readings->values[i];
    }
}

static bool job_make(job *j, const foci_surface_options *options, size_t count, foci_error *err) {
    size_t stops = j->readings->count;
    foci_linear_single_thread();
    j->model = options->variogram;
    j->plane = foci_kriging_plane_make(j->model, j->readings);
    if (options->neighbours > 0 && options->neighbours < stops) {
        j->neighbours = options->neighbours;
        if (!foci_neighbours_open(&j->index, j->readings->places, stops, err))
            return false;
    } else {
        if (!foci_kriging_system_make(&j->whole, stops, err))
            return false;
        fill_stops(&j->whole, j, NULL, stops);
        if (!foci_kriging_system_solve(&j->whole, j->model, err))
            return false;
    }
    j->threads = foci_tiles_threads(options, count);
    j->works = foci_new_array(j->threads, sizeof *j->works, err);
    for (size_t t = 0; j->works && t < j->threads; t++)
        if (!workspace_make(&j->works[t], j, err))
            return false;
    return j->works;
}

static bool work_whole(void *context, size_t thread, size_t first, size_t count, foci_error *err) {
    const job *j = context;
    const workspace *work = &j->works[thread];
    for (size_t i = 0; i < count; i++)
        foci_kriging_plane_place(&j->plane, j->places[first + i], &work->u[i], &work->v[i]);
    return foci_kriging_system_at(j->estimate + first, j->variance ? j->variance + first : NULL, &j->whole, j->model,
                                  work->u, work->v, count, work->covariance, err);
}

static bool work_nearest(void *context, size_t thread, size_t first, size_t count, foci_error *err) {
    const job *j = context;
    workspace *work = &j->works[thread];
    for (size_t i = first; i < first + count; i++) {
        size_t found =
            foci_neighbours_find(j->index, j->places[i], j->neighbours, j->leave_own ? i : NONE, work->found);
        fill_stops(&work->local, j, work->found, found);
        if (!foci_kriging_system_solve(&work->local, j->model, err))
            return false;
        foci_kriging_plane_place(&j->plane, j->places[i], work->u, work->v);
        if (!foci_kriging_system_at(&j->estimate[i], j->variance ? &j->variance[i] : NULL, &work->local, j->model,
                                    work->u, work->v, 1, work->covariance, err))
            return false;
    }
    return true;
}

/* A model without variance says that all readings are equal, and that nothing is unknown. */
static bool take_constant(const job *j, size_t count, foci_error *err) {
    for (size_t i = 1; i < j->readings->count; i++)
        if (j->readings->values[i] != j->readings->values[0])
            return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                             "the variogram says that readings do not vary with distance, yet they differ; give "
                             "--variogram, or use --surface idw");
    for (size_t i = 0; i < count; i++) {
        j->estimate[i] = j->readings->values[0];
        if (j->variance)
            j->variance[i] = 0;
    }
    return true;
}

static bool run(job *j, const foci_surface_options *options, size_t count, foci_error *err) {
    if (j->readings->count < (j->leave_own ? 2 : 1))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few; give more stops", j->readings->count);
    if (options->variogram->nugget + options->variogram->partial_sill == 0)
        return take_constant(j, count, err);
    bool ok = false;
    if (!job_make(j, options, count, err))
        goto done;
    if (j->neighbours > 0)
        ok = foci_tiles_run(count, options, work_nearest, j, err);
    else if (j->leave_own)
        ok = foci_kriging_system_left_out(j->estimate, j->variance, &j->whole, err);
    else
        ok = foci_tiles_run(count, options, work_whole, j, err);
done:
    job_free(j);
    return ok;
}

bool foci_kriging_at(double *estimate, double *variance, const foci_readings *readings,
                     const foci_surface_options *options, const foci_point *places, size_t count, foci_error *err) {
    job j = {.estimate = estimate, .variance = variance, .readings = readings, .places = places};
    return run(&j, options, count, err);
}

bool foci_kriging_left_out(double *estimate, double *variance, const foci_readings *readings,
                           const foci_surface_options *options, foci_error *err) {
    job j = {.estimate = estimate,
             .variance = variance,
             .readings = readings,
             .places = readings->places,
             .leave_own = true};
    return run(&j, options, readings->count, err);
}

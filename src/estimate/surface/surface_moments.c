/* Binomial kriging by moments as a surface method: the true share, kriged from shares whose sampling error is known. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/chance.h"
#include "base/linear.h"
#include "base/memory.h"
#include "base/parallel.h"
#include "estimate/gaussian/kriging_system.h"
#include "estimate/surface/surface_methods.h"

/* The system of all stops may take this much. */
#define MOST_BYTES 2147483648.0

typedef struct {
    foci_readings readings; /* borrowed arrays */
    foci_surface_options options;
    foci_variogram variogram; /* of the true share, percent squared */
    foci_kriging_plane plane;
    foci_kriging_system system;
} moments_state;

void foci_surface_moments_free(void *state) {
    moments_state *moments = state;
    foci_kriging_system_free(&moments->system);
    free(moments);
}

static bool fit_variogram(moments_state *moments, foci_error *err) {
    const foci_surface_options *options = &moments->options;
    foci_semivariances semivariances = {0};
    if (options->variogram) {
        moments->variogram = *options->variogram;
        return true;
    }
    bool ok = foci_semivariances_of_shares(&semivariances, &moments->readings, options->lag, options->farthest, err) &&
              foci_variogram_fit(&moments->variogram, &semivariances, options->kind, options->smoothness, err);
    foci_semivariances_free(&semivariances);
    return ok;
}

/* Error of a share of n units: (P (100 - P) - the variance of the true share) / n; at least that of half an infected
 * unit, so that all zeros have an error too. */
static void fill_system(moments_state *moments) {
    const foci_readings *readings = &moments->readings;
    foci_kriging_system *system = &moments->system;
    double hits = 0, checked = 0, least = 0;
    for (size_t i = 0; i < readings->count; i++) {
        hits += readings->hits[i];
        checked += readings->checked[i];
    }
    double pooled = 100 * hits / checked;
    least = 50 / checked * (100 - 50 / checked);
    double binomial =
        fmax(pooled * (100 - pooled) - moments->variogram.nugget - moments->variogram.partial_sill, least);
    system->count = readings->count;
    for (size_t i = 0; i < readings->count; i++) {
        foci_kriging_plane_place(&moments->plane, readings->places[i], &system->u[i], &system->v[i]);
        system->error[i] = binomial / readings->checked[i];
    }
    memcpy(system->values, readings->values, readings->count * sizeof *system->values);
}

static bool check_memory(size_t stops, foci_error *err) {
    double bytes = 8 * (double)stops * (double)stops;
    return bytes <= MOST_BYTES || foci_fail(err, FOCI_NO_MEMORY, NULL, 0,
                                            "kriging from all %zu stops at once would take %.1f GiB, and 2 GiB is the "
                                            "limit; use --surface counts",
                                            stops, bytes / 1073741824.0);
}

static bool check_options(const foci_surface_options *options, foci_error *err) {
    if (options->trend > 0)
        return foci_fail(err, FOCI_BAD_SETTING, "--trend", 0,
                         "binomial kriging by moments knows no trend; leave it out, or use --surface kriging");
    if (options->scale == FOCI_SCALE_BOX_COX)
        return foci_fail(err, FOCI_BAD_SETTING, "--scale", 0,
                         "binomial kriging by moments works in percent; leave it out, or use --surface kriging");
    return true;
}

bool foci_surface_moments_fit(void **state, foci_surface_facts *facts, const foci_readings *readings,
                              const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    (void)how;
    if (!check_options(options, err) || !check_memory(readings->count, err))
        return false;
    moments_state *moments = foci_new_array(1, sizeof *moments, err);
    if (!moments)
        return false;
    moments->readings = *readings;
    moments->options = *options;
    bool ok = false;
    foci_linear_single_thread();
    if (!fit_variogram(moments, err) || !foci_kriging_system_make(&moments->system, readings->count, err))
        goto done;
    moments->plane = foci_kriging_plane_make(&moments->variogram, readings);
    fill_system(moments);
    if (!foci_kriging_system_solve(&moments->system, &moments->variogram, err))
        goto done;
    moments->options.variogram = NULL; /* what was given is copied */
    facts->variogram = moments->variogram;
    facts->fitted_on = readings->count;
    *state = moments;
    moments = NULL;
    ok = true;
done:
    if (moments)
        foci_surface_moments_free(moments);
    return ok;
}

typedef struct {
    const moments_state *moments;
    const foci_answers *out;
    const foci_point *places;
    size_t count;
    double *room; /* per thread: FOCI_TILE x (stops + 3) */
} job;

static bool work_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    const job *j = context;
    const size_t first = tile * FOCI_TILE, count = foci_tile_length(j->count, tile);
    const moments_state *moments = j->moments;
    double *u = j->room + thread * FOCI_TILE * (moments->system.count + 3), *v = u + FOCI_TILE;
    double *variance = v + FOCI_TILE, *work = variance + FOCI_TILE;
    for (size_t i = 0; i < count; i++)
        foci_kriging_plane_place(&moments->plane, j->places[first + i], &u[i], &v[i]);
    if (!foci_kriging_system_at(j->out->estimate + first, variance, &moments->system, &moments->variogram, u, v, count,
                                work, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        double estimate = j->out->estimate[first + i], reach = FOCI_NORMAL_95 * sqrt(variance[i]);
        if (j->out->variance)
            j->out->variance[first + i] = variance[i];
        if (j->out->low)
            j->out->low[first + i] = estimate - reach;
        if (j->out->high)
            j->out->high[first + i] = estimate + reach;
        if (j->out->chance)
            j->out->chance[first + i] = foci_exceedance(estimate, variance[i], moments->options.threshold);
    }
    return true;
}

bool foci_surface_moments_at(const void *state, const foci_answers *out, const foci_point *places, size_t count,
                             const foci_execution *how, foci_error *err) {
    const moments_state *moments = state;
    const size_t tiles = foci_tiles(count), threads = foci_parallel_threads(how, tiles);
    job j = {.moments = moments, .out = out, .places = places, .count = count};
    j.room = foci_new_array(threads * FOCI_TILE, (moments->system.count + 3) * sizeof *j.room, err);
    bool ok = j.room && foci_parallel(tiles, how, work_tile, &j, err);
    free(j.room);
    return ok;
}

bool foci_surface_moments_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                   foci_error *err) {
    const moments_state *moments = state;
    (void)how;
    size_t count = moments->readings.count;
    foci_kriging_system system = {0};
    bool ok = false;
    if (count < 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few; give more stops", count);
    if (!foci_kriging_system_make(&system, count, err))
        return false;
    system.count = count;
    memcpy(system.u, moments->system.u, count * sizeof *system.u);
    memcpy(system.v, moments->system.v, count * sizeof *system.v);
    memcpy(system.values, moments->system.values, count * sizeof *system.values);
    memcpy(system.error, moments->system.error, count * sizeof *system.error);
    if (!foci_kriging_system_solve(&system, &moments->variogram, err) ||
        !foci_kriging_system_left_out(out->estimate, out->variance, &system, err))
        goto done;
    for (size_t i = 0; i < count; i++) {
        double z = (moments->readings.values[i] - out->estimate[i]) / sqrt(out->variance[i]);
        out->log_score[i] = -0.5 * (log(2 * M_PI * out->variance[i]) + z * z);
        out->inside[i] = fabs(z) <= FOCI_NORMAL_95;
    }
    ok = true;
done:
    foci_kriging_system_free(&system);
    return ok;
}

/* Binomial kriging by moments as a surface method: the true share, kriged from shares whose sampling error is known. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/chance.h"
#include "base/linear.h"
#include "base/memory.h"
#include "base/parallel.h"
#include "estimate/gaussian/exact.h"
#include "estimate/surface/surface_methods.h"
#include "estimate/variogram/covariance_shape.h"

/* The system of all stops may take this much. */
#define MOST_BYTES 2147483648.0

typedef struct {
    foci_readings readings; /* borrowed arrays */
    foci_surface_options options;
    foci_variogram variogram; /* of the true share, percent squared */
    foci_parameters at;
    foci_observations stops; /* shares, with their errors */
    foci_conditional given;
} moments_state;

void foci_surface_moments_free(void *state) {
    moments_state *moments = state;
    foci_observations_free(&moments->stops);
    foci_conditional_free(&moments->given);
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
static void fill_errors(moments_state *moments) {
    const foci_readings *readings = &moments->readings;
    double hits = 0, checked = 0, least = 0;
    for (size_t i = 0; i < readings->count; i++) {
        hits += readings->hits[i];
        checked += readings->checked[i];
    }
    double pooled = 100 * hits / checked;
    least = 50 / checked * (100 - 50 / checked);
    double binomial =
        fmax(pooled * (100 - pooled) - moments->variogram.nugget - moments->variogram.partial_sill, least);
    for (size_t i = 0; i < readings->count; i++)
        moments->stops.error[i] = binomial / readings->checked[i];
}

/* The stops' covariance, solved at the variogram; the caller frees it. */
static bool solve(foci_exact *work, const moments_state *moments, foci_error *err) {
    if (!foci_exact_make(work, moments->stops.count, moments->stops.columns.count + 1, err))
        return false;
    foci_exact_take(work, &moments->stops);
    return foci_exact_solve(work, &moments->at, err);
}

static bool condition(moments_state *moments, foci_error *err) {
    const foci_readings *readings = &moments->readings;
    const foci_season_readings shares = {readings->places, readings->values, NULL, readings->count};
    const foci_columns mean = foci_columns_drift(0, 1);
    foci_exact work = {0};
    double sill = 0;
    const foci_covariance_shape shape = foci_covariance_shape_of(&moments->variogram, &sill);
    moments->at = foci_covariance_shape_parameters(&shape, sill, 1);
    if (!foci_observations_make(&moments->stops, foci_response_normal, &shares, 1, &mean, moments->variogram.heading,
                                err))
        return false;
    fill_errors(moments);
    bool ok = solve(&work, moments, err) && foci_conditional_make(&moments->given, readings->count, 1, err) &&
              foci_exact_condition(&moments->given, &work, false, err);
    foci_exact_free(&work);
    return ok;
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
                              const foci_readings *earlier, const foci_surface_options *options,
                              const foci_execution *how, foci_error *err) {
    (void)earlier;
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
    if (!fit_variogram(moments, err) || !condition(moments, err))
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

/* What one thread works in. */
typedef struct {
    double *targets, *variance;
    foci_conditional_room room;
} workspace;

static bool workspace_make(workspace *work, const moments_state *moments, foci_error *err) {
    const size_t numbers = foci_targets_room(&moments->stops, FOCI_TILE);
    work->targets = foci_new_array(numbers + FOCI_TILE, sizeof *work->targets, err);
    if (!work->targets)
        return false;
    work->variance = work->targets + numbers;
    return foci_conditional_room_make(&work->room, moments->stops.count, 1, FOCI_TILE, err);
}

typedef struct {
    const moments_state *moments;
    const foci_answers *out;
    const foci_point *places;
    size_t count;
    workspace *works; /* one per thread */
} job;

static bool work_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    const job *j = context;
    const size_t first = tile * FOCI_TILE, count = foci_tile_length(j->count, tile);
    const moments_state *moments = j->moments;
    workspace *work = &j->works[thread];
    double *variance = work->variance;
    const foci_targets places = foci_targets_fill(work->targets, &moments->stops, j->places + first, count, 0);
    work->room.with.held = (foci_parameters){0};
    if (!foci_conditional_at(j->out->estimate + first, variance, &moments->given, &moments->stops, &moments->at,
                             &places, &work->room, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        variance[i] += moments->at.noise[0] * moments->at.noise[0];
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
    bool ok = false;
    j.works = foci_new_array(threads, sizeof *j.works, err);
    if (!j.works)
        return false;
    for (size_t t = 0; t < threads; t++)
        if (!workspace_make(&j.works[t], moments, err))
            goto done;
    ok = foci_parallel(tiles, how, work_tile, &j, err);
done:
    for (size_t t = 0; t < threads; t++) {
        free(j.works[t].targets);
        foci_conditional_room_free(&j.works[t].room);
    }
    free(j.works);
    return ok;
}

bool foci_surface_moments_left_out(const void *state, const foci_left_out *out, const foci_execution *how,
                                   foci_error *err) {
    const moments_state *moments = state;
    (void)how;
    size_t count = moments->readings.count;
    foci_exact work = {0};
    bool ok = false;
    if (count < 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few; give more stops", count);
    if (!solve(&work, moments, err) || !foci_exact_leave_one_out(out->estimate, out->variance, &work, err))
        goto done;
    for (size_t i = 0; i < count; i++) {
        double z = (moments->readings.values[i] - out->estimate[i]) / sqrt(out->variance[i]);
        out->log_score[i] = -0.5 * (log(2 * M_PI * out->variance[i]) + z * z);
        out->inside[i] = fabs(z) <= FOCI_NORMAL_95;
    }
    ok = true;
done:
    foci_exact_free(&work);
    return ok;
}

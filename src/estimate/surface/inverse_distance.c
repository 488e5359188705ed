/* Inverse-distance weighting (Shepard 1968, Proceedings of the 23rd ACM National Conference: 517-524). On a stop the
 * answer is its reading. */
#include "estimate/surface/surface_methods.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/space/neighbours.h"
#include "base/parallel.h"

#define NONE ((size_t)-1)

typedef struct {
    foci_readings readings; /* borrowed arrays */
    foci_surface_options options;
    double half_power; /* distances are kept squared */
    size_t neighbours; /* 0: all stops enter */
    foci_neighbours *index;
} idw_state;

typedef struct {
    const idw_state *state;
    double *estimate;
    const foci_point *places;
    size_t count;
    bool leave_own; /* place i is stop i, which does not count */
    size_t *found;  /* `neighbours` per thread */
} job;

static double squared_distance(foci_point a, foci_point b) {
    double dx = a.x - b.x, dy = a.y - b.y;
    return dx * dx + dy * dy;
}

/* The weighted mean over `chosen` (NULL: over all stops but `skip`). Weights are relative to the nearest stop's, so no
 * power of a distance overflows. */
static double weighted_mean(const idw_state *j, foci_point place, const size_t *chosen, size_t count, size_t skip) {
    const foci_readings *readings = &j->readings;
    double nearest = INFINITY;
    for (size_t k = 0; k < count; k++) {
        size_t i = chosen ? chosen[k] : k;
        double squared = squared_distance(place, readings->places[i]);
        if (i == skip)
            continue;
        if (squared == 0)
            return readings->values[i];
        if (squared < nearest)
            nearest = squared;
    }
    double sum = 0, weights = 0;
    for (size_t k = 0; k < count; k++) {
        size_t i = chosen ? chosen[k] : k;
        if (i == skip)
            continue;
        double closeness = nearest / squared_distance(place, readings->places[i]);
        double weight = j->half_power == 1 ? closeness : pow(closeness, j->half_power);
        sum += weight * readings->values[i];
        weights += weight;
    }
    return sum / weights;
}

static bool work_tile(void *context, size_t thread, size_t tile, foci_error *err) {
    const job *j = context;
    const size_t first = tile * FOCI_TILE, count = foci_tile_length(j->count, tile);
    const idw_state *idw = j->state;
    (void)err;
    size_t *found = j->found ? j->found + thread * idw->neighbours : NULL;
    for (size_t i = first; i < first + count; i++) {
        size_t skip = j->leave_own ? i : NONE;
        size_t entering = idw->readings.count;
        if (found)
            entering = foci_neighbours_find(idw->index, j->places[i], idw->neighbours, skip, found);
        j->estimate[i] = weighted_mean(idw, j->places[i], found, entering, skip);
    }
    return true;
}

static bool run(const idw_state *idw, double *estimate, const foci_point *places, size_t count, bool leave_own,
                const foci_execution *how, foci_error *err) {
    job j = {.state = idw, .estimate = estimate, .places = places, .count = count, .leave_own = leave_own};
    const size_t tiles = foci_tiles(count), threads = foci_parallel_threads(how, tiles);
    if (idw->neighbours > 0) {
        j.found = foci_new_array(threads * idw->neighbours, sizeof *j.found, err);
        if (!j.found)
            return false;
    }
    bool ok = foci_parallel(tiles, how, work_tile, &j, err);
    free(j.found);
    return ok;
}

static bool fit(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    (void)earlier;
    (void)facts;
    (void)how;
    if (!(options->power > 0) || isinf(options->power))
        return foci_fail(err, FOCI_BAD_SETTING, "{power}", 0, "%g is not possible; give a power above 0",
                         options->power);
    idw_state *idw = foci_new_array(1, sizeof *idw, err);
    if (!idw)
        return false;
    idw->readings = *readings;
    idw->options = *options;
    idw->half_power = options->power / 2;
    if (options->neighbours > 0 && options->neighbours < readings->count) {
        idw->neighbours = options->neighbours;
        if (!foci_neighbours_open(&idw->index, readings->places, readings->count, err)) {
            free(idw);
            return false;
        }
    }
    *state = idw;
    return true;
}

static void free_state(void *state) {
    idw_state *idw = state;
    foci_neighbours_close(idw->index);
    free(idw);
}

static bool at(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err) {
    double *const unknown[] = {out->variance, out->low, out->high, out->chance};
    for (size_t k = 0; k < sizeof unknown / sizeof *unknown; k++)
        for (size_t i = 0; unknown[k] && i < count; i++)
            unknown[k][i] = NAN;
    return run(state, out->estimate, places, count, false, how, err);
}

static bool leave_one_out(const void *state, const foci_leave_one_out *out, const foci_execution *how,
                          foci_error *err) {
    const idw_state *idw = state;
    if (idw->readings.count < 2)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few; give more stops", idw->readings.count);
    return run(idw, out->estimate, idw->readings.places, idw->readings.count, true, how, err);
}

const struct foci_surface_functions foci_surface_by_distance = {
    .fit = fit,
    .free = free_state,
    .at = at,
    .left_out = leave_one_out,
};

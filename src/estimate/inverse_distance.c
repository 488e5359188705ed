#include "estimate/inverse_distance.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/neighbours.h"
#include "estimate/tiles.h"

#define NONE ((size_t)-1)

typedef struct {
    double *estimate;
    const foci_readings *readings;
    const foci_point *places;
    double half_power; /* distances are kept squared */
    bool leave_own;    /* place i is stop i, which does not count */
    size_t neighbours; /* 0: all stops enter */
    foci_neighbours *index;
    size_t *found; /* `neighbours` per thread */
} job;

static double squared_distance(foci_point a, foci_point b) {
    double dx = a.x - b.x, dy = a.y - b.y;
    return dx * dx + dy * dy;
}

/* The weighted mean over `chosen` (NULL: over all stops but `skip`). Weights are relative to the nearest stop's, so no
 * power of a distance overflows. */
static double weighted_mean(const job *j, foci_point place, const size_t *chosen, size_t count, size_t skip) {
    const foci_readings *readings = j->readings;
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

static bool work_tile(void *context, size_t thread, size_t first, size_t count, foci_error *err) {
    const job *j = context;
    (void)err;
    size_t *found = j->found ? j->found + thread * j->neighbours : NULL;
    for (size_t i = first; i < first + count; i++) {
        size_t skip = j->leave_own ? i : NONE;
        size_t entering = j->readings->count;
        if (found)
            entering = foci_neighbours_find(j->index, j->places[i], j->neighbours, skip, found);
        j->estimate[i] = weighted_mean(j, j->places[i], found, entering, skip);
    }
    return true;
}

static bool run(job *j, const foci_surface_options *options, size_t count, foci_error *err) {
    if (!(options->power > 0) || isinf(options->power))
        return foci_fail(err, FOCI_BAD_SETTING, "--power", 0, "%g is not possible; give a power above 0",
                         options->power);
    if (j->readings->count < (j->leave_own ? 2 : 1))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "%zu stops are too few; give more stops", j->readings->count);
    j->half_power = options->power / 2;
    bool ok = false;
    if (options->neighbours > 0 && options->neighbours < j->readings->count) {
        j->neighbours = options->neighbours;
        j->found = foci_new_array(foci_tiles_threads(options, count) * j->neighbours, sizeof *j->found, err);
        if (!j->found)
            goto done;
        if (!foci_neighbours_open(&j->index, j->readings->places, j->readings->count, err))
            goto done;
    }
    ok = foci_tiles_run(count, options, work_tile, j, err);
done:
    foci_neighbours_close(j->index);
    free(j->found);
    return ok;
}

bool foci_inverse_distance_at(double *estimate, double *variance, const foci_readings *readings,
                              const foci_surface_options *options, const foci_point *places, size_t count,
                              foci_error *err) {
    (void)variance;
    job j = {.estimate = estimate, .readings = readings, .places = places};
    return run(&j, options, count, err);
}

bool foci_inverse_distance_left_out(double *estimate, double *variance, const foci_readings *readings,
                                    const foci_surface_options *options, foci_error *err) {
    (void)variance;
    job j = {.estimate = estimate, .readings = readings, .places = readings->places, .leave_own = true};
    return run(&j, options, readings->count, err);
}

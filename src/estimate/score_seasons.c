#include "estimate/score_seasons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { SHARES = FOCI_SCORE_SHARES, MOST = FOCI_SCORE_DRAWS * SHARES };

const double foci_score_share[SHARES] = {0, 0.3, 0.6, 0.8, 0.95};
const double foci_score_share_prior[SHARES] = {0.5, 0.125, 0.125, 0.125, 0.125};

/* Adds the earlier season's; returns the ratio of the seasons' deviations at the likeliest point of both. */
static double add_values(foci_likelihood_value *values, const foci_likelihood_value *earlier, size_t points) {
    double best = -INFINITY, scale = 1;
    for (size_t i = 0; i < points; i++) {
        values[i].log += earlier[i].log;
        if (!(values[i].log > best))
            continue;
        best = values[i].log;
        scale = sqrt(values[i].sill / earlier[i].sill);
    }
    return scale;
}

static bool all_equal(const foci_readings *readings) {
    for (size_t i = 1; i < readings->count; i++)
        if (readings->values[i] != readings->values[0])
            return false;
    return true;
}

bool foci_score_seasons_join(foci_likelihood *out, double *scale, foci_likelihood_value *values,
                             const foci_likelihood_grid *grid, const foci_likelihood *own, const foci_readings *earlier,
                             const foci_execution *how, foci_error *err) {
    size_t points = foci_likelihood_grid_count(grid);
    foci_likelihood other = {0};
    foci_likelihood_value *added = NULL;
    bool ok = false;
    if (all_equal(earlier))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "all its readings are equal");
    if (!foci_likelihood_make(&other, earlier->places, earlier->values, earlier->count, 1, own->order, own->restricted,
                              err))
        goto done;
    added = foci_new_array(points, sizeof *added, err);
    if (!added || !foci_likelihood_grid_run(added, grid, &other, how, err))
        goto done;
    *scale = add_values(values, added, points);
    ok = foci_likelihood_join(out, own, &other, *scale, err);
done:
    foci_likelihood_free(&other);
    free(added);
    return ok;
}

/* The values of all shares of each draw. */
static bool try_shares(foci_likelihood_value *values, const foci_score_draw *draws, size_t count,
                       const foci_likelihood_grid *grid, foci_likelihood *both, foci_error *err) {
    foci_likelihood_work work = {0};
    if (!foci_likelihood_work_make(&work, both, err))
        return false;
    for (size_t i = 0; i < count * SHARES; i++) {
        foci_variogram shape = foci_likelihood_grid_shape(grid, draws[i / SHARES].point);
        if (i % SHARES == 0)
            foci_likelihood_correlate(&work, both, &shape);
        both->shared = foci_score_share[i % SHARES];
        foci_likelihood_at(&values[i], both, &work, shape.nugget);
    }
    foci_likelihood_work_free(&work);
    return true;
}

static void weigh(double *weight, const foci_likelihood_value *values, const foci_score_draw *draws, size_t count) {
    double best = -INFINITY, sum = 0;
    for (size_t i = 0; i < count * SHARES; i++)
        best = fmax(best, values[i].log - values[i - i % SHARES].log);
    for (size_t i = 0; i < count * SHARES; i++)
        sum += weight[i] = draws[i / SHARES].weight * foci_score_share_prior[i % SHARES] *
                           exp(values[i].log - values[i - i % SHARES].log - best);
    for (size_t i = 0; i < count * SHARES; i++)
        weight[i] /= sum;
}

/* The shares of every second draw run backwards, so that neighbours in the order are alike. */
static size_t in_order(size_t step) {
    size_t d = step / SHARES, s = step % SHARES;
    return d * SHARES + (d % 2 == 0 ? s : SHARES - 1 - s);
}

bool foci_score_seasons_spread(foci_score_draw draws[FOCI_SCORE_DRAWS], size_t *count, size_t wanted,
                               const foci_likelihood_grid *grid, foci_likelihood *both, foci_error *err) {
    foci_score_draw drawn[FOCI_SCORE_DRAWS];
    foci_likelihood_value values[MOST];
    double weight[MOST], passed = 0, mean = 0;
    size_t next = 0, kept = 0, steps = *count * SHARES;
    if (!try_shares(values, draws, *count, grid, both, err))
        return false;
    weigh(weight, values, draws, *count);
    for (size_t step = 0; step < steps; step++) {
        size_t i = in_order(step), taken = 0;
        passed += weight[i];
        mean += weight[i] * foci_score_share[i % SHARES];
        while (next < wanted && (passed >= ((double)next + 0.5) / (double)wanted || step + 1 == steps)) {
            next++;
            taken++;
        }
        if (taken > 0)
            drawn[kept++] = (foci_score_draw){draws[i / SHARES].point, (double)taken / (double)wanted, values[i].sill,
                                              foci_score_share[i % SHARES]};
    }
    memcpy(draws, drawn, kept * sizeof *drawn);
    *count = kept;
    both->shared = mean;
    return true;
}

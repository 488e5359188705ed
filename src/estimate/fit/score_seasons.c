#include "estimate/fit/score_seasons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { TIES = FOCI_SCORE_TIES, MOST = FOCI_SCORE_DRAWS * TIES };

const foci_tie foci_score_ties[TIES] = {
    {0, 1, 0.5}, {0.3, 1, 0.125}, {0.6, 1, 0.125}, {0.8, 1, 0.125}, {0.95, 1, 0.125}};

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

/* The values of all ties of each draw. */
static bool try_ties(foci_likelihood_value *values, const foci_score_draw *draws, size_t count,
                     const foci_likelihood_grid *grid, foci_likelihood *both, foci_error *err) {
    foci_likelihood_work work = {0};
    if (!foci_likelihood_work_make(&work, both, err))
        return false;
    for (size_t i = 0; i < count * TIES; i++) {
        foci_variogram shape = foci_likelihood_grid_shape(grid, draws[i / TIES].point);
        if (i % TIES == 0)
            foci_likelihood_correlate(&work, both, &shape);
        both->shared = foci_score_ties[i % TIES].shared;
        foci_likelihood_at(&values[i], both, &work, shape.nugget);
    }
    foci_likelihood_work_free(&work);
    return true;
}

bool foci_score_seasons_spread(foci_score_draw draws[FOCI_SCORE_DRAWS], size_t *count, size_t wanted,
                               const foci_likelihood_grid *grid, foci_likelihood *both, foci_error *err) {
    foci_score_draw drawn[FOCI_SCORE_DRAWS];
    foci_tied tied[FOCI_SCORE_DRAWS];
    foci_likelihood_value values[MOST];
    double log_likelihood[MOST], weight[MOST], draw_weight[FOCI_SCORE_DRAWS], mean = 0;
    size_t kept = 0;
    if (!try_ties(values, draws, *count, grid, both, err))
        return false;
    for (size_t d = 0; d < *count; d++)
        draw_weight[d] = draws[d].weight;
    for (size_t i = 0; i < *count * TIES; i++)
        log_likelihood[i] = values[i].log;
    foci_ties_weigh(weight, log_likelihood, draw_weight, *count, foci_score_ties, TIES);
    for (size_t i = 0; i < *count * TIES; i++)
        mean += weight[i] * foci_score_ties[i % TIES].shared;
    if (!foci_ties_draw(tied, &kept, weight, *count, TIES, wanted, err))
        return false;
    for (size_t k = 0; k < kept; k++)
        drawn[k] =
            (foci_score_draw){draws[tied[k].draw].point, tied[k].weight, values[tied[k].draw * TIES + tied[k].tie].sill,
                              foci_score_ties[tied[k].tie].shared};
    memcpy(draws, drawn, kept * sizeof *drawn);
    *count = kept;
    both->shared = mean;
    return true;
}

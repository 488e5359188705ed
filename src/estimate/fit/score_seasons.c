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

static bool all_equal(const foci_season_readings *season) {
    for (size_t i = 1; i < season->count; i++)
        if (season->readings[i] != season->readings[0])
            return false;
    return true;
}

bool foci_score_seasons_join(foci_observations *out, double *scale, foci_likelihood_value *values,
                             const foci_score_grid *grid, const foci_likelihood *own,
                             const foci_season_readings seasons[2], const foci_execution *how, foci_error *err) {
    const size_t points = foci_levels_points(&grid->levels);
    const int order = foci_columns_order(&own->stops->columns);
    const foci_columns one = foci_columns_drift(order, 1), two = foci_columns_drift(order, 2);
    const foci_frame *frame = &own->stops->frame;
    foci_observations earlier = {0}, both = {0};
    foci_likelihood other = {0};
    foci_likelihood_value *added = NULL;
    bool ok = false;
    if (all_equal(&seasons[1]))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "all its readings are equal");
    if (!foci_observations_make_in(&earlier, frame, foci_response_normal, &seasons[1], 1, &one, err) ||
        !foci_likelihood_make(&other, &earlier, earlier.readings, 1, own->restricted, err))
        goto done;
    added = foci_new_array(points, sizeof *added, err);
    if (!added || !foci_score_grid_run(added, grid, &other, how, err) ||
        !foci_observations_make_in(&both, frame, foci_response_normal, seasons, 2, &two, err))
        goto done;
    *scale = add_values(values, added, points);
    for (size_t i = both.first[1]; i < both.count; i++)
        both.readings[i] *= *scale;
    *out = both;
    ok = true;
done:
    foci_observations_free(&earlier);
    free(added);
    return ok;
}

/* The values of all ties of each draw. */
static bool try_ties(foci_likelihood_value *values, const foci_score_draw *draws, size_t count,
                     const foci_score_grid *grid, const foci_likelihood *both, foci_error *err) {
    foci_exact work = {0};
    if (!foci_exact_make(&work, both->stops->count, both->stops->columns.count + 1, false, err))
        return false;
    foci_exact_take(&work, both->stops);
    for (size_t i = 0; i < count * TIES; i++) {
        const foci_covariance_shape shape = foci_score_grid_shape(grid, draws[i / TIES].point);
        foci_parameters at = foci_covariance_shape_parameters(&shape, 1, 2);
        at.rho = foci_score_ties[i % TIES].rho;
        foci_exact_likelihood(&values[i], &work, both, &at);
    }
    foci_exact_free(&work);
    return true;
}

bool foci_score_seasons_spread(foci_score_draw draws[FOCI_SCORE_DRAWS], size_t *count, size_t wanted, double *mean,
                               const foci_score_grid *grid, const foci_likelihood *both, foci_error *err) {
    foci_score_draw drawn[FOCI_SCORE_DRAWS];
    foci_drawn tied[FOCI_SCORE_DRAWS];
    foci_likelihood_value values[MOST];
    double log_likelihood[MOST], weight[MOST], draw_weight[FOCI_SCORE_DRAWS];
    size_t kept = 0;
    if (!try_ties(values, draws, *count, grid, both, err))
        return false;
    for (size_t d = 0; d < *count; d++)
        draw_weight[d] = draws[d].weight;
    for (size_t i = 0; i < *count * TIES; i++)
        log_likelihood[i] = values[i].log;
    *mean = 0;
    foci_ties_weigh(weight, log_likelihood, draw_weight, *count, foci_score_ties, TIES);
    for (size_t i = 0; i < *count * TIES; i++)
        *mean += weight[i] * foci_score_ties[i % TIES].rho;
    if (!foci_ties_draw(tied, &kept, weight, *count, TIES, wanted, err))
        return false;
    for (size_t k = 0; k < kept; k++) {
        const size_t point = tied[k].point;
        drawn[k] = (foci_score_draw){draws[point / TIES].point, tied[k].weight, values[point].sill,
                                     foci_score_ties[point % TIES].rho};
    }
    memcpy(draws, drawn, kept * sizeof *drawn);
    *count = kept;
    return true;
}

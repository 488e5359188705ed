/* Indicator kriging as a surface method: the chance comes from the indicators of the threshold, severity and its bounds
 * from kriging of the scores. A variogram that is given is that of the indicators. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/surface/indicator.h"
#include "estimate/surface/surface_methods.h"

typedef struct {
    foci_indicator indicator;
    void *scores; /* state of the kriging row */
} indicator_state;

static void free_state(void *state) {
    indicator_state *both = state;
    foci_indicator_free(&both->indicator);
    if (both->scores)
        foci_surface_by_kriging.free(both->scores);
    free(both);
}

static bool fit(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    (void)earlier;
    const foci_execution first = foci_execution_part(how, 0, 0.2), second = foci_execution_part(how, 0.2, 1);
    foci_surface_options scores = *options;
    foci_fit_summary of_scores = *facts;
    bool ok = false;
    indicator_state *both = foci_new_array(1, sizeof *both, err);
    if (!both)
        return false;
    scores.variogram = NULL;
    if (!foci_indicator_fit(&both->indicator, readings, options->threshold, options, &first, err) ||
        !foci_surface_by_kriging.fit(&both->scores, &of_scores, readings, NULL, &scores, &second, err))
        goto done;
    *facts = of_scores;
    facts->variogram = both->indicator.variogram;
    *state = both;
    both = NULL;
    ok = true;
done:
    if (both)
        free_state(both);
    return ok;
}

static bool at(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err) {
    const indicator_state *both = state;
    const foci_indicator_layers layers = {.chance = out->chance};
    const foci_execution first = foci_execution_part(how, 0, 0.5), second = foci_execution_part(how, 0.5, 1);
    foci_prediction scores = *out;
    scores.chance = NULL;
    return foci_surface_by_kriging.at(both->scores, &scores, places, count, &first, err) &&
           (!out->chance || foci_indicator_at(&layers, &both->indicator, places, count, &second, err));
}

static bool leave_one_out(const void *state, const foci_leave_one_out *out, const foci_execution *how,
                          foci_error *err) {
    const indicator_state *both = state;
    return foci_surface_by_kriging.left_out(both->scores, out, how, err);
}

static bool covariance_of(const void *state, double *mean, double *covariance, double *threshold,
                          const foci_point *places, size_t count, foci_error *err) {
    const indicator_state *both = state;
    return foci_surface_by_kriging.covariance(both->scores, mean, covariance, threshold, places, count, err);
}

const struct foci_surface_functions foci_surface_by_indicator = {
    .fit = fit,
    .free = free_state,
    .at = at,
    .left_out = leave_one_out,
    .covariance = covariance_of,
};

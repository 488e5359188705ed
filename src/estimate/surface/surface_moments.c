/* Binomial kriging by moments as a surface method: the true share, kriged from shares whose sampling error is known. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/predict/score_model.h"
#include "estimate/surface/surface_methods.h"

/* The system of all stops may take this much. */
#define MOST_BYTES 2147483648.0

/* Of the true share, percent squared. */
static bool fit_variogram(foci_variogram *out, const foci_readings *readings, const foci_surface_options *options,
                          foci_error *err) {
    foci_semivariances semivariances = {0};
    if (options->variogram) {
        *out = *options->variogram;
        return true;
    }
    bool ok = foci_semivariances_of_shares(&semivariances, readings, options->lag, options->farthest, err) &&
              foci_variogram_fit(out, &semivariances, options->kind, options->smoothness, err);
    foci_semivariances_free(&semivariances);
    return ok;
}

/* Error of a share of n units: (P (100 - P) - the variance of the true share) / n; at least that of half an infected
 * unit, so that all zeros have an error too. */
static void fill_errors(double *error, const foci_readings *readings, const foci_variogram *variogram) {
    double hits = 0, checked = 0, least = 0;
    for (size_t i = 0; i < readings->count; i++) {
        hits += readings->hits[i];
        checked += readings->checked[i];
    }
    double pooled = 100 * hits / checked;
    least = 50 / checked * (100 - 50 / checked);
    double binomial = fmax(pooled * (100 - pooled) - variogram->nugget - variogram->partial_sill, least);
    for (size_t i = 0; i < readings->count; i++)
        error[i] = binomial / readings->checked[i];
}

static bool check_memory(size_t stops, foci_error *err) {
    double bytes = 8 * (double)stops * (double)stops;
    return bytes <= MOST_BYTES || foci_fail(err, FOCI_NO_MEMORY, NULL, 0,
                                            "kriging from all %zu stops at once would take %.1f GiB, and 2 GiB is the "
                                            "limit; use {surface} counts",
                                            stops, bytes / 1073741824.0);
}

static bool check_options(const foci_surface_options *options, foci_error *err) {
    if (options->trend > 0)
        return foci_fail(err, FOCI_BAD_SETTING, "{trend}", 0,
                         "binomial kriging by moments knows no trend; leave it out, or use {surface} kriging");
    if (options->scale == FOCI_SCALE_BOX_COX)
        return foci_fail(err, FOCI_BAD_SETTING, "{scale}", 0,
                         "binomial kriging by moments works in percent; leave it out, or use {surface} kriging");
    return true;
}

/* Then a score model like any other, which is asked as kriging is. */
static bool fit(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_surface_options known = *options;
    foci_variogram variogram = {0};
    foci_score_model *model = NULL;
    double *error = NULL;
    bool ok = false;
    (void)earlier;
    (void)how;
    if (!check_options(options, err) || !check_memory(readings->count, err) ||
        !fit_variogram(&variogram, readings, options, err))
        return false;
    known.variogram = &variogram;
    known.trend = 0;
    error = foci_new_array(readings->count, sizeof *error, err);
    model = error ? foci_new_array(1, sizeof *model, err) : NULL;
    if (!model)
        goto done;
    fill_errors(error, readings, &variogram);
    if (!foci_score_model_known(model, readings, error, &known, err))
        goto done;
    facts->variogram = variogram;
    facts->fitted_on = readings->count;
    *state = model;
    model = NULL;
    ok = true;
done:
    free(model);
    free(error);
    return ok;
}

static void free_state(void *state) {
    foci_surface_by_kriging.free(state);
}

static bool at(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err) {
    return foci_surface_by_kriging.at(state, out, places, count, how, err);
}

static bool leave_one_out(const void *state, const foci_leave_one_out *out, const foci_execution *how,
                          foci_error *err) {
    return foci_surface_by_kriging.left_out(state, out, how, err);
}

const struct foci_surface_functions foci_surface_by_moments = {
    .fit = fit,
    .free = free_state,
    .at = at,
    .left_out = leave_one_out,
};

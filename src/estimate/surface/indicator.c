#include "estimate/surface/indicator.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

void foci_indicator_readings_free(foci_readings *indicators) {
    free(indicators->places);
    free(indicators->values);
    *indicators = (foci_readings){0};
}

bool foci_indicator_readings(foci_readings *out, const foci_readings *readings, double threshold, foci_error *err) {
    foci_readings indicators = {.count = readings->count};
    if (isnan(threshold))
        return foci_fail(err, FOCI_BAD_SETTING, "{threshold}", 0,
                         "indicator kriging asks how likely a threshold is passed; give {threshold}");
    indicators.places = foci_new_array(readings->count, sizeof *indicators.places, err);
    if (!indicators.places)
        return false;
    indicators.values = foci_new_array(readings->count, sizeof *indicators.values, err);
    if (!indicators.values) {
        free(indicators.places);
        return false;
    }
    memcpy(indicators.places, readings->places, readings->count * sizeof *readings->places);
    for (size_t i = 0; i < readings->count; i++)
        indicators.values[i] = readings->values[i] >= threshold;
    *out = indicators;
    return true;
}

void foci_indicator_free(foci_indicator *indicator) {
    foci_score_model_free(&indicator->model);
    foci_indicator_readings_free(&indicator->indicators);
    *indicator = (foci_indicator){0};
}

static bool fit_variogram(foci_variogram *out, const foci_readings *indicators, const foci_surface_options *options,
                          foci_error *err) {
    foci_semivariances semivariances = {0};
    bool ok = foci_semivariances_make(&semivariances, indicators, options->lag, options->farthest, err) &&
              foci_variogram_fit(out, &semivariances, options->kind, options->smoothness, err);
    foci_semivariances_free(&semivariances);
    return ok;
}

bool foci_indicator_fit(foci_indicator *out, const foci_readings *readings, double threshold,
                        const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_indicator indicator = {0};
    bool ok = false;
    if (!foci_indicator_readings(&indicator.indicators, readings, threshold, err))
        goto done;
    if (options->variogram)
        indicator.variogram = *options->variogram;
    else if (!fit_variogram(&indicator.variogram, &indicator.indicators, options, err))
        goto done;
    const foci_surface_options kriging = {.variogram = &indicator.variogram,
                                          .row_heading = NAN,
                                          .least = -INFINITY,
                                          .most = INFINITY,
                                          .neighbours = options->neighbours};
    if (!foci_score_model_fit(&indicator.model, &indicator.indicators, NULL, &kriging, false, how, err))
        goto done;
    *out = indicator;
    indicator = (foci_indicator){0};
    ok = true;
done:
    foci_indicator_free(&indicator);
    return ok;
}

static void hold(const foci_indicator_layers *out, const double *raw, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (out->raw)
            out->raw[i] = raw[i];
        if (out->chance)
            out->chance[i] = fmin(fmax(raw[i], 0), 1);
    }
}

/* At `places`, or each stop left out where that is NULL. */
static bool krige(const foci_indicator_layers *out, const foci_indicator *indicator, const foci_point *places,
                  size_t count, const foci_execution *how, foci_error *err) {
    double *raw = foci_new_array(count, sizeof *raw, err);
    const foci_score_layers layers = {.estimate = raw, .variance = out->variance};
    bool ok = raw && (places ? foci_score_model_at(&layers, &indicator->model, places, count, NAN, how, err)
                             : foci_score_model_leave_one_out(&layers, &indicator->model, NAN, how, err));
    if (ok)
        hold(out, raw, count);
    free(raw);
    return ok;
}

bool foci_indicator_at(const foci_indicator_layers *out, const foci_indicator *indicator, const foci_point *places,
                       size_t count, const foci_execution *how, foci_error *err) {
    return krige(out, indicator, places, count, how, err);
}

bool foci_indicator_leave_one_out(const foci_indicator_layers *out, const foci_indicator *indicator,
                                  const foci_execution *how, foci_error *err) {
    return krige(out, indicator, NULL, indicator->indicators.count, how, err);
}

#include "fieldfoci/survey.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "run/steps/decision.h"
#include "run/steps/labels.h"
#include "run/steps/method.h"
#include "fieldfoci/plain_number.h"

/* More stops than this: no cross-check unless asked for. */
#define STOPS_FOR_CROSS_CHECK 1000

static bool look_or_fail(foci_survey *survey, const foci_settings *settings, foci_error *err) {
    foci_error unfit = {0};
    if (!foci_survey_look(survey, settings, &unfit, err))
        return false;
    return unfit.status == FOCI_OK || foci_fail(err, unfit.status, unfit.source, unfit.row, "%s", unfit.text);
}

bool foci_survey_model(foci_survey *out, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_survey survey = {0};
    bool ok = look_or_fail(&survey, settings, err) && foci_method_fit(&survey.round, &survey.settings, how, err);
    if (ok) {
        *out = survey;
        survey = (foci_survey){0};
    }
    foci_survey_free(&survey);
    return ok;
}

static bool need(const foci_settings *settings, foci_error *err) {
    if (!settings->field)
        return foci_fail(err, FOCI_BAD_SETTING, "--field", 0,
                         "the field's boundary is needed; draw it in a free map page or on a phone and save it as "
                         "GeoJSON or KML");
    return foci_decision_check(settings, err);
}

static bool need_threshold(const foci_round *round, const foci_settings *settings, foci_error *err) {
    if (!isnan(settings->threshold) || (round->has_profile && !isnan(round->profile.threshold)))
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, "--threshold", 0,
                     "an action threshold is needed, in %s; the readings go from %s over %s (median) and %s (mean) to "
                     "%s at %zu stops",
                     round->stops.unit, foci_number_plain(round->spread.min, 4).text,
                     foci_number_plain(round->spread.median, 4).text, foci_number_plain(round->spread.mean, 4).text,
                     foci_number_plain(round->spread.max, 4).text, round->readings.count);
}

bool foci_survey_judge_pattern(foci_survey *survey, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.8), judging = foci_execution_part(how, 0.8, 1);
    foci_round *round = &survey->round;
    if (!foci_method_fit(round, &survey->settings, &fitting, err))
        return false;
    const foci_settings *settings = &survey->settings;
    const bool fitted = round->model.method != NULL;
    const foci_pattern_options options = {
        .band = isnan(settings->band) ? 0 : settings->band,
        .seed = (uint64_t)settings->seed,
        .row_heading = round->row_heading,
        .no_pattern = fitted ? round->model.facts.no_pattern : NAN,
    };
    if (!foci_pattern_make(&round->pattern, &round->readings, round->stops.kind, &options, &judging, err))
        return false;
    round->pattern.field.low = fmax(round->pattern.field.low, round->method.least);
    round->pattern.field.high = fmin(round->pattern.field.high, round->method.most);
    round->has_pattern = true;
    return true;
}

static bool estimate(foci_survey *survey, const foci_execution *how, foci_error *err) {
    const foci_execution mapping = foci_execution_part(how, 0, 0.8), checking = foci_execution_part(how, 0.8, 1);
    foci_round *round = &survey->round;
    double cell = isnan(survey->settings.cell) ? 0 : survey->settings.cell;
    if (cell != 0 && !foci_grid_fits(&round->field.shape, cell, FOCI_GRID_BYTES, how, err))
        return false;
    if (!foci_grid_over_field(&round->grid, &round->field.shape, cell, round->spacing, err) ||
        !foci_surface_estimate(&round->surface, &round->model, &round->grid, &mapping, err))
        return false;
    survey->settings.cell = round->grid.cell;
    if (round->readings.count < 2 || (round->readings.count > STOPS_FOR_CROSS_CHECK && !survey->settings.cross_check))
        return true;
    round->has_cross_check =
        foci_cross_check_make(&round->cross_check, &round->model, &round->readings, &checking, err);
    return round->has_cross_check;
}

bool foci_survey_finish(foci_survey *survey, const foci_execution *how, foci_error *err) {
    const foci_execution judging = foci_execution_part(how, 0, 0.5), mapping = foci_execution_part(how, 0.5, 0.9);
    const foci_execution deciding = foci_execution_part(how, 0.9, 1);
    foci_round *round = &survey->round;
    return need(&survey->settings, err) && need_threshold(round, &survey->settings, err) &&
           foci_survey_judge_pattern(survey, &judging, err) &&
           (!round->model.method || estimate(survey, &mapping, err)) &&
           foci_decision_make(round, &survey->settings, &deciding, err) && foci_labels_caution(round, err) &&
           foci_labels_warn(round, err) && foci_execution_tell(how, 1, err);
}

bool foci_survey_map(foci_survey *out, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_survey survey = {0};
    bool ok = need(settings, err) && look_or_fail(&survey, settings, err) && foci_survey_finish(&survey, how, err);
    if (ok) {
        *out = survey;
        survey = (foci_survey){0};
    }
    foci_survey_free(&survey);
    return ok;
}

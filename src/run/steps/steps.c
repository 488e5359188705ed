#include "fieldfoci/steps.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "decide/words/cautions.h"
#include "decide/words/warnings.h"
#include "run/settings/job.h"
#include "run/steps/decision.h"
#include "run/steps/labels.h"
#include "run/steps/method.h"
#include "fieldfoci/plain_number.h"

/* More stops than this: no cross-check unless asked for. */
#define STOPS_FOR_CROSS_VALIDATION 1000

static bool need_field(bool there, foci_error *err) {
    return there || foci_fail(err, FOCI_BAD_SETTING, "{field}", 0,
                              "the field's boundary is needed; draw it in a free map page or on a phone and save it as "
                              "GeoJSON or KML");
}

bool foci_survey_options_check(const foci_survey_options *options, foci_error *err) {
    if (options->credit && !options->photo)
        return foci_fail(err, FOCI_BAD_SETTING, "{credit}", 0, "says whose photo it is; give {photo} too");
    return need_field(options->boundary != NULL, err) && foci_decision_check(options, err);
}

/* The stage that a step needs, no less; and no more, since what it makes is there already then. */
static bool is_due(const foci_survey *survey, foci_stage stage, foci_error *err) {
    return foci_survey_is_at(survey, stage, err) &&
           (survey->stage == stage ||
            foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "this step is done already; take the survey anew to repeat it"));
}

static bool need_threshold(const foci_survey *round, const foci_survey_options *used, foci_error *err) {
    if (!isnan(used->surface.threshold) || (round->has_profile && !isnan(round->profile.threshold)))
        return true;
    return foci_fail(err, FOCI_BAD_SETTING, "{threshold}", 0,
                     "an action threshold is needed, in %s; the readings go from %s over %s (median) and %s (mean) to "
                     "%s at %zu stops",
                     round->stops.unit, foci_number_plain(round->readings.spread.min, 4).text,
                     foci_number_plain(round->readings.spread.median, 4).text,
                     foci_number_plain(round->readings.spread.mean, 4).text,
                     foci_number_plain(round->readings.spread.max, 4).text, round->readings.count);
}

static bool judge_pattern(foci_survey *round, const foci_survey_options *used, const foci_execution *how,
                          foci_error *err) {
    foci_pattern_options options = used->pattern;
    options.seed = (uint64_t)used->seed;
    options.row_heading = round->row_heading;
    foci_execution_enter(how, "pattern");
    options.no_pattern = round->model.method ? round->model.facts.no_pattern : NAN;
    if (!foci_pattern_make(&round->pattern, &round->readings, round->stops.kind, &options, how, err))
        return false;
    round->pattern.field.mean.low = fmax(round->pattern.field.mean.low, round->method.least);
    round->pattern.field.mean.high = fmin(round->pattern.field.mean.high, round->method.most);
    round->has_pattern = true;
    return true;
}

bool foci_survey_fit(foci_survey *survey, const foci_execution *how, foci_error *err) {
    const double share = survey->used.at_places ? 1 : 0.8;
    const foci_execution fitting = foci_execution_part(how, 0, share), judging = foci_execution_part(how, share, 1);
    foci_execution_enter(how, "model");
    if (!is_due(survey, FOCI_STAGE_CHECKED, err) || !foci_method_fit(survey, &survey->used, &fitting, err) ||
        (!survey->used.at_places && !judge_pattern(survey, &survey->used, &judging, err)))
        return false;
    survey->stage = FOCI_STAGE_FITTED;
    return true;
}

static bool estimate(foci_survey *round, foci_survey_options *used, const foci_execution *how, foci_error *err) {
    const foci_execution mapping = foci_execution_part(how, 0, 0.8), checking = foci_execution_part(how, 0.8, 1);
    foci_execution_enter(how, "surface");
    if (used->cell != 0 && !foci_grid_fits(&round->field.shape, used->cell, FOCI_GRID_BYTES, how, err))
        return false;
    if (!foci_grid_over_field(&round->grid, &round->field.shape, used->cell, round->readings.spacing, err) ||
        !foci_surface_estimate(&round->surface, &round->model, &round->grid, &mapping, err))
        return false;
    used->cell = round->grid.cell;
    if (round->readings.count < 2 || (round->readings.count > STOPS_FOR_CROSS_VALIDATION && !used->cross_validation))
        return true;
    foci_execution_enter(how, "cross-check");
    round->has_cross_validation =
        foci_cross_validation_make(&round->cross_validation, &round->model, &round->readings, &checking, err);
    return round->has_cross_validation;
}

bool foci_survey_estimate(foci_survey *survey, const foci_execution *how, foci_error *err) {
    if (!is_due(survey, FOCI_STAGE_FITTED, err) || !need_field(survey->field.input.file != NULL, err) ||
        (survey->model.method && !estimate(survey, &survey->used, how, err)))
        return false;
    survey->stage = FOCI_STAGE_ESTIMATED;
    return true;
}

static bool need_pattern(const foci_survey *survey, foci_error *err) {
    return !survey->used.at_places ||
           foci_fail(
               err, FOCI_BAD_SETTING, NULL, 0,
               "a survey that is for places only has no verdict, so there is nothing to decide; leave at_places out");
}

bool foci_survey_decide(foci_survey *survey, const foci_execution *how, foci_error *err) {
    foci_execution_enter(how, "zones");
    if (!is_due(survey, FOCI_STAGE_ESTIMATED, err) || !need_pattern(survey, err) ||
        !foci_decision_check(&survey->used, err) || !need_threshold(survey, &survey->used, err) ||
        !foci_decision_make(survey, &survey->used, how, err) || !foci_cautions_make(survey, err) ||
        !foci_warnings_make(survey, err) ||
        !foci_job_tell(&survey->job, &survey->used, FOCI_FOR_MAP, survey->input_count, survey->inputs, err))
        return false;
    survey->stage = FOCI_STAGE_DECIDED;
    return true;
}

bool foci_survey_map(foci_survey *survey, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.5), mapping = foci_execution_part(how, 0.5, 0.9);
    const foci_execution deciding = foci_execution_part(how, 0.9, 1);
    return is_due(survey, FOCI_STAGE_CHECKED, err) && need_field(survey->field.input.file != NULL, err) &&
           need_pattern(survey, err) && foci_decision_check(&survey->used, err) &&
           need_threshold(survey, &survey->used, err) && foci_survey_fit(survey, &fitting, err) &&
           foci_survey_estimate(survey, &mapping, err) && foci_survey_decide(survey, &deciding, err) &&
           foci_execution_tell(how, 1, err);
}

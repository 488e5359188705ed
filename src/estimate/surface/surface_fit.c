/* A method fitted to one season, or to two where the earlier one helps. */
#include "fieldfoci/surface.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/fit/fit_summary.h"
#include "estimate/surface/surface_methods.h"

static bool fit_one(foci_surface_model *out, const foci_readings *readings, const foci_readings *earlier,
                    const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_surface_model model = {
        .method = options->method,
        .facts = foci_fit_summary_unknown(),
        .least = options->least,
        .most = options->most,
        .threshold = options->threshold,
        .spacing = sqrt(options->area / (double)readings->count),
    };
    model.readings = foci_new_array(1, sizeof *model.readings, err);
    if (!model.readings || !foci_readings_copy(model.readings, readings, err) ||
        !model.method->functions->fit(&model.state, &model.facts, model.readings, earlier, options, how, err)) {
        foci_surface_model_free(&model);
        return false;
    }
    *out = model;
    return true;
}

/* Mean log score of the left-out stops. */
static bool score(double *out, const foci_surface_model *model, size_t count, const foci_execution *how,
                  foci_error *err) {
    double *numbers = foci_new_array(count, 3 * sizeof *numbers, err);
    bool *inside = numbers ? foci_new_array(count, sizeof *inside, err) : NULL;
    const foci_leave_one_out left = {numbers, numbers + count, numbers + 2 * count, inside};
    bool ok = inside && foci_surface_leave_one_out(model, &left, how, err);
    *out = 0;
    for (size_t i = 0; ok && i < count; i++)
        *out += left.log_score[i] / (double)count;
    free(numbers);
    free(inside);
    return ok;
}

/* What stands in the way is told, not an error; but memory that runs out is one, settings that contradict, and
 * being stopped. */
static bool is_fatal(const foci_error *err) {
    return err->status == FOCI_NO_MEMORY || err->status == FOCI_BAD_SETTING || err->status == FOCI_STOPPED;
}

/* Fits `with` and takes both scores; false, with the reason in `err`, where that cannot be. */
static bool try_earlier(foci_surface_model *with, foci_earlier_facts *facts, const foci_surface_model *without,
                        const foci_readings *readings, const foci_readings *earlier,
                        const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.6), first = foci_execution_part(how, 0.6, 0.8);
    const foci_execution second = foci_execution_part(how, 0.8, 1);
    size_t most = without->method->earlier_most, stops = readings->count + earlier->count;
    if (most == 0)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "%s reads one season only", without->method->title);
    if (stops > most)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the two seasons have %zu stops together, and %zu is the limit",
                         stops, most);
    if (!fit_one(with, readings, earlier, options, &fitting, err) ||
        !score(&facts->log_score_with, with, readings->count, &first, err) ||
        !score(&facts->log_score_without, without, readings->count, &second, err))
        return false;
    return isfinite(facts->log_score_with - facts->log_score_without) ||
           foci_fail(err, FOCI_NO_FIT, NULL, 0, "left-out stops of this season have no score to go by");
}

static bool choose_season(foci_surface_model *model, const foci_readings *readings, const foci_readings *earlier,
                          const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_surface_model with = {0};
    foci_error inner = {0};
    foci_earlier_facts facts = model->facts.earlier;
    facts.stops = earlier->count;
    if (!try_earlier(&with, &facts, model, readings, earlier, options, how, &inner)) {
        foci_surface_model_free(&with);
        if (is_fatal(&inner))
            return foci_fail_again(err, &inner);
        foci_error_text(&inner, "--", facts.why_not, sizeof facts.why_not);
        facts.rho = facts.log_score_with = facts.log_score_without = NAN;
    } else {
        facts.rho = with.facts.earlier.rho;
        facts.used = facts.log_score_with > facts.log_score_without;
    }
    if (facts.used) {
        foci_surface_model one = *model;
        *model = with;
        with = one;
    }
    model->facts.earlier = facts;
    foci_surface_model_free(&with);
    return true;
}

/* What no one can mean; the rest is the method's to judge. */
static bool check_options(const foci_surface_options *options, foci_error *err) {
    if (!(options->area > 0) || isinf(options->area))
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                         "an area of %g square meters is none; give the field's, by which ranges are judged",
                         options->area);
    if (!(options->least < options->most))
        return foci_fail(err, FOCI_BAD_SETTING, "{limits}", 0,
                         "readings from %g to %g are none; give the least that they can be, and the most",
                         options->least, options->most);
    if (options->neighbours == FOCI_OPEN)
        return foci_fail(err, FOCI_BAD_SETTING, "{neighbors}", 0, "is left open; give a number, 0 for all");
    return options->scale != FOCI_SCALE_OPEN ||
           foci_fail(err, FOCI_BAD_SETTING, "{scale}", 0, "is left open; say none, auto or box-cox");
}

bool foci_surface_fit(foci_surface_model *out, const foci_readings *readings, const foci_readings *earlier,
                      const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, earlier ? 0.3 : 1);
    const foci_execution choosing = foci_execution_part(how, 0.3, 1);
    foci_surface_model model = {0};
    if (!options->method)
        return foci_fail(err, FOCI_BAD_SETTING, "{surface}", 0, "no method is named; take one of foci_surface_methods");
    if (!check_options(options, err))
        return false;
    if (readings->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no stops; give some");
    if (!fit_one(&model, readings, NULL, options, &fitting, err))
        return false;
    if (earlier && !choose_season(&model, readings, earlier, options, &choosing, err)) {
        foci_surface_model_free(&model);
        return false;
    }
    *out = model;
    return true;
}

/* ---- asking ---- */

static bool is_fitted(const foci_surface_model *model, foci_error *err) {
    return model->method != NULL ||
           foci_fail(err, FOCI_TOO_EARLY, NULL, 0, "no surface is fitted yet; call foci_surface_fit first");
}

bool foci_surface_at(const foci_surface_model *model, const foci_point *places, size_t count,
                     const foci_prediction *out, const foci_execution *how, foci_error *err) {
    return is_fitted(model, err) && model->method->functions->at(model->state, out, places, count, how, err);
}

bool foci_surface_leave_one_out(const foci_surface_model *model, const foci_leave_one_out *out,
                                const foci_execution *how, foci_error *err) {
    return is_fitted(model, err) && model->method->functions->left_out(model->state, out, how, err);
}

bool foci_surface_has_covariance(const foci_surface_model *model) {
    return model->method && model->method->functions->covariance;
}

bool foci_surface_covariance(const foci_surface_model *model, double *mean, double *covariance, double *threshold,
                             const foci_point *places, size_t count, foci_error *err) {
    if (!is_fitted(model, err))
        return false;
    if (!foci_surface_has_covariance(model))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "%s knows no covariance of places", model->method->title);
    return model->method->functions->covariance(model->state, mean, covariance, threshold, places, count, err);
}

void foci_surface_model_free(foci_surface_model *model) {
    if (model->state)
        model->method->functions->free(model->state);
    if (model->readings)
        foci_readings_free(model->readings);
    free(model->readings);
    *model = (foci_surface_model){0};
}

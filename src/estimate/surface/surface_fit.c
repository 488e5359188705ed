/* A method fitted to one season, or to two where the earlier one helps. */
#include "fieldfoci/surface.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"

static foci_surface_facts nothing_known(void) {
    const foci_interval none = {NAN, NAN, NAN};
    return (foci_surface_facts){
        .lambda = 1,
        .range = none,
        .ratio = none,
        .nugget_share = none,
        .sigma = none,
        .tau = none,
        .stop_variation_ratio = NAN,
        .no_pattern = NAN,
        .log_likelihood = NAN,
        .better_heading = NAN,
        .better_ratio = NAN,
        .better_gain = NAN,
        .better_chance = NAN,
        .earlier = {.shared = NAN, .log_score_with = NAN, .log_score_without = NAN},
    };
}

static bool fit_one(foci_surface_model *out, const foci_readings *readings, const foci_surface_options *options,
                    const foci_execution *how, foci_error *err) {
    foci_surface_model model = {
        .method = options->method,
        .facts = nothing_known(),
        .least = options->least,
        .most = options->most,
        .threshold = options->threshold,
        .spacing = sqrt(options->area / (double)readings->count),
    };
    if (!model.method->fit(&model.state, &model.facts, readings, options, how, err))
        return false;
    *out = model;
    return true;
}

/* Mean log score of the left-out stops. */
static bool score(double *out, const foci_surface_model *model, size_t count, const foci_execution *how,
                  foci_error *err) {
    double *numbers = foci_new_array(count, 3 * sizeof *numbers, err);
    bool *inside = numbers ? foci_new_array(count, sizeof *inside, err) : NULL;
    const foci_left_out left = {numbers, numbers + count, numbers + 2 * count, inside};
    bool ok = inside && model->method->left_out(model->state, &left, how, err);
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
                        const foci_readings *readings, const foci_surface_options *options, const foci_execution *how,
                        foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, 0.6), first = foci_execution_part(how, 0.6, 0.8);
    const foci_execution second = foci_execution_part(how, 0.8, 1);
    size_t most = without->method->earlier_most, stops = readings->count + options->earlier->count;
    if (most == 0)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "%s reads one season only", without->method->title);
    if (stops > most)
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the two seasons have %zu stops together, and %zu is the limit",
                         stops, most);
    if (!fit_one(with, readings, options, &fitting, err) ||
        !score(&facts->log_score_with, with, readings->count, &first, err) ||
        !score(&facts->log_score_without, without, readings->count, &second, err))
        return false;
    return isfinite(facts->log_score_with - facts->log_score_without) ||
           foci_fail(err, FOCI_NO_FIT, NULL, 0, "left-out stops of this season have no score to go by");
}

static bool choose_season(foci_surface_model *model, const foci_readings *readings, const foci_surface_options *options,
                          const foci_execution *how, foci_error *err) {
    foci_surface_model with = {0};
    foci_error inner = {0};
    foci_earlier_facts facts = model->facts.earlier;
    facts.stops = options->earlier->count;
    if (!try_earlier(&with, &facts, model, readings, options, how, &inner)) {
        foci_surface_model_free(&with);
        if (is_fatal(&inner))
            return foci_fail(err, inner.status, inner.source, inner.row, "%s", inner.text);
        snprintf(facts.why_not, sizeof facts.why_not, "%s", inner.text);
        facts.shared = facts.log_score_with = facts.log_score_without = NAN;
    } else {
        facts.shared = with.facts.earlier.shared;
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

bool foci_surface_model_fit(foci_surface_model *out, const foci_readings *readings, const foci_surface_options *options,
                            const foci_execution *how, foci_error *err) {
    const foci_execution fitting = foci_execution_part(how, 0, options->earlier ? 0.3 : 1);
    const foci_execution choosing = foci_execution_part(how, 0.3, 1);
    foci_surface_options alone = *options;
    foci_surface_model model = {0};
    alone.earlier = NULL;
    if (readings->count == 0)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "there are no stops; give some");
    if (!fit_one(&model, readings, &alone, &fitting, err))
        return false;
    if (options->earlier && !choose_season(&model, readings, options, &choosing, err)) {
        foci_surface_model_free(&model);
        return false;
    }
    *out = model;
    return true;
}

void foci_surface_model_free(foci_surface_model *model) {
    if (model->state)
        model->method->free(model->state);
    *model = (foci_surface_model){0};
}

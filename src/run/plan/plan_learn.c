/* What earlier surveys say of the field to come. */
#include <math.h>

#include "fieldfoci/steps.h"
#include "run/plan/plan_work.h"

/* ---- this season's own survey ---- */

static bool ask_model(double *mean, double *covariance, const void *what, const foci_point *places, size_t count,
                      foci_error *err) {
    double threshold = NAN;
    return foci_surface_covariance(what, mean, covariance, &threshold, places, count, err);
}

static bool learn_current(foci_plan_work *work, foci_error *err) {
    foci_survey *survey = &work->surveys[work->current];
    const bool again = work->plan.pattern->again;
    double mean = NAN, variance = NAN, threshold = NAN;
    survey->used.surface.threshold = work->threshold;
    if (!foci_survey_fit(survey, work->how, err))
        return false;
    const foci_surface_model *model = &survey->model;
    if (!model->method || !foci_surface_has_covariance(model))
        return foci_sentences_add(&work->plan.warnings, err,
                                  "%s does not tell where it is unsure, so the stops are spread evenly.",
                                  work->names[work->current]);
    if (!foci_surface_covariance(model, &mean, &variance, &threshold, survey->readings.places, 1, err))
        return false;
    work->knowledge = (foci_layout_knowledge){.at = ask_model,
                                              .what = model,
                                              .threshold = isnan(work->threshold) ? NAN : threshold,
                                              .logit = model->facts.logit,
                                              .units = work->plan.reading.units,
                                              .noise = model->facts.variogram.nugget,
                                              .there = again ? NULL : survey->readings.places,
                                              .there_count = again ? 0 : survey->readings.count};
    work->known = true;
    return true;
}

/* ---- earlier seasons ---- */

/* Readings that are all alike say nothing of places. */
static bool choose_seasons(const foci_readings **seasons, size_t *count, foci_plan_work *work, foci_error *err) {
    for (size_t s = 0; s < work->count; s++) {
        const foci_readings *readings = &work->surveys[s].readings;
        if (readings->spread.min < readings->spread.max)
            seasons[(*count)++] = readings;
        else if (!foci_sentences_add(&work->plan.warnings, err,
                                     "All readings of %s are the same: it tells nothing of where to look.",
                                     work->names[s]))
            return false;
    }
    return true;
}

static bool learn_seasons(foci_plan_work *work, foci_error *err) {
    const foci_readings *seasons[FOCI_PLAN_EARLIER_MOST];
    foci_error inner = {0};
    size_t count = 0;
    if (!choose_seasons(seasons, &count, work, err) || count == 0)
        return count == 0 && err->status == FOCI_OK;
    work->known = foci_season_knowledge_make(&work->seasons, seasons, count, work->surveys[0].stops.kind,
                                             work->threshold, work->heading, work->how, &inner);
    if (work->known) {
        work->knowledge = foci_season_knowledge_of(work->seasons, work->plan.reading.units);
        work->plan.surveys = count;
        work->plan.rho = foci_season_knowledge_rho(work->seasons);
        return true;
    }
    return inner.status == FOCI_NO_FIT
               ? foci_sentences_add(&work->plan.warnings, err,
                                    "The earlier surveys found no stable estimate, so the stops are spread evenly.")
               : foci_fail_again(err, &inner);
}

bool foci_plan_learn(foci_plan_work *work, foci_error *err) {
    if (!work->plan.pattern->learns)
        return true;
    if (work->count == 0)
        return foci_sentences_add(&work->plan.messages, err,
                                  "nothing is known of this field (--earlier SURVEY), so gaps is a grid");
    return work->current != FOCI_OPEN ? learn_current(work, err) : learn_seasons(work, err);
}

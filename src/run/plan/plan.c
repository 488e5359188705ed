#include <math.h>
#include <stdlib.h>

#include "decide/words/plan_words.h"
#include "run/plan/plan_work.h"

void foci_plan_work_free(foci_plan_work *work) {
    for (size_t s = 0; s < work->count; s++) {
        foci_survey_free(&work->surveys[s]);
        free(work->names[s]);
    }
    foci_season_knowledge_free(work->seasons);
    foci_plan_free(&work->plan);
    *work = (foci_plan_work){0};
}

static bool refuse(const char *option, const char *text, foci_error *err) {
    return foci_fail(err, FOCI_BAD_SETTING, option, 0, "%s", text);
}

/* Options that do not go together. */
static bool check_digs(const foci_settings *settings, foci_error *err) {
    const foci_plan_options *options = &settings->plan;
    if (options->stops != FOCI_OPEN || options->for_mean > 0 || options->patch_ha > 0 || options->earlier)
        return refuse("{digs}",
                      "takes the places from its survey; leave {stops}, {for-mean}, {for-patch} and "
                      "{earlier} out",
                      err);
    if (!isnan(settings->survey.gate.x))
        return refuse("{gate}", "dig-checks keep the order of their map; give the gate to map", err);
    return true;
}

static bool check(const foci_settings *settings, foci_error *err) {
    const foci_plan_options *options = &settings->plan;
    const bool again = options->pattern && options->pattern->again;
    const int asked = (options->stops != FOCI_OPEN) + (options->for_mean > 0) +
                      (options->patch_ha > 0 && options->stops == FOCI_OPEN);
    if (settings->input_count > 0)
        return refuse(settings->inputs[0], "plan reads no stops; name surveys with {earlier} or {digs}", err);
    if (options->digs)
        return check_digs(settings, err);
    if (!settings->survey.boundary && !options->earlier)
        return refuse("{field}",
                      "the field's boundary is needed; draw it in a free map page or on a phone and save it "
                      "as GeoJSON or KML",
                      err);
    if (asked == 0)
        return refuse("{stops}",
                      "how many stops? give a number, or say what they are for: {for-mean} 0.2, or "
                      "{for-patch} 1ac",
                      err);
    if (asked > 1)
        return refuse(options->for_mean > 0 ? "{for-mean}" : "{for-patch}",
                      "two answers to how many stops; give one of {stops}, {for-mean} and {for-patch}", err);
    if (options->stops == 0 && !again)
        return refuse("{stops}", "0 is out of range; it must be at least 1 (with {pattern} again 0 will do)", err);
    if (again && !options->earlier)
        return refuse("{pattern}", "again goes to the stops of an earlier survey; name it with {earlier}", err);
    return true;
}

static bool make(foci_plan_work *work, foci_error *err) {
    size_t stops = 0;
    if (!check(work->settings, err) || !foci_plan_read(work, err) || !foci_plan_choose_reading(work, err))
        return false;
    if (work->plan.of_digs)
        return foci_plan_take_digs(work, err) && foci_plan_tell(&work->plan, err);
    return foci_plan_expect(work, err) && foci_plan_count(&stops, work, err) && foci_plan_learn(work, err) &&
           foci_plan_lay(work, stops, err) && foci_plan_name(work, err) && foci_plan_tell(&work->plan, err);
}

bool foci_plan_make(foci_plan *out, const foci_settings *settings, const foci_execution *how, foci_error *err) {
    foci_plan_work work = {.settings = settings, .how = how, .current = FOCI_OPEN, .plan = {.rho = NAN}};
    const bool ok = make(&work, err);
    if (ok) {
        *out = work.plan;
        work.plan = (foci_plan){0};
    }
    foci_plan_work_free(&work);
    return ok;
}

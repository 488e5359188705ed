/* The places, and what they find. */
#include <math.h>

#include "decide/plan/patch_chance.h"
#include "fieldfoci/sample_size.h"
#include "run/plan/plan_work.h"

#define Z90 1.6448536269514722 /* of a 90 % interval */

static foci_layout_options options_of(const foci_plan_work *work, size_t stops) {
    const foci_survey_options *survey = &work->settings->survey;
    foci_layout_options options = foci_layout_options_make();
    options.pattern = work->plan.pattern;
    options.count = stops;
    options.margin = work->settings->plan.margin;
    options.row_heading = work->heading;
    options.close_pairs = work->plan.reading.kind == FOCI_READING_VALUE;
    options.gate = isnan(survey->gate.x) ? NULL : &survey->gate;
    options.knowledge = work->known ? &work->knowledge : NULL;
    options.seed = (uint64_t)survey->seed;
    if (work->plan.pattern->again) {
        const foci_readings *last = &work->surveys[work->count - 1].readings;
        options.again = last->places;
        options.again_count = last->count;
    }
    return options;
}

static bool lay(foci_plan_work *work, size_t stops, foci_error *err) {
    const foci_layout_options options = options_of(work, stops);
    foci_layout layout = {0};
    if (!foci_layout_make(&layout, &work->plan.field, &options, work->how, err))
        return false;
    foci_layout_free(&work->plan.layout);
    work->plan.layout = layout;
    return true;
}

static foci_patch_stops stops_of(const foci_plan_work *work) {
    return (foci_patch_stops){&work->plan.layout, work->knowledge.there, work->known ? work->knowledge.there_count : 0,
                              work->plan.detection.shows};
}

static bool find_patch(foci_patch_chance *out, const foci_plan_work *work, foci_error *err) {
    const foci_patch_stops stops = stops_of(work);
    return foci_patch_chance_find(out, &stops, &work->plan.field.shape, 10000 * work->settings->plan.patch_ha,
                                  (uint64_t)work->settings->survey.seed, err);
}

static bool finds(bool *out, foci_plan_work *work, size_t stops, foci_error *err) {
    foci_patch_chance chance;
    if (!lay(work, stops, err) || !find_patch(&chance, work, err))
        return false;
    *out = chance.shown >= work->settings->plan.chance;
    return true;
}

/* As few stops as find the patch: twice as many until they do, then halves of what is between. */
static bool lay_for_patch(foci_plan_work *work, foci_error *err) {
    const double field = foci_multipolygon_area(&work->plan.field.shape), patch = 10000 * work->settings->plan.patch_ha;
    size_t enough = (size_t)fmin(fmax(ceil(field / patch), 4), FOCI_LAYOUT_MOST), few = 0;
    bool found = false;
    if (patch >= field)
        return foci_fail(err, FOCI_BAD_SETTING, "{for-patch}", 0, "is larger than the field; give a smaller one");
    while (finds(&found, work, enough, err) && !found) {
        if (enough == FOCI_LAYOUT_MOST)
            return foci_fail(err, FOCI_BAD_SETTING, "{for-patch}", 0,
                             "%d stops, the most there are, do not find it; give a larger patch or a lower {chance}",
                             FOCI_LAYOUT_MOST);
        few = enough;
        enough = 2 * enough > FOCI_LAYOUT_MOST ? FOCI_LAYOUT_MOST : 2 * enough;
    }
    if (!found)
        return false;
    while (enough - few > 1) {
        const size_t middle = few + (enough - few) / 2;
        if (!finds(&found, work, middle, err))
            return false;
        *(found ? &enough : &few) = middle;
    }
    return lay(work, enough, err);
}

static bool measure(foci_plan_work *work, foci_error *err) {
    foci_plan *plan = &work->plan;
    foci_plan_precision *precision = &plan->precision;
    foci_plan_detection *detection = &plan->detection;
    const foci_patch_stops all = stops_of(work);
    const double stops = (double)(plan->layout.count + plan->layout.there);
    const uint64_t seed = (uint64_t)work->settings->survey.seed;
    precision->cv = foci_cv_of_mean(precision->variance, precision->mean, stops);
    precision->half_width = Z90 * precision->cv * precision->mean;
    if (detection->patch_ha > 0) {
        foci_patch_chance chance;
        if (!find_patch(&chance, work, err))
            return false;
        detection->chance = chance.shown;
        detection->one_stop = chance.one;
    }
    if (!foci_patch_least(&detection->sure_ha, &all, &plan->field.shape, detection->wanted, seed, err))
        return false;
    detection->sure_ha /= 10000;
    return true;
}

/* A patch worth finding has three times the threshold (docs/plan.md). */
#define TIMES_THRESHOLD 3
#define SHARE_ASSUMED 30.0 /* percent; a third of it takes the threshold's place where there is none */
#define SHARE_MOST 90.0

/* Of stops that read at or above the threshold, one in a clean field may look like chance to the map: so many of them
 * are marked. Found on 200 invented fields (docs/plan.md). */
#define MARKED 0.85

static void begin_detection(foci_plan_work *work) {
    const foci_plan_options *options = &work->settings->plan;
    foci_plan_detection *detection = &work->plan.detection;
    *detection = (foci_plan_detection){.share = NAN,
                                       .shows = 1,
                                       .patch_ha = options->patch_ha,
                                       .chance = NAN,
                                       .one_stop = NAN,
                                       .sure_ha = NAN,
                                       .wanted = options->chance};
    if (work->plan.reading.kind != FOCI_READING_COUNT)
        return;
    const double threshold = work->threshold > 0 ? work->threshold : SHARE_ASSUMED / TIMES_THRESHOLD;
    const double units = work->plan.reading.units;
    detection->share = fmax(fmin(TIMES_THRESHOLD * threshold, SHARE_MOST), fmin(threshold, 100));
    detection->shows =
        MARKED * foci_chance_of_hits(detection->share / 100, (size_t)units, work->plan.precision.aggregation,
                                     foci_stops_whole(units * fmin(threshold, 100) / 100));
}

bool foci_plan_lay(foci_plan_work *work, size_t stops, foci_error *err) {
    begin_detection(work);
    return (stops == FOCI_OPEN ? lay_for_patch(work, err) : lay(work, stops, err)) && measure(work, err);
}

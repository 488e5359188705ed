#include "decide/words/plan_words.h"

#include <math.h>
#include <stdio.h>

#include "decide/words/cautions.h"
#include "fieldfoci/plain_number.h"
#include "fieldfoci/words.h"

#define PATCH_USUAL 60.0 /* meters across, at most, of patches of soilborne disease (docs/plan.md) */
#define ON_ONE_LINE 0.1  /* deviation across over that along */
#define ANY_FARTHER 0.5  /* of a patch: stops farther apart than this miss it too often */

/* ---- what it tells ---- */

static bool tell_walk(foci_plan *plan, foci_error *err) {
    const foci_layout *layout = &plan->layout;
    char walk[FOCI_WORDS_SIZE], apart[FOCI_WORDS_SIZE], edge[FOCI_WORDS_SIZE];
    foci_words_length(walk, layout->walk, foci_paper_measures(plan->paper));
    const char *from = layout->at_gate ? "gate" : "field's corner";
    if (plan->of_digs)
        return foci_sentences_add(&plan->facts, err,
                                  "%zu dig-checks in the order of their map; from the %s through all and back the walk "
                                  "is %s in straight lines.",
                                  layout->count, from, walk);
    foci_words_length(apart, layout->spacing, foci_paper_measures(plan->paper));
    foci_words_length(edge, layout->margin, foci_paper_measures(plan->paper));
    if (layout->count + layout->there == 1)
        return foci_sentences_add(&plan->facts, err,
                                  "One stop, %s or more from all edges; from the %s and back the walk is %s.", edge,
                                  from, walk);
    return foci_sentences_add(&plan->facts, err,
                              "%zu %sstop%s (%s: %s), about %s apart%s, %s or more from all edges; from the %s "
                              "through all and back the walk is %s in straight lines.",
                              layout->count, layout->there ? "new " : "", layout->count == 1 ? "" : "s",
                              plan->pattern->name, plan->pattern->title, apart,
                              layout->there ? " with those that are there" : "", edge, from, walk);
}

static bool tell_mean(foci_plan *plan, foci_error *err) {
    const foci_plan_precision *p = &plan->precision;
    const foci_plan_reading *reading = &plan->reading;
    if (reading->kind == FOCI_READING_VALUE)
        return foci_sentences_add(
            &plan->facts, err,
            "The field's average will be known to within %.0f %% of itself, up or down (90 %% interval), if the stops' "
            "standard deviation is %s of their mean (%s): a coefficient of variation of %.2f.",
            100 * p->half_width / p->mean, foci_number_plain(p->aggregation, 3).text, p->aggregation_why, p->cv);
    return foci_sentences_add(
        &plan->facts, err,
        "With %.0f units at each stop (%s) the field's average will be known to within %s points, up or down (90 %% "
        "interval), where it is %s percent (%s) and aggregation is theta %s (%s): a coefficient of variation of %.2f.",
        reading->units, reading->units_why, foci_number_plain(p->half_width, 2).text,
        foci_number_plain(p->mean, 3).text, p->mean_why, foci_number_plain(p->aggregation, 3).text, p->aggregation_why,
        p->cv);
}

/* " with 30 percent of units infected or more" */
static void say_share(char *text, size_t size, double share) {
    *text = '\0';
    if (!isnan(share))
        snprintf(text, size, " with %s percent of units infected or more", foci_number_plain(share, 3).text);
}

static bool tell_patch(foci_plan *plan, foci_error *err) {
    const foci_plan_detection *d = &plan->detection;
    const bool mapped = plan->layout.count + plan->layout.there >= FOCI_STOPS_FOR_MAP;
    const double patch = d->patch_ha > 0 ? d->patch_ha : d->sure_ha;
    char area[FOCI_WORDS_SIZE], share[80];
    say_share(share, sizeof share, d->share);
    foci_words_area(area, patch, foci_paper_measures(plan->paper));
    if (isnan(patch))
        return foci_sentences_add(
            &plan->facts, err,
            "No patch%s that lies somewhere in the field is found by these stops with a chance of %.0f %%.", share,
            100 * d->wanted);
    return foci_sentences_add(&plan->facts, err,
                              "A round patch of %s%s, wherever it lies, is found with a chance of %.0f %%: %s%s", area,
                              share, 100 * (d->patch_ha > 0 ? d->chance : d->wanted),
                              plan->reading.kind != FOCI_READING_COUNT ? "a stop falls into it."
                              : mapped ? "the map marks it to treat, or to dig and look."
                                       : "a stop in it reads at or above the threshold.",
                              d->patch_ha > 0 ? "" : " Smaller ones are missed more often.");
}

static bool tell_knowledge(foci_plan *plan, foci_error *err) {
    const foci_layout *layout = &plan->layout;
    if (!(layout->variance > 0))
        return true;
    if (!isnan(plan->rho) &&
        !foci_sentences_add(&plan->facts, err,
                            "Of the pattern of earlier seasons a share of %.1f is expected to come back (%s).",
                            plan->rho, plan->surveys > 1 ? "as between those seasons" : "assumed"))
        return false;
    return foci_sentences_add(&plan->facts, err,
                              "The variance of the map, averaged over the field, will be about %.0f %% of what it is "
                              "without these stops.",
                              100 * layout->after / layout->variance);
}

/* ---- what changes how far to trust it ---- */

static bool on_one_line(const foci_layout *layout) {
    double east = 0, north = 0, xx = 0, yy = 0, xy = 0;
    for (size_t i = 0; i < layout->count; i++) {
        east += layout->items[i].place.x / (double)layout->count;
        north += layout->items[i].place.y / (double)layout->count;
    }
    for (size_t i = 0; i < layout->count; i++) {
        const double x = layout->items[i].place.x - east, y = layout->items[i].place.y - north;
        xx += x * x;
        yy += y * y;
        xy += x * y;
    }
    const double middle = (xx + yy) / 2, off = hypot((xx - yy) / 2, xy);
    return layout->count > 2 && fmax(middle - off, 0) < ON_ONE_LINE * ON_ONE_LINE * (middle + off);
}

/* How far the stops are from the patches that are looked for. */
static bool warn_of_spacing(foci_plan *plan, foci_error *err) {
    const double patch = plan->detection.patch_ha;
    const double across = patch > 0 ? 2 * sqrt(10000 * patch / M_PI) : PATCH_USUAL;
    char apart[FOCI_WORDS_SIZE], wide[FOCI_WORDS_SIZE];
    if (!(plan->layout.spacing > ANY_FARTHER * across))
        return true;
    foci_words_length(apart, plan->layout.spacing, foci_paper_measures(plan->paper));
    foci_words_length(wide, across, foci_paper_measures(plan->paper));
    const double side = ANY_FARTHER * across, closer = ceil(plan->layout.ground / (side * side));
    return foci_sentences_add(&plan->warnings, err,
                              "Stops %s apart are more than half as far as a patch that is %s across%s: so few fall "
                              "into it that the map shows its outline poorly. Half as far takes %.0f stops.",
                              apart, wide, patch > 0 ? "" : " (most are no wider)", closer);
}

static bool warn(foci_plan *plan, foci_error *err) {
    if (plan->has_profile && !foci_habitat_keeps_places(plan->profile.lives_in) &&
        !foci_sentences_add(&plan->warnings, err,
                            "This disease does not live in the soil: its patches do not stay, and the map makes no "
                            "zones of it. The field's average is what these stops are for."))
        return false;
    if (plan->of_digs)
        return true;
    if (plan->layout.count + plan->layout.there < FOCI_STOPS_FOR_MAP &&
        !foci_sentences_add(&plan->warnings, err, "Fewer than %d stops make no map: the field's average and dots only.",
                            FOCI_STOPS_FOR_MAP))
        return false;
    if (on_one_line(&plan->layout) &&
        !foci_sentences_add(&plan->warnings, err,
                            "The stops lie nearly on one line: what changes across it they cannot tell."))
        return false;
    return (plan->has_profile && !foci_habitat_keeps_places(plan->profile.lives_in)) || warn_of_spacing(plan, err);
}

bool foci_plan_tell(foci_plan *plan, foci_error *err) {
    const bool places = !plan->has_profile || foci_habitat_keeps_places(plan->profile.lives_in);
    if (!tell_walk(plan, err) ||
        (!plan->of_digs && (!tell_mean(plan, err) || (places && !tell_patch(plan, err)) || !tell_knowledge(plan, err))))
        return false;
    return warn(plan, err) && foci_cautions_standing(&plan->cautions, plan->has_profile ? &plan->profile : NULL, err);
}

#include "decide/words/warnings.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/pattern/crowding.h"
#include "decide/pattern/field_mean.h"
#include "fieldfoci/plain_number.h"
#include "fieldfoci/words.h"

#define WHOLE_PHOTO 0.98 /* of the field: less is worth a word */

/* What the data checks found out comes first. */
static bool warn_of_findings(foci_sentences *warnings, const foci_findings *findings, foci_error *err) {
    for (size_t i = 0; i < findings->count; i++)
        if (findings->items[i].trust && !foci_sentences_add(warnings, err, "%s", findings->items[i].trust))
            return false;
    return true;
}

/* Of too few stops the data checks speak. */
static bool warn_of_verdict(foci_survey *round, foci_error *err) {
    const foci_field_mean *field = &round->pattern.field;
    switch (round->pattern.verdict) {
    case FOCI_VERDICT_NO_PATTERN:
        return foci_sentences_add(
            &round->warnings, err,
            "No pattern was found among the stops: the map between them is guesswork. Use the field's "
            "average, %s (90 %% interval %s to %s) %s.",
            foci_number_plain(field->mean.value, 3).text, foci_number_plain(field->mean.low, 3).text,
            foci_number_plain(field->mean.high, 3).text, round->stops.unit);
    case FOCI_VERDICT_UNCLEAR:
        return foci_sentences_add(
            &round->warnings, err,
            "These stops cannot tell whether the disease sits in pockets, so nothing is marked Treat. Dig and look "
            "first at the numbered places; more stops would tell more.");
    default:
        return true;
    }
}

static bool warn_of_model(foci_survey *round, foci_error *err) {
    return round->pattern.verdict == FOCI_VERDICT_NO_PATTERN || !round->model.facts.scale_open ||
           foci_sentences_add(
               &round->warnings, err,
               "The readings do not tell how far the pattern reaches: it is wider than the field or finer than "
               "the stops, and the bounds are rough.");
}

/* Offered, never assumed: a direction in which stops are alike farther than across it. */
static bool offer_heading(foci_survey *round, foci_error *err) {
    const foci_fit_summary *facts = &round->model.facts;
    if (!(facts->suggested_p < 0.05))
        return true;
    return foci_findings_add(
        &round->findings, "direction", FOCI_NOTE, NULL, NULL, 0, err,
        "Stops are alike about %.1f times as far along %.0f degrees of grid north as across it. If the rows "
        "run that way, say so with --row-heading; it is not assumed.",
        1 / facts->suggested_ratio, facts->suggested_heading);
}

static bool warn_of_specks(foci_survey *round, foci_error *err) {
    size_t specks = 0;
    for (size_t i = 0; i < round->hotspots.count; i++)
        specks += !round->hotspots.items[i].supported;
    return specks == 0 ||
           foci_sentences_add(
               &round->warnings, err,
               "%zu of %zu hotspots hold no stop at or above the threshold: only the surface says so; look there "
               "first.",
               specks, round->hotspots.count);
}

/* By less the map is above the highest reading without a word: no legend shows the difference. */
#define ABOVE_HIGHEST 0.02

static bool warn_of_surface(foci_survey *round, foci_error *err) {
    if (round->has_zones && !round->method.method->gives_variance &&
        !foci_sentences_add(&round->warnings, err,
                            "This map does not tell how sure it is: zones come from the estimated severity against "
                            "the threshold."))
        return false;
    if (round->readings.spread.min == round->readings.spread.max && round->stops.kind == FOCI_READING_VALUE &&
        !foci_sentences_add(
            &round->warnings, err,
            "All readings are equal, so their spread cannot be estimated: the map is flat, and its bounds and "
            "chances say nothing of what lies between the stops."))
        return false;
    if (round->surface.max > (1 + ABOVE_HIGHEST) * round->readings.spread.max &&
        !foci_sentences_add(&round->warnings, err,
                            "The map goes up to %s where the highest reading is %s: nobody saw as much, it is what "
                            "the stops around point to.",
                            foci_number_plain(round->surface.max, 3).text,
                            foci_number_plain(round->readings.spread.max, 3).text))
        return false;
    double held = 100.0 * (double)round->surface.clamped / (double)round->grid.cells;
    return !(held >= 1) ||
           foci_sentences_add(&round->warnings, err,
                              "On %.0f %% of the field the estimate passed what a reading can be and is shown at that "
                              "limit.",
                              held);
}

/* Puts `later` behind the sentences, and empties it. */
static bool move_sentences(foci_sentences *sentences, foci_sentences *later, foci_error *err) {
    bool ok = true;
    for (size_t i = 0; ok && i < later->count; i++)
        ok = foci_sentences_add(sentences, err, "%s", later->items[i]);
    foci_sentences_free(later);
    return ok;
}

static bool warn_of_photo(foci_survey *round, foci_error *err) {
    return !round->photo.dots || round->photo.share > WHOLE_PHOTO ||
           foci_sentences_add(&round->warnings, err, "The photo shows about %.0f %% of the field.",
                              fmax(1, 100 * round->photo.share));
}

bool foci_warnings_make(foci_survey *round, foci_error *err) {
    foci_sentences before = round->warnings; /* of the method: they come behind those of the data */
    round->warnings = (foci_sentences){0};
    const bool ok = warn_of_verdict(round, err) && warn_of_findings(&round->warnings, &round->findings, err);
    if (!move_sentences(&round->warnings, &before, err) || !ok)
        return false;
    if (round->surface.estimate &&
        (!warn_of_model(round, err) || !warn_of_surface(round, err) || !offer_heading(round, err)))
        return false;
    return warn_of_specks(round, err) && warn_of_photo(round, err) &&
           (round->digs.count >= round->digs.wanted ||
            foci_sentences_add(
                &round->warnings, err,
                "Only %zu of %zu dig-checks found room in the field, half a stop spacing from each other.",
                round->digs.count, round->digs.wanted));
}

/* ---- what the steps find ---- */

bool foci_find_no_model(foci_survey *round, const char *why, foci_error *err) {
    return foci_findings_add(&round->findings, "no model", FOCI_WARNING, NULL, NULL, 0, err,
                             "No model could be fitted (%s): inverse distance is used.", why) &&
           foci_findings_trust(&round->findings, err,
                               "How much alike the stops are at which distance could not be told: the map is a plain "
                               "average of the stops near by.");
}

/* A twentieth less of the average is worth a warning; below that its interval is wider than the difference. */
#define WORTH_SAYING 0.05

bool foci_find_crowding(foci_survey *round, foci_error *err) {
    foci_field_mean field = {0};
    foci_field_mean_find(&field.mean, &round->readings, round->stops.kind, 0);
    if (!foci_crowding_test(&field, &round->readings, round->stops.kind, (uint64_t)round->used.seed,
                            round->used.pattern.permutations, err))
        return false;
    if (!field.preferential || !(field.mean.value - field.declustered > WORTH_SAYING * field.mean.value))
        return true;
    const foci_plain_number even = foci_number_plain(field.declustered, 3),
                            all = foci_number_plain(field.mean.value, 3);
    return foci_findings_add(&round->findings, "crowded stops", FOCI_WARNING, NULL, NULL, 0, err,
                             "Stops were not spread evenly, they crowd the bad spots: the map and the field's average "
                             "run high (with each stop weighted by the ground it stands for it is %s, not %s); add "
                             "stops in the gaps (fieldfoci plan --pattern gaps).",
                             even.text, all.text) &&
           foci_findings_trust(&round->findings, err,
                               "Stops crowd the bad spots, so the map and the field's average run high: with each stop "
                               "weighted by the ground it stands for the average is %s, not %s.",
                               even.text, all.text);
}

/* More of the field than this share, and the person who acts must know. */
#define GAPS_WORTH_SAYING 0.02

static bool say_gaps(foci_survey *round, foci_error *err) {
    static const char end[] =
        "the map is a guess, and nothing there is marked Treat. Walk it before anyone acts on it.";
    const foci_gaps *gaps = &round->gaps;
    const double percent = 100 * gaps->share;
    char reach[FOCI_WORDS_SIZE];
    foci_words_length(reach, gaps->reach, foci_paper_measures(round->paper));
    if (gaps->one_line)
        return foci_findings_add(&round->findings, "gaps", FOCI_WARNING, NULL, NULL, 0, err,
                                 "About %.0f %% of the field lies off the one line that was walked: there %s", percent,
                                 end);
    return foci_findings_add(&round->findings, "gaps", FOCI_WARNING, NULL, NULL, 0, err,
                             "About %.0f %% of the field is more than %s from any stop: there %s", percent, reach, end);
}

bool foci_find_gaps(foci_survey *round, foci_error *err) {
    const foci_findings *findings = &round->findings;
    return !(round->gaps.share > GAPS_WORTH_SAYING) ||
           (say_gaps(round, err) &&
            foci_findings_trust(&round->findings, err, "%s", findings->items[findings->count - 1].text));
}

char *foci_words_earlier(const foci_survey *round, foci_error *err) {
    const foci_earlier *earlier = &round->earlier;
    const foci_earlier_facts *facts = &round->model.facts.earlier;
    const bool labelled = *earlier->season;
    char found[sizeof facts->why_not + 8];
    snprintf(found, sizeof found, ": %s", facts->why_not);
    if (!*facts->why_not)
        snprintf(found, sizeof found, ": left-out stops were %sforetold better with it", facts->used ? "" : "not ");
    return foci_format_text(err, "The earlier survey%s%s%s was %sused%s.", labelled ? " (" : "", earlier->season,
                            labelled ? ")" : "", facts->used ? "" : "not ", found);
}

/* ---- zones, or why there are none ---- */

bool foci_say_zones_even_so(foci_survey *round, const char *reason, foci_error *err) {
    return foci_sentences_add(&round->even_so, err, "Zones are drawn although %s does not live in the soil: %s",
                              round->profile.title, reason);
}

char *foci_words_no_pockets(const foci_survey *round, foci_error *err) {
    return foci_format_text(err, "%s does not live in the soil, so no zones are drawn; go by the field's average. %s",
                            round->profile.title, round->profile.habitat.text);
}

char *foci_words_no_zones(const foci_survey *round, foci_error *err) {
    if (round->pattern.verdict == FOCI_VERDICT_TOO_FEW)
        return foci_format_text(
            err, "%zu stops are too few for a map and for zones; a map takes at least %d, spread over the field.",
            round->readings.count, FOCI_STOPS_FOR_MAP);
    return foci_copy_text("No pattern was found among the stops, so no zones are drawn; go by the field's average.",
                          err);
}

bool foci_words_coverage(char *text, size_t size, const foci_cross_validation *check) {
    if (isnan(check->coverage_90))
        return false;
    snprintf(text, size, "Left-out stops fell inside their stated 90 %% bounds %.0f times in 100.",
             100 * check->coverage_90);
    return true;
}

#include "decide/words/warnings.h"

#include <math.h>

#include "fieldfoci/plain_number.h"

#define WHOLE_PHOTO 0.98 /* of the field: less is worth a word */

/* A twentieth less of the average is worth a warning; below that its interval is wider than the difference. */
#define WORTH_SAYING 0.05

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

static bool warn_of_crowding(foci_survey *round, foci_error *err) {
    const foci_field_mean *field = &round->pattern.field;
    return !field->preferential || !(field->mean.value - field->declustered > WORTH_SAYING * field->mean.value) ||
           foci_sentences_add(&round->warnings, err,
                              "Stops crowd the bad spots, so the field's average runs high: with each stop weighted by "
                              "the ground it stands for it is %s, not %s.",
                              foci_number_plain(field->declustered, 3).text,
                              foci_number_plain(field->mean.value, 3).text);
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
    const bool ok = warn_of_verdict(round, err) && warn_of_findings(&round->warnings, &round->findings, err) &&
                    warn_of_crowding(round, err);
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

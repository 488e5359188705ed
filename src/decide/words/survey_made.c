/* How a survey was made, and what is said with every one. */
#include "decide/words/survey_words.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/plain_number.h"

/* How far stops are alike, along and across the rows where the model knows them. */
static bool add_model(foci_text *line, const foci_survey *round, foci_error *err) {
    const foci_variogram *model = &round->model.facts.variogram;
    const double reach = model->kind ? foci_variogram_practical_range(model) : NAN;
    char along[FOCI_WORDS_SIZE], across[FOCI_WORDS_SIZE];
    if (!model->kind)
        return true;
    if (model->partial_sill <= 0)
        return foci_text_add(line, err, " Stops near each other are no more alike than stops far apart.");
    foci_words_length(along, reach, foci_words_measures(round));
    foci_words_length(across, reach * model->ratio, foci_words_measures(round));
    if (!(model->ratio < 1))
        return foci_text_add(line, err, " Likeness fades out by about %s.", along);
    return foci_text_add(line, err, " Likeness fades out by about %s along %s, %s across.", along,
                         isnan(round->row_heading) ? "its longest direction" : "the rows", across);
}

/* How far a guess from the other stops is off, and how often it falls into its range. */
static bool add_cross_validation(foci_text *line, const foci_survey *round, foci_error *err) {
    const foci_cross_validation *check = &round->cross_validation;
    return !round->has_cross_validation ||
           (foci_text_add(line, err, " Guessed from the other stops, a stop is missed by about %s%s as a rule",
                          foci_number_plain(check->rmse, 2).text,
                          *foci_words_suffix(round) ? " percentage points" : "") &&
            (isnan(check->coverage_90) ||
             foci_text_add(line, err, ", and falls inside its 9-in-10 range %.0f times in 100",
                           100 * check->coverage_90)) &&
            foci_text_add(line, err, "."));
}

#define LEAST_ACRES 0.05 /* to be told in acres at all */

/* Beside the outlines: ground outside of them passes too, here and there, and some inside does not. */
static bool add_expected(foci_text *line, const foci_survey *round, foci_error *err) {
    char area[FOCI_WORDS_SIZE];
    const double hectares = round->surface.over * round->field.area_ha;
    if (!round->surface.chance || hectares * FOCI_ACRES_PER_HECTARE < LEAST_ACRES)
        return true;
    foci_words_area(area, hectares, foci_words_measures(round));
    return foci_text_add(line, err, " With the chance counted everywhere%s, %s are expected to pass the threshold.",
                         round->hotspots.count > 0 ? ", not only in the hotspots" : "", area);
}

static bool add_credit(foci_text *line, const foci_survey *round, foci_error *err) {
    const char *credit = round->photo.credit ? round->photo.credit : "";
    return !*credit || (foci_text_add(line, err, " Photo: ") && foci_text_add_name(line, credit, err) &&
                        foci_text_add(line, err, "."));
}

char *foci_words_made(const foci_survey *round, foci_error *err) {
    foci_text line = {0};
    char spacing[FOCI_WORDS_SIZE], made[FOCI_WORDS_SIZE];
    foci_words_length(spacing, round->readings.spacing, foci_words_measures(round));
    foci_words_date(made, round->made);
    bool ok = foci_text_add(&line, err,
                            "How made: each place is worked out from the stops around it, near ones count "
                            "most; %zu stops",
                            round->readings.count);
    if (ok && !isnan(round->readings.spacing))
        ok = foci_text_add(&line, err, ", about %s apart", spacing);
    ok = ok && foci_text_add(&line, err, ".") && add_model(&line, round, err);
    if (ok && round->earlier.words)
        ok = foci_text_add(&line, err, " %s", round->earlier.words);
    ok = ok && add_expected(&line, round, err) && add_cross_validation(&line, round, err) &&
         add_credit(&line, round, err) && foci_text_add(&line, err, " Made %s, by fieldfoci %s.", made, FOCI_VERSION);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_economics(const foci_survey *round, foci_error *err) {
    const foci_economics *net = &round->economics;
    const bool acres = foci_words_measures(round) == FOCI_ACRES;
    const double per = acres ? 1 / FOCI_ACRES_PER_HECTARE : 1;
    const char *unit = acres ? "acre" : "hectare";
    if (!round->has_economics)
        return foci_copy_text("", err);
    return foci_format_text(
        err,
        "Expected net per %s of the field: treating the zones %.2f, the whole field %.2f, nothing 0. It assumes that "
        "treating costs %.4g per %s and avoids a loss of %.4g per %s where the threshold is passed, and none "
        "elsewhere.",
        unit, net->zones.net_share * per, net->whole.net_share * per, round->economics_options.cost * per, unit,
        round->economics_options.loss * per, unit);
}

char *foci_words_even_so(const foci_survey *round, foci_error *err) {
    foci_text line = {0};
    bool ok = foci_text_add(&line, err, "%s", round->even_so.count > 0 ? "Drawn even so, for a stated reason:" : "");
    for (size_t i = 0; i < round->even_so.count; i++)
        ok = ok && foci_text_add(&line, err, " %s", round->even_so.items[i]);
    if (!ok)
        foci_text_free(&line);
    return line.text;
}

char *foci_words_no_chance(const foci_survey *round, foci_error *err) {
    if (isnan(round->threshold))
        return foci_copy_text("No threshold was stated, so there is no chance to show.", err);
    return foci_copy_text(
        "This way of estimating does not tell how sure it is, so there is no chance to show. Hotspots "
        "are the places where the estimate itself is at or above the threshold.",
        err);
}

char *foci_words_caution(const foci_survey *round, foci_error *err) {
    return foci_format_text(err,
                            "An estimate from %zu stops, not a diagnosis and not a recommendation. Dig and look before "
                            "anyone treats. The label is the law: follow it, local rules and licensed applicators.",
                            round->readings.count);
}

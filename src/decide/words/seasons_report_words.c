#include "decide/words/seasons_report_words.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"

/* ---- headings ---- */

const char foci_seasons_found[] = "What was found";
const char foci_seasons_how_much[] = "How much ground";
const char foci_seasons_where[] = "Where";
const char foci_seasons_against[] = "Season against season";
const char foci_seasons_the_seasons[] = "The seasons";
const char foci_seasons_the_coefficients[] = "Coefficients";
const char foci_seasons_where_from[] = "Where it comes from";

/* ---- captions of tables, and what stands in their place ---- */

const char foci_seasons_of_classes[] = "Expected areas with the range that holds the truth nine times in ten";
const char foci_seasons_of_pairs[] = "Two seasons at a time";
const char foci_seasons_of_rounds[] = "What was compared";
const char foci_seasons_of_places[] =
    "Places as they are colored on the map, largest first; the numbers are those of the sheet and of persistence.gpkg";
const char foci_seasons_of_surveys[] = "Surveys";
const char foci_seasons_of_stops[] = "Their files of stops";
const char foci_seasons_no_places[] = "No place is colored as hot in any season.";
const char foci_seasons_side_by_side[] = "seasons side by side";

const char *foci_words_of_pairs(const foci_seasons *seasons) {
    return foci_words_comparison_measures(seasons) == FOCI_ACRES
               ? "Two seasons at a time; areas in acres (2.47 acres are one hectare)"
               : "Two seasons at a time; areas in hectares (one hectare is 2.47 acres)";
}

void foci_words_pair_name(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, const foci_season_pair *pair) {
    snprintf(text, FOCI_WORDS_TITLE, "%.80s and %.80s", foci_seasons_label(seasons, pair->first),
             foci_seasons_label(seasons, pair->second));
}

void foci_words_pair_verdict(char text[3 * FOCI_WORDS_SIZE], const foci_seasons *seasons,
                             const foci_season_pair *pair) {
    if (pair->why_not)
        snprintf(text, 3 * FOCI_WORDS_SIZE, "%s: %.60s: %.160s", pair->verdict,
                 foci_seasons_label(seasons, pair->reason), pair->why_not);
    else
        snprintf(text, 3 * FOCI_WORDS_SIZE, "%s", pair->verdict);
}

/* ---- explanations ---- */

const char foci_seasons_brackets[] =
    "In brackets: the range that holds the truth nine times in ten. The map shows a class only where its chance is one "
    "half or more, so areas of color are not these numbers.";
const char foci_seasons_p[] =
    "P is the chance of so much likeness between two seasons that have nothing to do with each other. A large P does "
    "not say that hotspots stay away: few stops often cannot tell. By chance alone is the overlap of unrelated seasons "
    "with as much hot ground.";
const char foci_seasons_coefficients[] =
    "Variation shared is the part of the differences from place to place that both seasons have in common, from 0 to "
    "1: its mean by weight (rho), the ends between which it lies nine times in ten, and the weight of none at all, "
    "which was one half before the stops were looked at. Jaccard, Dice and kappa are computed from the expected areas "
    "and describe them; they depend on how much of the field is hot and test nothing.";
const char *const foci_seasons_reading[] = {
    "A place is hot in a season where the true reading there is at or above that season's threshold. Always (both, of "
    "two): hot in every season. Often: hot in two or more, and in half of the seasons or in the last one, but not in "
    "all. New: hot only in the last season. Gone: hot before, not often, and not in the last season. Never (neither, "
    "of two): hot in none. A cell takes the class whose chance is one half or more; where none is, and where a place "
    "is smaller than one stop's share of the field, it is unsure.",
    "Areas are expected ones: the chance counts everywhere, also outside the hotspots that a season's own map "
    "outlines, so they differ from the hotspots' area there.",
    "For the classes all seasons are read together: a season's stops also say something of the others. The small maps "
    "show each season as it is by itself, so they may differ from the classes. All small maps have the same colors for "
    "the same reading.",
    NULL};
const char foci_seasons_model_of_counts[] =
    "Model: in each season the logit of the share infected is a Gaussian surface with its own mean and its own "
    "deviation; hits are binomial. The surfaces of two seasons have the correlation rho at a place, and one and the "
    "same correlation with distance.";
const char foci_seasons_model_of_scores[] =
    "Model: in each season the score, on the scale that its own map chose, is a Gaussian surface with its own mean, "
    "its own deviation and its own noise. The surfaces of two seasons have the correlation rho at a place, and one and "
    "the same correlation with distance.";
const char foci_seasons_weights[] =
    "Mean, deviations and range are fitted at rho 0 and kept. Half of the prior weight is on rho 0, the rest even on "
    "0.1 to 0.97; chances are averaged over rho by its weight, areas come from joint draws of parameters and surfaces "
    "of all seasons.";
const char foci_seasons_no_rows[] = "Likeness falls with distance in the same way in all directions.";

void foci_words_rows(char text[FOCI_WORDS_LINE], double heading) {
    snprintf(text, FOCI_WORDS_LINE,
             "Likeness may reach farther along the rows, %.3g degrees clockwise from grid north, than across.",
             heading);
}

void foci_words_unsure(char text[FOCI_WORDS_LINE], const char *area) {
    snprintf(text, FOCI_WORDS_LINE,
             "On the map %s stay unsure: no class has a chance of one half there, or the place is smaller than one "
             "stop's share of the field. The areas in the table are expectations over all that the readings allow; "
             "they are not the areas of the colors on the map.",
             area);
}

/* ---- the map ---- */

const char foci_seasons_classes_title[] = "Classes";
const char foci_seasons_expected_title[] = "Expected number of seasons hot";

const char *foci_words_seasons_key(const foci_seasons *seasons) {
    if (!foci_words_any_compared(seasons))
        return "Full dots: stops at or above their season's threshold, open dots: stops below it. North is up.";
    return "Thick outlines: hotspots, by the numbers of the table. Full dots: stops at or above their season's "
           "threshold, open dots: stops below it. North is up.";
}

void foci_words_class_place(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, const foci_class_place *place) {
    char area[FOCI_WORDS_SIZE];
    foci_words_area(area, place->area_ha, foci_words_comparison_measures(seasons));
    snprintf(text, FOCI_WORDS_TITLE, "Hotspot %d: %s, %s", place->id, foci_seasons_class_word(seasons, place->code),
             area);
}

void foci_words_class_meant(char text[3 * FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_class code) {
    char meaning[2 * FOCI_WORDS_SIZE];
    foci_words_meaning(meaning, seasons, code);
    snprintf(text, 3 * FOCI_WORDS_SIZE, "%s: %s", foci_seasons_class_word(seasons, code), meaning);
}

void foci_words_season_chance(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season) {
    snprintf(text, FOCI_WORDS_TITLE, "%.80s: chance of being hot", foci_seasons_label(seasons, season));
}

void foci_words_season_own(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season) {
    snprintf(text, FOCI_WORDS_TITLE, "%.80s by itself, best estimate", foci_seasons_label(seasons, season));
}

void foci_words_season_stops(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season) {
    snprintf(text, FOCI_WORDS_TITLE, "Stops %.80s", foci_seasons_label(seasons, season));
}

const char foci_seasons_before_class[] = "Class ";
const char foci_seasons_before_expected[] = "; expected number of seasons hot: ";

void foci_words_after_expected(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons) {
    snprintf(text, FOCI_WORDS_SIZE, " of %zu", seasons->persistence.compared);
}

void foci_words_before_season_chance(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season) {
    snprintf(text, FOCI_WORDS_TITLE, "; hot in %.80s: ", foci_seasons_label(seasons, season));
}

void foci_words_before_season_own(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season, bool first) {
    snprintf(text, FOCI_WORDS_TITLE, "%s%.80s by itself: %s ", first ? "" : "; ", foci_seasons_label(seasons, season),
             foci_reading_word(seasons->rounds[season].stops.kind));
}

void foci_words_step(char text[FOCI_WORDS_SIZE], double low, double high, bool first, bool last, const char *unit) {
    if (first)
        snprintf(text, FOCI_WORDS_SIZE, "below %.4g%s", high, unit);
    else if (last)
        snprintf(text, FOCI_WORDS_SIZE, "%.4g%s and over", low, unit);
    else
        snprintf(text, FOCI_WORDS_SIZE, "%.4g to %.4g%s", low, high, unit);
}

/* ---- the sheet ---- */

const char foci_seasons_was_it_hot[] = "Was it hot?";
const char foci_seasons_stop_below[] = "stop below it";
const char foci_seasons_line_on_map[] = "on a map: the threshold of that season, as written above it";

void foci_words_about_unit(char text[FOCI_WORDS_SIZE], foci_measures measures) {
    snprintf(text, FOCI_WORDS_SIZE, "about %s", foci_words_area_unit(measures));
}

void foci_words_unsure_on_map(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_measures measure) {
    const double per_hectare = measure == FOCI_ACRES ? FOCI_ACRES_PER_HECTARE : 1;
    char area[FOCI_WORDS_SIZE];
    foci_words_decimal(area, seasons->places.unsure_ha * per_hectare, 1);
    snprintf(text, FOCI_WORDS_SIZE, "%.40s on the map", area);
}

const char *foci_words_stop_above(bool differ) {
    return differ ? "stop at or above its season's threshold" : "stop at or above the threshold";
}

void foci_words_small_map(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season) {
    const bool left_out = foci_words_any_compared(seasons) && !foci_words_is_compared(seasons, season);
    snprintf(text, FOCI_WORDS_TITLE, "%s%s", foci_seasons_label(seasons, season), left_out ? " (not compared)" : "");
}

void foci_words_under_small_map(char text[FOCI_WORDS_TITLE], const foci_survey *round, foci_under_small_map which) {
    char threshold[FOCI_WORDS_SIZE];
    foci_words_reading(threshold, round, round->threshold);
    if (which == FOCI_UNDER_WHOLE)
        snprintf(text, FOCI_WORDS_TITLE, "%zu stops, threshold\u00A0%s", round->readings.count, threshold);
    else if (which == FOCI_UNDER_SHORT)
        snprintf(text, FOCI_WORDS_TITLE, "%zu stops, hot\u00A0from\u00A0%s", round->readings.count, threshold);
    else if (which == FOCI_UNDER_THRESHOLD)
        snprintf(text, FOCI_WORDS_TITLE, "hot\u00A0from\u00A0%s", threshold);
    else
        snprintf(text, FOCI_WORDS_TITLE, "%zu stops", round->readings.count);
}

void foci_words_measured_in(char text[FOCI_WORDS_TITLE], const foci_survey *round) {
    snprintf(text, FOCI_WORDS_TITLE, "%s, %s", foci_words_measured(round), round->stops.unit);
}

char *foci_words_seasons_described(const foci_seasons *seasons, const char *facts, const char *made,
                                   const char *caution, foci_error *err) {
    return foci_format_text(err, "Seasons of one field compared. %s. %s. %s %s", foci_words_comparison_title(seasons),
                            facts, made, caution);
}

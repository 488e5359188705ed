#include "decide/words/fixed_words.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"

/* ---- report ---- */

const char foci_report_names_no_product[] =
    "This report names no product and no rate: what may be used, and how, is on the label.";
const char foci_report_other_files[] =
    "Every number unrounded is in survey.json, and its job repeats this map; the layers for a map program are in "
    "survey.gpkg and in the .tif files of the same folder.";
const char foci_report_line[] = "The line is the model that the map stands on.";
const char foci_report_no_line[] = "No line is drawn: the map's model stands on another scale than the readings.";

/* ---- comparison of seasons ---- */

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

/* ---- files for a sprayer ---- */

const char *const foci_task_cautions[] = {
    "Look at the zones on the controller's screen and compare them with the survey's map: their place, their form, "
    "their rates and the unit. A file that a controller reads is not yet one that it reads rightly.",
    "Try it first where nothing can go wrong: drive a zone's edge with water, or with the pump off, and see the rate "
    "change at the right place.",
    "Outside the zones and the field these files ask for a rate of 0, and so they do where the position is lost. Check "
    "what your controller does there; many have a default rate of their own.",
    "The label is the law: crop, disease, rate, timing, re-entry and pre-harvest intervals are on it. The rates here "
    "are those that were typed in; the program proposes neither a product nor a rate and does not know the label.",
    "Local rules come first. Restricted products are for licensed applicators only.",
    "The zones know nothing of water, wells, houses, neighbors, bees, wind or drift: keep the setbacks.",
    "The zones are drawn from an estimate, not from a diagnosis. Rate 0 does not mean that no disease is there.",
    NULL};
const char foci_task_areas[] =
    "  Areas are those of the outlines. Not in them: what the boom's width and overlaps add, and\n"
    "  what stays in tank and lines.\n";
const char foci_task_nothing_to_treat[] = "The survey has no zone to treat: the rate of --treat is used nowhere.";

/* ---- letter, and places to dig ---- */

const char foci_letter_enclosed[] =
    "With this letter: the map (map.pdf) and, where places are to be dug, their list for a phone (digs.gpx).";

/* Common practice, no source: soil on boots and spade carries disease from place to place. Re-entry: 40 CFR 170, from
 * memory; elsewhere the local rules. */
#define MIND "clean boots and spade after it; keep the re-entry interval of what was applied"

char *foci_words_waypoint(const foci_dig_point *dig, foci_error *err) {
    if (isnan(dig->chance))
        return foci_format_text(err, "Dig %d: %s; " MIND, dig->visit, foci_dig_why_title(dig->why));
    return foci_format_text(err, "Dig %d, chance that the threshold is passed %.0f %%: %s; " MIND, dig->visit,
                            100 * dig->chance, foci_dig_why_title(dig->why));
}

#include "decide/words/report_words.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"
#include "base/text.h"
#include "decide/words/survey_words.h"

/* ---- headings ---- */

const char foci_report_the_map[] = "The map";
const char foci_report_where[] = "Where, and how much ground";
const char foci_report_where_to_dig[] = "Where to dig and look";
const char foci_report_the_readings[] = "The readings";
const char foci_report_how_made[] = "How it was made";
const char foci_report_the_job[] = "The job: every option as it was used";
const char foci_report_data_show[] = "What the data show";

/* ---- captions of tables, and what stands in their place ---- */

const char foci_report_of_hotspots[] = "Hotspots, the one with most disease first";
const char foci_report_of_zones[] = "Zones";
const char foci_report_of_digs[] = "Dig and look, in walking order";
const char foci_report_of_model[] = "What the stops say of the model's parameters";
const char foci_report_of_cross_check[] = "Cross-check";
const char foci_report_of_files[] = "Files that were read";
const char foci_report_no_hotspots[] = "No hotspots are drawn.";
const char foci_report_no_zones[] = "No zones are drawn.";
const char foci_report_no_digs[] = "No dig-checks are proposed.";

void foci_words_more_hotspots(char text[FOCI_WORDS_SIZE], size_t more) {
    snprintf(text, FOCI_WORDS_SIZE, "And %zu more, smaller ones: see survey.gpkg.", more);
}

/* ---- sentences under and beside them ---- */

const char foci_report_names_no_product[] =
    "This report names no product and no rate: what may be used, and how, is on the label.";
const char foci_report_other_files[] =
    "Every number unrounded is in survey.json, and its job repeats this map; the layers for a map program are in "
    "survey.gpkg and in the .tif files of the same folder.";

char *foci_words_method(const foci_survey *round, foci_error *err) {
    const foci_fit_summary *facts = &round->model.facts;
    foci_text line = {0};
    bool ok = foci_text_add(&line, err, "Surface: %s.", round->model.method->title);
    if (ok && facts->variogram.kind)
        ok = foci_text_add(&line, err, " Correlation: %s, nugget %.4g, partial sill %.4g, range parameter %.4g m, %s.",
                           facts->variogram.kind->name, facts->variogram.nugget, facts->variogram.partial_sill,
                           facts->variogram.range,
                           facts->logit         ? "on the logit scale of the share infected"
                           : facts->lambda != 1 ? "on a Box-Cox scale"
                                                : "on the scale of the readings");
    if (ok && facts->components > 1)
        ok = foci_text_add(&line, err, " Predictions average over %zu parameter points by their posterior weight.",
                           facts->components);
    if (ok && !isnan(facts->no_pattern))
        ok = foci_text_add(&line, err, " Weight of no pattern at all: %.3g.", facts->no_pattern);
    if (ok)
        return line.text;
    foci_text_free(&line);
    return NULL;
}

/* ---- pictures of the readings ---- */

const char foci_report_histogram_seen[] = "Histogram. ";
const char foci_report_histogram_caption[] = "How many stops had how much. ";
const char foci_report_unlike[] = "How unlike two stops are, by how far they are apart. ";
const char foci_report_line[] = "The line is the model that the map stands on.";
const char foci_report_no_line[] = "No line is drawn: the map's model stands on another scale than the readings.";
const char foci_report_unlike_seen[] = "Semivariances of the stops by distance";
const char foci_report_unlike_seen_line[] = "Semivariances of the stops by distance, and the model's line through them";

void foci_words_readings(char text[6 * FOCI_WORDS_SIZE], const foci_survey *round) {
    const foci_reading_range *spread = &round->readings.spread;
    char words[4][FOCI_WORDS_SIZE];
    foci_words_reading(words[0], round, spread->min);
    foci_words_reading(words[1], round, spread->median);
    foci_words_reading(words[2], round, spread->mean);
    foci_words_reading(words[3], round, spread->max);
    snprintf(text, 6 * FOCI_WORDS_SIZE, "%zu readings: least %s, middle %s, average %s, most %s; nothing found at %zu.",
             round->readings.count, words[0], words[1], words[2], words[3], spread->zeros);
}

/* ---- the map ---- */

const char foci_report_grounds[] = "Ground";
const char foci_report_on_it[] = "On it";
const char foci_report_point_at[] = "Point at the map, tap it, or move it with the arrow keys to read it.";
const char foci_report_outside[] = "Outside the field.";
const char foci_report_low_end[] = "Low end (5 % bound)";
const char foci_report_high_end[] = "High end (95 % bound)";
const char foci_report_photo_by[] = "Photo: ";

char *foci_words_map_described(const char *finding, foci_error *err) {
    return foci_format_text(err, "Map of the field. %s. The tables below say the same in numbers.", finding);
}

char *foci_words_ground_described(const char *ground, foci_error *err) {
    return foci_format_text(err, "%s: map of the field", ground);
}

char *foci_words_map_key(const foci_survey *round, bool marks, foci_error *err) {
    char threshold[FOCI_WORDS_SIZE];
    foci_text key = {0};
    bool ok = true;
    foci_words_reading(threshold, round, round->threshold);
    if (!isnan(round->threshold))
        ok = foci_text_add(&key, err, "Full dots: stops at or above %s, open dots: stops below it. ", threshold);
    if (ok && round->hotspots.count > 0)
        ok = foci_text_add(&key, err, "Thick outlines: hotspots, by number. ");
    if (ok && round->digs.count > 0)
        ok = foci_text_add(&key, err, "Diamonds: dig-checks, in walking order. ");
    if (ok && marks)
        ok = foci_text_add(&key, err, "Blue-gray lines and triangles: marks, with their names when pointed at. ");
    if (ok && round->surface.estimate && foci_words_unspoken(round))
        ok = foci_text_add(&key, err, "Hatched ground: %s. ", foci_words_unspoken(round));
    if (ok && foci_text_add(&key, err, "North is up."))
        return key.text;
    foci_text_free(&key);
    return NULL;
}

void foci_words_best_estimate(char text[FOCI_WORDS_TITLE], const foci_survey *round) {
    snprintf(text, FOCI_WORDS_TITLE, "%s, best estimate", foci_words_measured(round));
}

void foci_words_chance_of(char text[FOCI_WORDS_TITLE], const foci_survey *round) {
    char threshold[FOCI_WORDS_SIZE];
    foci_words_reading(threshold, round, round->threshold);
    snprintf(text, FOCI_WORDS_TITLE, "Chance of %s or more", threshold);
}

void foci_words_hotspot(char text[FOCI_WORDS_TITLE], const foci_survey *round, const foci_hotspot *spot) {
    char area[FOCI_WORDS_SIZE];
    foci_words_area(area, spot->area_ha, foci_words_measures(round));
    snprintf(text, FOCI_WORDS_TITLE, "Hotspot %d: %s", spot->id, area);
}

void foci_words_dig_check(char text[FOCI_WORDS_TITLE], const foci_dig_point *dig) {
    snprintf(text, FOCI_WORDS_TITLE, "Dig-check %d: %s", dig->visit, foci_words_dig(dig->why));
}

void foci_words_before_estimate(char text[FOCI_WORDS_SIZE], const foci_survey *round) {
    snprintf(text, FOCI_WORDS_SIZE, "%s ", foci_words_measured(round));
}

const char foci_report_before_low[] = " (90 % bounds: ";
const char foci_report_before_high[] = " to ";
const char foci_report_after_high[] = ")";

void foci_words_before_chance(char text[FOCI_WORDS_TITLE], const foci_survey *round) {
    char threshold[FOCI_WORDS_SIZE];
    foci_words_reading(threshold, round, round->threshold);
    snprintf(text, FOCI_WORDS_TITLE, "; chance of %s or more: ", threshold);
}

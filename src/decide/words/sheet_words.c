#include "decide/words/sheet_words.h"

#include <math.h>
#include <stdio.h>

#include "base/memory.h"

/* ---- the sheet ---- */

const char foci_sheet_how_far_to_trust[] = "How far to trust this";
const char foci_sheet_how_sure[] = "How sure is it?";
const char foci_sheet_no_zones[] = "No zones are drawn";
const char foci_sheet_no_map[] = "No map is drawn";
const char foci_sheet_whole_field[] = "Whole field";
const char foci_sheet_of_digs[] = "Dig and look, in walking order";
const char foci_sheet_hotspot_key[] = "hotspot, with its number";

const char *foci_words_take_along(const foci_survey *round) {
    return round->has_zones ? "To take along: the zones, and where to dig and look"
                            : "To take along: where to dig and look";
}

char *foci_words_sheet_described(const foci_survey *round, const char *finding, const char *facts, const char *made,
                                 const char *caution, foci_error *err) {
    return foci_format_text(err, "Map of disease %s. %s. %s. %s %s", foci_reading_word(round->stops.kind), finding,
                            facts, made, caution);
}

void foci_words_threshold(char *text, size_t size, const foci_survey *round) {
    char reading[FOCI_WORDS_SIZE];
    foci_words_reading(reading, round, round->threshold);
    snprintf(text, size, "threshold: %s or more", reading);
}

void foci_words_at_every_stop(char text[2 * FOCI_WORDS_SIZE], const foci_survey *round, double value) {
    char reading[FOCI_WORDS_SIZE];
    foci_words_reading(reading, round, value);
    snprintf(text, 2 * FOCI_WORDS_SIZE, "%s at every stop", reading);
}

void foci_words_average(char text[4 * FOCI_WORDS_SIZE], const foci_survey *round) {
    const foci_estimate *mean = &round->pattern.field.mean;
    const bool judged = round->has_pattern && isfinite(mean->low) && isfinite(mean->high);
    char average[FOCI_WORDS_SIZE], low[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
    foci_words_reading(average, round, judged ? mean->value : round->readings.spread.mean);
    foci_words_reading(low, round, judged ? mean->low : round->readings.spread.min);
    foci_words_reading(high, round, judged ? mean->high : round->readings.spread.max);
    snprintf(text, 4 * FOCI_WORDS_SIZE, judged ? "Average %s (90 %% interval %s to %s)" : "Average %s (%s to %s)",
             average, low, high);
}

void foci_words_range_read(char text[4 * FOCI_WORDS_SIZE], const foci_survey *round) {
    char low[FOCI_WORDS_SIZE], middle[FOCI_WORDS_SIZE], high[FOCI_WORDS_SIZE];
    foci_words_reading(low, round, round->readings.spread.min);
    foci_words_reading(middle, round, round->readings.spread.median);
    foci_words_reading(high, round, round->readings.spread.max);
    snprintf(text, 4 * FOCI_WORDS_SIZE, "Stops read from %s to %s, the middle one %s", low, high, middle);
}

void foci_words_digs_key(char text[240], size_t unnumbered, size_t hotspots, size_t missing, size_t digs,
                         bool numbered) {
    char ground[80] = "";
    if (unnumbered)
        snprintf(ground, sizeof ground, "%zu of %zu hotspots have no room for their number", unnumbered, hotspots);
    const char *between = unnumbered ? "; " : "";
    if (digs == 0)
        snprintf(text, 240, "%s", ground);
    else if (missing > 0)
        snprintf(text, 240, "dig and look here; %zu of %zu find no room here: digs.gpx has all, in walking order%s%s",
                 missing, digs, between, ground);
    else
        snprintf(text, 240, "%s%s%s",
                 numbered ? "dig and look here, in walking order (digs.gpx)"
                          : "dig and look here; digs.gpx has the walking order",
                 between, ground);
}

void foci_words_more_rows(char text[FOCI_WORDS_SIZE], size_t more, const char *file) {
    snprintf(text, FOCI_WORDS_SIZE, "and %zu more: see %s", more, file);
}

/* ---- the stops as they were read ---- */

const char foci_dots_title[] = "The stops as they were read";
const char foci_dots_no_map[] = "Dots are what was found at the stops, no map: nothing is said of the ground between "
                                "them, and nothing of treating.";

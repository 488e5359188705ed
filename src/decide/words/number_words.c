#include "decide/words/number_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "fieldfoci/plain_number.h"

const char *foci_words_suffix(const foci_survey *round) {
    return round->stops.unit && strncmp(round->stops.unit, "percent", 7) == 0 ? " %" : "";
}

void foci_words_reading(char text[FOCI_WORDS_SIZE], const foci_survey *round, double value) {
    snprintf(text, FOCI_WORDS_SIZE, "%s%s", foci_number_plain(value, 3).text, foci_words_suffix(round));
}

const char *foci_words_measured(const foci_survey *round) {
    return round->stops.kind == FOCI_READING_COUNT ? "Incidence" : "Severity";
}

foci_measures foci_words_measures(const foci_survey *round) {
    return foci_paper_measures(round->paper);
}

void foci_words_area_columns(char first[FOCI_WORDS_SIZE], char second[FOCI_WORDS_SIZE], double hectares,
                             foci_measures measures) {
    const double acres = hectares * FOCI_ACRES_PER_HECTARE;
    const bool little = hectares > 0 && acres < 0.05, swapped = measures == FOCI_HECTARES;
    char *american = swapped ? second : first, *metric = swapped ? first : second;
    if (little)
        snprintf(american, FOCI_WORDS_SIZE, "< 0.1");
    else
        foci_words_decimal(american, acres, 1);
    foci_words_decimal(metric, hectares, hectares > 0 && acres < 0.5 ? 2 : 1);
}

void foci_words_lonlat(char text[FOCI_WORDS_SIZE], foci_point lonlat) {
    snprintf(text, FOCI_WORDS_SIZE, "%.5f, %.5f", lonlat.y, lonlat.x);
}

void foci_words_chance(char text[FOCI_WORDS_SIZE], double chance) {
    if (isnan(chance))
        snprintf(text, FOCI_WORDS_SIZE, "not known");
    else if (chance > 0.99)
        snprintf(text, FOCI_WORDS_SIZE, "over 99 %%");
    else
        snprintf(text, FOCI_WORDS_SIZE, chance < 0.01 ? "under 1 %%" : "%.0f %%", 100 * chance);
}

/* ---- as roughly as stops can tell them ---- */

void foci_words_rough_area(char text[FOCI_WORDS_SIZE + 8], double hectares, foci_measures measures) {
    const double area = measures == FOCI_ACRES ? hectares * FOCI_ACRES_PER_HECTARE : hectares;
    char exact[FOCI_WORDS_SIZE];
    if (area < 1) {
        foci_words_area(exact, hectares, measures);
        snprintf(text, FOCI_WORDS_SIZE + 8, "about %s", exact);
        return;
    }
    const double step = area < 10 ? 0.5 : area < 100 ? 1 : 10, rounded = round(area / step) * step;
    foci_words_decimal(exact, rounded, rounded == floor(rounded) ? 0 : 1);
    snprintf(text, FOCI_WORDS_SIZE + 8, "about %s %s", exact,
             rounded == 1 && measures == FOCI_ACRES ? "acre" : foci_words_area_unit(measures));
}

void foci_words_rough_reading(char text[FOCI_WORDS_SIZE + 8], const foci_survey *round, double value) {
    char reading[FOCI_WORDS_SIZE];
    const double digits = *foci_words_suffix(round) && value >= 1 ? 1
                          : value > 0                             ? pow(10, floor(log10(value)) - 1)
                                                                  : 1;
    foci_words_reading(reading, round, rint(value / digits) * digits);
    snprintf(text, FOCI_WORDS_SIZE + 8, "about %s", reading);
}

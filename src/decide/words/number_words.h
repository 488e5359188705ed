/* Numbers of a survey as people read them, rounded to what the stops support: one place for sheets, reports, letters.
 */
#ifndef FOCI_DECIDE_NUMBER_WORDS_H
#define FOCI_DECIDE_NUMBER_WORDS_H

#include "fieldfoci/survey.h"
#include "fieldfoci/words.h"

/* " %" where the reading's unit is a percentage, else "". */
const char *foci_words_suffix(const foci_survey *round);

/* A reading as it is printed: "10 %", "3.5". */
void foci_words_reading(char text[FOCI_WORDS_SIZE], const foci_survey *round, double value);

/* "Incidence" of counts, "Severity" of scores. */
const char *foci_words_measured(const foci_survey *round);

/* The measures of the paper that the round is printed on. */
foci_measures foci_words_measures(const foci_survey *round);

/* An area in two columns, the one that leads first: "3.1" and "1.3". */
void foci_words_area_columns(char first[FOCI_WORDS_SIZE], char second[FOCI_WORDS_SIZE], double hectares,
                             foci_measures measures);

/* A place as a phone takes it, latitude first: "42.01234, -93.45678". */
void foci_words_lonlat(char text[FOCI_WORDS_SIZE], foci_point lonlat);

/* "62 %", "under 1 %", "over 99 %"; "not known" where NaN. */
void foci_words_chance(char text[FOCI_WORDS_SIZE], double chance);

/* For whom a letter is written: "about 4 acres", "about 12.5 ha" in the measures that lead; small ones as everywhere.
 */
void foci_words_rough_area(char text[FOCI_WORDS_SIZE + 8], double hectares, foci_measures measures);

/* "about 25 %": whole percents; scores to two digits. */
void foci_words_rough_reading(char text[FOCI_WORDS_SIZE + 8], const foci_survey *round, double value);

#endif

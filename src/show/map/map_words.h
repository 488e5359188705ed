/* The sentences of the sheet. What comes back is owned by the caller; NULL and `err` filled where memory is out. */
#ifndef FOCI_SHOW_MAP_WORDS_H
#define FOCI_SHOW_MAP_WORDS_H

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

/* Stops that do not enter the estimate, pooled ones not counted. */
size_t foci_words_excluded(const foci_survey *round);

/* What the hatching of the ground says, a clause; NULL where no ground is hatched. Static. */
const char *foci_words_unspoken(const foci_survey *round);

/* What is read of a zone on paper: "Treat", or "Plan for next season" where the profile says that this one is too late.
 */
const char *foci_words_zone(const foci_survey *round, foci_zone_code code);

/* What a dig-check is to tell, in two words or so. */
const char *foci_words_dig(foci_dig_why why);

/* The disease's title inside a sentence: its first letter small, unless its first word is a name that stands in the
 * profile's cause too ("the southern stem rot", "the Sclerotinia stem rot"). */
void foci_words_disease(char text[FOCI_WORDS_SIZE], const foci_profile *profile);

/* What was found, in one sentence: the headline. */
char *foci_words_finding(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* Which field, how large, what disease. */
char *foci_words_place(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* When, and at how many stops. */
char *foci_words_when(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* Both in one line. */
char *foci_words_facts(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* How the map was made. */
char *foci_words_made(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* What treating may bring, per area; "" where cost and loss were not given. */
char *foci_words_economics(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* The reasons given for going on past a guard; "" where none was. */
char *foci_words_even_so(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* Why there is no map of chances; only where there is none. */
char *foci_words_no_chance(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* The caution that stands on every sheet, for rounds that bring none. */
char *foci_words_caution(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

#endif

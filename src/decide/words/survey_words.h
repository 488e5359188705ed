/* A survey in sentences, as sheet, report and letter say it. What comes back is owned by the caller; NULL and `err`
 * filled where memory is out. */
#ifndef FOCI_DECIDE_SURVEY_WORDS_H
#define FOCI_DECIDE_SURVEY_WORDS_H

#include "decide/words/number_words.h"

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

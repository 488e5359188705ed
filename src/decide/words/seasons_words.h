/* A comparison of seasons in sentences, as sheet, files and report say it. */
#ifndef FOCI_DECIDE_SEASONS_WORDS_H
#define FOCI_DECIDE_SEASONS_WORDS_H

#include "base/text.h"
#include "fieldfoci/seasons.h"
#include "decide/words/survey_words.h"

/* ---- classes ---- */

/* "hot in 2024, not in 2025": what the class means in this comparison. */
void foci_words_meaning(char text[2 * FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_class code);

/* Whether a place of this class can be at all: often needs three seasons. */
bool foci_words_class_can_be(const foci_seasons *seasons, foci_class code);

/* ---- seasons ---- */

/* Whether classes were made at all: two seasons or more could be compared. */
bool foci_words_any_compared(const foci_seasons *seasons);

bool foci_words_is_compared(const foci_seasons *seasons, size_t which);

/* Whether not all seasons have one and the same threshold. */
bool foci_words_thresholds_differ(const foci_seasons *seasons);

/* Adds "2023, 2025": the seasons in which `hot` is true. */
bool foci_words_add_hot(foci_text *text, const foci_seasons *seasons, const bool *hot, foci_error *err) FOCI_MUST_CHECK;

/* Adds the labels of all seasons in the same way. */
bool foci_words_add_seasons(foci_text *text, const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;

/* The pair of two compared seasons that follow each other: 0 the last two, 1 the two before ...; NULL where there is
 * none. */
const foci_season_pair *foci_words_pair_before(const foci_seasons *seasons, size_t back);

/* ---- numbers; what is NaN is put into words ---- */

/* The measures of the newest season's paper. */
foci_measures foci_words_comparison_measures(const foci_seasons *seasons);

/* "1.9 (0.9 to 3.1)" in acres or hectares, on one line; "not compared". */
void foci_words_expected(char text[FOCI_WORDS_SIZE], const foci_estimate *area, foci_measures measure);

/* "about 4.7 acres (2.2 to 7.8)", on one line; "not compared". */
void foci_words_about(char text[FOCI_WORDS_SIZE], const foci_estimate *area, foci_measures measure);

/* "0.013", "below 0.001", "not compared". */
void foci_words_p(char text[FOCI_WORDS_SIZE], double p);

/* To so many decimals; `undefined` where it is NaN. */
void foci_words_number(char text[FOCI_WORDS_SIZE], double number, int decimals, const char *undefined);

/* ---- sentences, owned by the caller ---- */

char *foci_words_comparison_facts(const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;
char *foci_words_comparison_made(const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;
char *foci_words_comparison_caution(const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;

/* "2024 and 2025: came back (P = 0.013)". */
char *foci_words_verdict(const foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) FOCI_MUST_CHECK;

/* "hot in both: about 4.7 acres (2.2 to 7.8); by chance alone: about 1.6 acres (0.2 to 3.2)", or why they were not
 * compared.
 */
char *foci_words_overlap(const foci_seasons *seasons, const foci_season_pair *pair, foci_error *err) FOCI_MUST_CHECK;

/* The reasons given for going on past a guard; "" where none was. */
char *foci_words_comparison_even_so(const foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;

/* The headline: the title, else the first sentence. Borrowed. */
const char *foci_words_comparison_title(const foci_seasons *seasons);

/* ---- what the comparison itself says: seasons.json, and everything that shows it ---- */

/* Sentences and cautions of a comparison that is made. */
bool foci_seasons_say(foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;

/* How far to trust it: two surveys of one label, a later one dated before an earlier one, thresholds that differ, a map
 * that an earlier season helped to make, rows that differ by so many degrees. */
bool foci_seasons_warn_label(foci_seasons *seasons, const char *first, const char *second, const char *label,
                             foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_warn_order(foci_seasons *seasons, const char *first, const char *first_date, const char *second,
                             const char *second_date, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_warn_thresholds(foci_seasons *seasons, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_warn_earlier(foci_seasons *seasons, const char *name, foci_error *err) FOCI_MUST_CHECK;
bool foci_seasons_warn_rows(foci_seasons *seasons, double degrees, foci_error *err) FOCI_MUST_CHECK;

#endif

/* The words of a comparison's report and sheet: headings, captions, keys, explanations under tables. */
#ifndef FOCI_DECIDE_SEASONS_REPORT_WORDS_H
#define FOCI_DECIDE_SEASONS_REPORT_WORDS_H

#include "decide/words/fixed_words.h"
#include "decide/words/report_words.h"
#include "decide/words/seasons_words.h"

/* ---- headings ---- */
extern const char foci_seasons_found[], foci_seasons_how_much[], foci_seasons_where[], foci_seasons_against[],
    foci_seasons_the_seasons[], foci_seasons_the_coefficients[], foci_seasons_where_from[];

/* ---- captions of tables, and what stands in their place ---- */
extern const char foci_seasons_of_classes[], foci_seasons_of_pairs[], foci_seasons_of_rounds[],
    foci_seasons_of_places[], foci_seasons_of_surveys[], foci_seasons_of_stops[];
extern const char foci_seasons_no_places[], foci_seasons_side_by_side[];

/* The caption of pairs, with the measures of its areas. */
const char *foci_words_of_pairs(const foci_seasons *seasons);

/* "2024 and 2025". */
void foci_words_pair_name(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, const foci_season_pair *pair);

/* The verdict, and where there is none why. */
void foci_words_pair_verdict(char text[3 * FOCI_WORDS_SIZE], const foci_seasons *seasons, const foci_season_pair *pair);

/* ---- explanations ---- */
extern const char foci_seasons_brackets[], foci_seasons_p[], foci_seasons_coefficients[];
extern const char *const foci_seasons_reading[]; /* how classes and areas are meant; ended by NULL */
extern const char foci_seasons_model_of_counts[], foci_seasons_model_of_scores[], foci_seasons_weights[];
extern const char foci_seasons_no_rows[];

/* The direction in which likeness may reach farther, degrees clockwise from grid north. */
void foci_words_rows(char text[FOCI_WORDS_LINE], double heading);

/* What stays unsure on the map: so much, "1.2 acres (0.5 ha)". */
void foci_words_unsure(char text[FOCI_WORDS_LINE], const char *area);

/* ---- the map ---- */
extern const char foci_seasons_classes_title[], foci_seasons_expected_title[];

/* What the symbols mean. */
const char *foci_words_seasons_key(const foci_seasons *seasons);

/* "Hotspot 3: always, 1.2 acres (0.5 ha)". */
void foci_words_class_place(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, const foci_class_place *place);

/* "always: hot in all seasons". */
void foci_words_class_meant(char text[3 * FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_class code);

/* Titles of a season's grounds and stops. */
void foci_words_season_chance(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season);
void foci_words_season_own(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season);
void foci_words_season_stops(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season);

/* Before and after values, as they are read off the map; `first`: nothing is read before it. */
extern const char foci_seasons_before_class[], foci_seasons_before_expected[];
void foci_words_after_expected(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons);
void foci_words_before_season_chance(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season);
void foci_words_before_season_own(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season, bool first);

/* A step of a legend with ends `low` and `high`; `first` and `last` are open. */
void foci_words_step(char text[FOCI_WORDS_SIZE], double low, double high, bool first, bool last, const char *unit);

/* ---- the sheet ---- */
extern const char foci_seasons_was_it_hot[], foci_seasons_stop_below[], foci_seasons_line_on_map[];

/* "about acres": head of a column. */
void foci_words_about_unit(char text[FOCI_WORDS_SIZE], foci_measures measures);

/* Ground that is unsure: "1.2 on the map". */
void foci_words_unsure_on_map(char text[FOCI_WORDS_SIZE], const foci_seasons *seasons, foci_measures measure);

/* What a full dot is, where thresholds differ or not. */
const char *foci_words_stop_above(bool differ);

/* The head of a season's small map. */
void foci_words_small_map(char text[FOCI_WORDS_TITLE], const foci_seasons *seasons, size_t season);

/* What stands under it: as much as there is room for, the longest first. */
typedef enum { FOCI_UNDER_WHOLE, FOCI_UNDER_SHORT, FOCI_UNDER_THRESHOLD, FOCI_UNDER_STOPS } foci_under_small_map;
void foci_words_under_small_map(char text[FOCI_WORDS_TITLE], const foci_survey *round, foci_under_small_map which);

/* "Incidence, percent": over the colors. */
void foci_words_measured_in(char text[FOCI_WORDS_TITLE], const foci_survey *round);

/* The sheet, for who cannot see it; owned by the caller. */
char *foci_words_seasons_described(const foci_seasons *seasons, const char *facts, const char *made,
                                   const char *caution, foci_error *err) FOCI_MUST_CHECK;

#endif

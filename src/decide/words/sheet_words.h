/* Captions of the sheet, and of the map of dots. */
#ifndef FOCI_DECIDE_SHEET_WORDS_H
#define FOCI_DECIDE_SHEET_WORDS_H

#include "decide/words/number_words.h"

/* ---- the sheet ---- */
extern const char foci_sheet_how_far_to_trust[], foci_sheet_how_sure[], foci_sheet_no_zones[], foci_sheet_no_map[],
    foci_sheet_whole_field[], foci_sheet_of_digs[], foci_sheet_hotspot_key[];

/* The second page: what is taken along. */
const char *foci_words_take_along(const foci_survey *round);

/* The sheet, for who cannot see it; owned by the caller. */
char *foci_words_sheet_described(const foci_survey *round, const char *finding, const char *facts, const char *made,
                                 const char *caution, foci_error *err) FOCI_MUST_CHECK;

/* "threshold: 10 % or more". */
void foci_words_threshold(char *text, size_t size, const foci_survey *round);

/* Where all stops read the same: "3 % at every stop". */
void foci_words_at_every_stop(char text[2 * FOCI_WORDS_SIZE], const foci_survey *round, double value);

/* Where no surface is drawn: the average of the readings, and their range. */
void foci_words_average(char text[4 * FOCI_WORDS_SIZE], const foci_survey *round);
void foci_words_range_read(char text[4 * FOCI_WORDS_SIZE], const foci_survey *round);

/* What the diamonds are: of `hotspots` so many have no number, of `digs` so many no room. `numbered`: in the order of
 * the walk. "" where there is nothing to say. */
void foci_words_digs_key(char text[240], size_t unnumbered, size_t hotspots, size_t missing, size_t digs,
                         bool numbered);

/* "and 3 more: see survey.gpkg". */
void foci_words_more_rows(char text[FOCI_WORDS_SIZE], size_t more, const char *file);

/* ---- the stops as they were read ---- */
extern const char foci_dots_title[], foci_dots_no_map[];

#endif

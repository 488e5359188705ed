/* The words of a survey's report: headings, captions, keys, and what its map says where it is pointed at. A
 * comparison's report shares those of the map. */
#ifndef FOCI_DECIDE_REPORT_WORDS_H
#define FOCI_DECIDE_REPORT_WORDS_H

#include "decide/words/number_words.h"

#define FOCI_WORDS_TITLE (2 * FOCI_WORDS_SIZE)

/* ---- headings ---- */
extern const char foci_report_the_map[], foci_report_where[], foci_report_where_to_dig[], foci_report_the_readings[],
    foci_report_how_made[], foci_report_the_job[], foci_report_data_show[];

/* ---- captions of tables, and what stands in their place ---- */
extern const char foci_report_of_hotspots[], foci_report_of_zones[], foci_report_of_digs[], foci_report_of_model[],
    foci_report_of_cross_check[], foci_report_of_files[];
extern const char foci_report_no_hotspots[], foci_report_no_zones[], foci_report_no_digs[];

/* "And 12 more, smaller ones: see survey.gpkg." */
void foci_words_more_hotspots(char text[FOCI_WORDS_SIZE], size_t more);

/* ---- sentences under and beside them ---- */
extern const char foci_report_names_no_product[], foci_report_other_files[];

/* The surface, in statistical words; owned by the caller. Only where there is a method. */
char *foci_words_method(const foci_survey *round, foci_error *err) FOCI_MUST_CHECK;

/* ---- pictures of the readings ---- */
extern const char foci_report_histogram_seen[], foci_report_histogram_caption[]; /* before the readings in words */
extern const char foci_report_unlike[]; /* what the semivariances tell; one of these comes after it */
extern const char foci_report_line[], foci_report_no_line[];
extern const char foci_report_unlike_seen[], foci_report_unlike_seen_line[]; /* for who cannot see the picture */

/* How many readings, the least, the middle one, the average, the most. */
void foci_words_readings(char text[6 * FOCI_WORDS_SIZE], const foci_survey *round);

/* ---- the map ---- */
extern const char foci_report_grounds[], foci_report_on_it[], foci_report_point_at[], foci_report_outside[];
extern const char foci_report_low_end[], foci_report_high_end[], foci_report_photo_by[];

/* What a map shows, for who cannot see it; owned by the caller. */
char *foci_words_map_described(const char *finding, foci_error *err) FOCI_MUST_CHECK;

/* "Photo: map of the field"; owned by the caller. */
char *foci_words_ground_described(const char *ground, foci_error *err) FOCI_MUST_CHECK;

/* What the symbols mean; `marks`: some are drawn. Owned by the caller. */
char *foci_words_map_key(const foci_survey *round, bool marks, foci_error *err) FOCI_MUST_CHECK;

/* Titles of grounds, and of shapes. */
void foci_words_best_estimate(char text[FOCI_WORDS_TITLE], const foci_survey *round);
void foci_words_chance_of(char text[FOCI_WORDS_TITLE], const foci_survey *round);
void foci_words_hotspot(char text[FOCI_WORDS_TITLE], const foci_survey *round, const foci_hotspot *spot);
void foci_words_dig_check(char text[FOCI_WORDS_TITLE], const foci_dig_point *dig);

/* Before the estimate, its low and its high bound, after them, before the chance: as they are read off the map. */
void foci_words_before_estimate(char text[FOCI_WORDS_SIZE], const foci_survey *round);
extern const char foci_report_before_low[], foci_report_before_high[], foci_report_after_high[];
void foci_words_before_chance(char text[FOCI_WORDS_TITLE], const foci_survey *round);

#endif

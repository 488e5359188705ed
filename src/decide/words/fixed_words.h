/* Sentences that are the same for every survey: explanations under tables, what a driver is told, what lies beside a
 * letter. */
#ifndef FOCI_DECIDE_FIXED_WORDS_H
#define FOCI_DECIDE_FIXED_WORDS_H

#include "fieldfoci/dig_points.h"
#include "fieldfoci/error.h"
#include "fieldfoci/words.h"

#define FOCI_WORDS_LINE 400
#define FOCI_BEFORE_ANYONE_ACTS "Before anyone acts" /* the title of what prevents harm */

/* ---- report ---- */
extern const char foci_report_names_no_product[], foci_report_other_files[];
extern const char foci_report_line[], foci_report_no_line[]; /* under the semivariances */

/* ---- comparison of seasons ---- */
extern const char foci_seasons_brackets[], foci_seasons_p[], foci_seasons_coefficients[];
extern const char *const foci_seasons_reading[]; /* how classes and areas are meant; ended by NULL */
extern const char foci_seasons_model_of_counts[], foci_seasons_model_of_scores[], foci_seasons_weights[];
extern const char foci_seasons_no_rows[];

/* The direction in which likeness may reach farther, degrees clockwise from grid north. */
void foci_words_rows(char text[FOCI_WORDS_LINE], double heading);

/* What stays unsure on the map: so much, "1.2 acres (0.5 ha)". */
void foci_words_unsure(char text[FOCI_WORDS_LINE], const char *area);

/* ---- files for a sprayer ---- */
extern const char *const foci_task_cautions[]; /* before anyone drives; ended by NULL */
extern const char foci_task_areas[], foci_task_nothing_to_treat[];

/* ---- letter, and places to dig ---- */
extern const char foci_letter_enclosed[];

/* What a phone shows at a place to dig; owned by the caller. */
char *foci_words_waypoint(const foci_dig_point *dig, foci_error *err) FOCI_MUST_CHECK;

#endif

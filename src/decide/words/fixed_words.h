/* Sentences that are the same for every survey, with no better room: what lies beside a letter, what a phone shows. */
#ifndef FOCI_DECIDE_FIXED_WORDS_H
#define FOCI_DECIDE_FIXED_WORDS_H

#include "fieldfoci/dig_points.h"
#include "fieldfoci/error.h"
#include "fieldfoci/words.h"

#define FOCI_WORDS_LINE 400
#define FOCI_BEFORE_ANYONE_ACTS "Before anyone acts" /* the title of what prevents harm */

/* ---- letter, and places to dig ---- */
extern const char foci_letter_enclosed[];

/* What a phone shows at a place to dig; owned by the caller. */
char *foci_words_waypoint(const foci_dig_point *dig, foci_error *err) FOCI_MUST_CHECK;

#endif

/* Areas, lengths, dates and names as people read them: on sheets, in reports, at the terminal, in letters to a driver.
 */
#ifndef FIELDFOCI_WORDS_H
#define FIELDFOCI_WORDS_H

#include "fieldfoci/error.h"
#include "fieldfoci/paper.h"

#define FOCI_WORDS_SIZE 96
#define FOCI_ACRES_PER_HECTARE 2.4710538146716534 /* the international acre, 4046.8564224 square meters */
#define FOCI_FEET_PER_METER (1 / 0.3048)          /* the international foot (1959) */

/* Which of the two leads; the paper's (foci_paper_measures) wherever there is one. */

/* "3.1 acres (1.3 ha)", "1,800 sq ft (170 sq m)" where that is under a tenth of an acre; with hectares first "1.3 ha
 * (3.1 acres)". */
FOCI_API void foci_words_area(char text[FOCI_WORDS_SIZE], double hectares, foci_measures first);

/* An area with the range that holds it: "6.3 acres (4.7 to 7.9)" or "2.6 ha (1.9 to 3.2)"; "not compared" where NaN. */
FOCI_API void foci_words_area_range(char text[FOCI_WORDS_SIZE], double hectares, double low, double high,
                                    foci_measures first);

/* The same as numbers only, "6.3 (4.7 to 7.9)", in the measure. */
FOCI_API void foci_words_range(char text[FOCI_WORDS_SIZE], double hectares, double low, double high,
                               foci_measures measure);

/* "1,490.7": with this many decimals, and a comma in front of every three digits before them. */
FOCI_API void foci_words_decimal(char text[FOCI_WORDS_SIZE], double number, int decimals);

/* "270 ft (83 m)", to two digits. */
FOCI_API void foci_words_length(char text[FOCI_WORDS_SIZE], double meters, foci_measures first);

/* "August 18, 2026" of "2026-08-18", or of a time that starts so; other texts as they are. */
FOCI_API void foci_words_date(char text[FOCI_WORDS_SIZE], const char *date);

/* "August 18-19, 2026", "August 30 to September 2, 2025": what both share is said once. */
FOCI_API void foci_words_dates(char text[FOCI_WORDS_SIZE], const char *first, const char *last);

/* Makes one line of what someone else wrote, in place, so that it can stand in a message, at a terminal or in a text
 * file and be taken for nothing else: each control character (newlines, escapes, C1), line separator and mark or
 * override of direction becomes a blank, each byte that is no UTF-8 a question mark. */
FOCI_API void foci_words_one_line(char *text);

/* The measures that do not lead. */
FOCI_API foci_measures foci_words_other(foci_measures measures);

/* "acres" or "ha" */
FOCI_API const char *foci_words_area_unit(foci_measures measure);

#endif

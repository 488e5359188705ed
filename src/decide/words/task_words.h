/* The words of the files for a sprayer: what README.txt says, what is noted of them, what keeps zones from them. */
#ifndef FOCI_DECIDE_TASK_WORDS_H
#define FOCI_DECIDE_TASK_WORDS_H

#include "base/text.h"
#include "fieldfoci/survey.h"
#include "fieldfoci/words.h"

/* ---- README.txt: headings, and points under them ---- */
extern const char foci_task_even_so_passed[], foci_task_before_anyone_acts[], foci_task_how_far_to_trust[],
    foci_task_before_you_drive[], foci_task_zones_and_rates[], foci_task_the_notes[];
extern const char *const foci_task_cautions[]; /* before anyone drives; ended by NULL */
extern const char foci_task_areas[];

/* What the folder is; `made`: a day, or "" where it is not known; season and disease may be "". */
bool foci_task_add_about(foci_text *page, const char *product, const char *field, const char *season,
                         const char *disease, const char *made, foci_error *err) FOCI_MUST_CHECK;

/* ---- README.txt: the files ---- */

/* The task data: their standard, and the steps of their rates. */
bool foci_task_add_task_data(foci_text *page, const char *standard, const char *scale, const char *unit,
                             foci_error *err) FOCI_MUST_CHECK;
bool foci_task_add_code(foci_text *page, int code, const char *zone, double rate, const char *unit,
                        foci_error *err) FOCI_MUST_CHECK;
bool foci_task_add_outside(foci_text *page, int code, foci_error *err) FOCI_MUST_CHECK;
extern const char foci_task_as_polygons[];
bool foci_task_add_grid(foci_text *page, size_t columns, size_t rows, const char *cell, const char *covered,
                        foci_error *err) FOCI_MUST_CHECK;

bool foci_task_add_shapefile(foci_text *page, const char *unit, foci_error *err) FOCI_MUST_CHECK;
bool foci_task_add_geojson(foci_text *page, const char *unit, foci_error *err) FOCI_MUST_CHECK;

/* ---- notes ---- */
extern const char foci_task_nothing_to_treat[];

/* The name of `what`, "product" or "field", was too long. */
bool foci_task_note_cut(foci_sentences *notes, const char *what, int most, const char *kept,
                        foci_error *err) FOCI_MUST_CHECK;

/* A zone whose cells cover so much, and its outline so much; they differ by so many percent. */
bool foci_task_note_small(foci_sentences *notes, const char *zone, const char *cells, const char *outline,
                          double percent, const char *cell, foci_error *err) FOCI_MUST_CHECK;

/* ---- guards ---- */
typedef struct {
    const char *why, *instead;
} foci_task_guard_words;

extern const foci_task_guard_words foci_task_guard_laboratory, foci_task_guard_too_late, foci_task_guard_unclear,
    foci_task_guard_no_chances;

#endif

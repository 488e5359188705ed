/* Ordinal scales: scores that stand for classes of percent, in steps of unequal width. A score is no amount: it is read
 * as the middle of its class, and the class's limits say how well that is known. */
#ifndef FIELDFOCI_ORDINAL_H
#define FIELDFOCI_ORDINAL_H

#include <stddef.h>

#include "fieldfoci/error.h"

/* One class. */
typedef struct {
    double score;     /* as it is written down */
    double percent;   /* what it is read as */
    double low, high; /* percent: where it begins and ends; the same where it is one amount only */
    char *text;       /* what one sees; NULL for a half step; owned by the scale */
} foci_step;

typedef struct {
    char *name;   /* "rust-1-9" */
    char *title;  /* "1 to 9 rust scale of peanut" */
    char *unit;   /* what the percent is of: "percent of leaf area damaged" */
    char *source; /* of wording and percents */
    bool curved;  /* percent = 100 / (1 + exp(-(score - middle) / step)), and half steps are scores too */
    double middle, step;
    size_t count;
    foci_step *steps; /* in order, scores one apart */
} foci_ordinal;

enum { FOCI_STEPS_MOST = 32 };

/* Nobody rates more plants at one stop. */
#define FOCI_PLANTS_MOST 100000.0

/* A built-in scale's name, or a JSON file of class limits (docs/scales.md). Errors name the file and the member that is
 * wrong; an unknown name suggests built-in ones (FOCI_BAD_SETTING). */
FOCI_API bool foci_ordinal_read(foci_ordinal *out, const char *name_or_file, foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_ordinal_free(foci_ordinal *scale);

/* Names of the built-in scales in alphabetical order; NULL past the last. */
FOCI_API const char *foci_ordinal_name(size_t index);

/* The class of a score, its text borrowed; false where the scale has none. */
FOCI_API bool foci_ordinal_step(foci_step *out, const foci_ordinal *scale, double score);

/* The class that is read as this percent: back from what foci_ordinal_step gave. */
FOCI_API bool foci_ordinal_step_of_percent(foci_step *out, const foci_ordinal *scale, double percent);

/* Disease severity index, in percent (McKinney 1923, Journal of Agricultural Research 26:195-217, from memory):
 *
 *   100 sum(plants in class x (score - least score)) / (plants x (most score - least score))
 *
 * `plants[i]` of the class `scores[i]`, scores ascending and the least that of a sound plant. FOCI_BAD_INPUT for fewer
 * than two classes, scores that do not ascend, a number of plants that is not whole or below 0, and no plant at all. */
FOCI_API bool foci_severity_index(double *percent, const double *scores, const double *plants, size_t classes,
                                  foci_error *err) FOCI_MUST_CHECK;

#endif

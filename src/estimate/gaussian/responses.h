/* What a reading says of the surface at its place: the catalog of responses. Two rows:
 *   binomial  `reading` infected of `detail` units checked, the surface being the logit of their share
 *   normal    `reading` a score about the surface, with variance `detail` > 0 */
#ifndef FOCI_ESTIMATE_RESPONSES_H
#define FOCI_ESTIMATE_RESPONSES_H

#include "fieldfoci/error.h"

/* More units at one place lose digits in the sums (docs/counts.md). */
#define FOCI_COUNTS_UNITS 1e6

/* Log-likelihood of one reading where the surface is eta, and its derivatives by eta, `weight` being minus the second;
 * without what depends on the reading alone. */
typedef struct {
    double value, slope, weight, third, fourth;
} foci_response_terms;

typedef struct {
    const char *name;
    bool counts;    /* readings are units of units checked */
    bool quadratic; /* the log-likelihood is: its weights are the same everywhere */
    /* FOCI_BAD_INPUT (row = 1-based stop) for what cannot be read; `checked` has no meaning for scores */
    bool (*check)(double reading, double checked, size_t row, foci_error *err);
    /* what the log-likelihood has of the reading alone: the binomial coefficient */
    double (*constant)(double reading, double checked);
    /* the surface as the reading by itself says it is */
    double (*alone)(double reading, double detail);
    foci_response_terms (*terms)(double reading, double detail, double eta);
    /* sum of `value` over `count` readings, and `slope` and `weight` of each */
    double (*sum)(const double *reading, const double *detail, const double *eta, size_t count);
    void (*derivatives)(double *slope, double *weight, const double *reading, const double *detail, const double *eta,
                        size_t count);
} foci_response;

/* Ends with a row of zeros. */
extern const foci_response foci_responses[];

/* The rows by themselves. */
extern const foci_response *const foci_response_binomial, *const foci_response_normal;

#endif

/* Leave-one-out cross-validation: how far off was the surface where the answer is known? */
#ifndef FIELDFOCI_CROSS_VALIDATION_H
#define FIELDFOCI_CROSS_VALIDATION_H

#include "fieldfoci/surface.h"

typedef struct {
    size_t n;
    double *estimate;  /* n numbers in the readings' order; owned */
    double *variance;  /* of the reading about its estimate; NULL where the method gives none; owned */
    double mean_error; /* reading minus estimate */
    double rmse;
    double mean_squared_deviation_ratio; /* mean of error^2 / variance, 1 where they agree; NaN without variance */
    double coverage_90;                  /* share of readings inside their own 90 % interval; NaN without variance */
    double log_score; /* mean log density (counts: log probability) of the readings; NaN without variance */
} foci_cross_validation;

/* Leaves out each of the n readings that `model` was fitted to in turn (its parameters stay those of all) and asks for
 * it. `readings`: the same ones, in the same order. Estimates, rmse and errors in the reading's unit. What the numbers
 * should be: docs/cross_validation.md. */
FOCI_API bool foci_cross_validation_make(foci_cross_validation *out, const foci_surface_model *model,
                                         const foci_readings *readings, const foci_execution *how,
                                         foci_error *err) FOCI_MUST_CHECK;

FOCI_API void foci_cross_validation_free(foci_cross_validation *check);

#endif

/* Indicator kriging (Journel 1983, Mathematical Geology 15:445-468): the chance that a reading is at or above the
 * threshold, by ordinary kriging of 1 where it is and 0 where it is not; no distribution is assumed. */
#ifndef FOCI_ESTIMATE_INDICATOR_H
#define FOCI_ESTIMATE_INDICATOR_H

#include "estimate/predict/score_model.h"

/* Places of `readings` with 1 or 0 as values. Freed by foci_indicator_readings_free. FOCI_BAD_SETTING for a threshold
 * that is no number. */
bool foci_indicator_readings(foci_readings *out, const foci_readings *readings, double threshold,
                             foci_error *err) FOCI_MUST_CHECK;
void foci_indicator_readings_free(foci_readings *indicators);

typedef struct {
    foci_readings indicators; /* owned */
    foci_variogram variogram; /* of the indicators; "constant" where all stops are on one side */
    foci_score_model model;   /* their kriging */
} foci_indicator;

/* Takes options' variogram, or fits weighted squares to the semivariances of the indicators (options' kind, lag and
 * farthest distance); of the other options neighbours enter. */
bool foci_indicator_fit(foci_indicator *out, const foci_readings *readings, double threshold,
                        const foci_surface_options *options, const foci_execution *how,
                        foci_error *err) FOCI_MUST_CHECK;
void foci_indicator_free(foci_indicator *indicator);

/* Arrays of the caller, any may be NULL. */
typedef struct {
    double *chance;   /* held within 0 and 1 */
    double *raw;      /* as kriging gives it, which may lie a little outside */
    double *variance; /* of a new indicator */
} foci_indicator_layers;

bool foci_indicator_at(const foci_indicator_layers *out, const foci_indicator *indicator, const foci_point *places,
                       size_t count, const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

/* Each stop from the others. */
bool foci_indicator_leave_one_out(const foci_indicator_layers *out, const foci_indicator *indicator,
                                  const foci_execution *how, foci_error *err) FOCI_MUST_CHECK;

#endif

/* The scale on which readings are near normal: z = ((y + shift)^lambda - 1) / lambda, or log(y + shift) at lambda 0
 * (Box & Cox 1964, Journal of the Royal Statistical Society B 26:211-252). */
#ifndef FOCI_ESTIMATE_BOX_COX_H
#define FOCI_ESTIMATE_BOX_COX_H

#include "fieldfoci/error.h"

/* Exponents that are searched. */
#define FOCI_BOX_COX_LEAST (-0.5)
#define FOCI_BOX_COX_MOST 1.5

typedef struct {
    bool transformed; /* false: z = y, and nothing below is held */
    double lambda;
    double shift;       /* reading's unit */
    double least, most; /* what comes back is held within these, reading's unit; finite where lambda < 0 */
    double highest;     /* of the readings: the tail beyond it does not enter a mean; 0: not known, it does */
} foci_box_cox;

/* Half the smallest positive reading where there are readings of 0, else 0. FOCI_BAD_INPUT for a reading below 0 or
 * where none is above 0. */
bool foci_box_cox_shift(double *shift, const double *values, size_t count, foci_error *err) FOCI_MUST_CHECK;

/* `least`, `most` of the reading's unit. A `least` below 0 is 0. Where lambda is below 0 the mean does not exist
 * without an upper limit: without one, ten times the largest reading is it. */
bool foci_box_cox_make(foci_box_cox *out, double lambda, const double *values, size_t count, double least, double most,
                       foci_error *err) FOCI_MUST_CHECK;

double foci_box_cox_forward(const foci_box_cox *scale, double reading);

/* Held within [least, most]; z beyond the end of the scale is that end. */
double foci_box_cox_back(const foci_box_cox *scale, double z);

/* log dz/dy at a reading. */
double foci_box_cox_log_slope(const foci_box_cox *scale, double reading);

#endif

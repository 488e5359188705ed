#include "estimate/fit/box_cox.h"

#include <math.h>

/* For a scale that is open upwards and an exponent below 0. */
#define TIMES_LARGEST 10.0

bool foci_box_cox_shift(double *shift, const double *values, size_t count, foci_error *err) {
    double least = INFINITY;
    bool zeros = false;
    for (size_t i = 0; i < count; i++) {
        if (values[i] < 0)
            return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                             "a reading of %g is below 0, for which there is no Box-Cox scale; give {scale} none",
                             values[i]);
        zeros = zeros || values[i] == 0;
        if (values[i] > 0)
            least = fmin(least, values[i]);
    }
    if (isinf(least))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                         "no reading is above 0, so there is no Box-Cox scale; give {scale} none");
    *shift = zeros ? 0.5 * least : 0;
    return true;
}

bool foci_box_cox_make(foci_box_cox *out, double lambda, const double *values, size_t count, double least, double most,
                       foci_error *err) {
    foci_box_cox scale = {.transformed = true, .lambda = lambda, .least = fmax(least, 0), .most = most};
    if (!foci_box_cox_shift(&scale.shift, values, count, err))
        return false;
    for (size_t i = 0; i < count; i++)
        scale.highest = fmax(scale.highest, values[i]);
    if (lambda < 0 && isinf(most))
        scale.most = TIMES_LARGEST * scale.highest;
    *out = scale;
    return true;
}

double foci_box_cox_forward(const foci_box_cox *scale, double reading) {
    if (!scale->transformed)
        return reading;
    double logarithm = log(reading + scale->shift);
    return scale->lambda == 0 ? logarithm : expm1(scale->lambda * logarithm) / scale->lambda;
}

double foci_box_cox_back(const foci_box_cox *scale, double z) {
    if (!scale->transformed)
        return z;
    double power = scale->lambda * z, reading = 0;
    if (scale->lambda == 0)
        reading = exp(z) - scale->shift;
    else if (power > -1)
        reading = exp(log1p(power) / scale->lambda) - scale->shift;
    else
        reading = scale->lambda > 0 ? -INFINITY : INFINITY;
    return fmin(fmax(reading, scale->least), scale->most);
}

double foci_box_cox_log_slope(const foci_box_cox *scale, double reading) {
    return scale->transformed ? (scale->lambda - 1) * log(reading + scale->shift) : 0;
}

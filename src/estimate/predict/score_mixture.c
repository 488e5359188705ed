#include "estimate/predict/score_mixture.h"

#include <math.h>

#include "base/chance.h"
#include "base/quadrature.h"
#include "estimate/predict/counts_mixture.h"

/* Deviations are all above 0, or all 0. */
static bool is_known(const foci_score_mixture *mixture) {
    return !(mixture->deviation[0] > 0);
}

static void moments_on_scale(const foci_score_mixture *mixture, double *mean, double *variance) {
    double first = 0, second = 0;
    *mean = mixture->mean[0];
    *variance = 0;
    if (is_known(mixture))
        return;
    for (size_t k = 0; k < mixture->count; k++)
        first += mixture->weight[k] * mixture->mean[k];
    for (size_t k = 0; k < mixture->count; k++) {
        double apart = mixture->mean[k] - first;
        second += mixture->weight[k] * (mixture->deviation[k] * mixture->deviation[k] + apart * apart);
    }
    *mean = first;
    *variance = second;
}

/* Squares about `centre`, a reading, so that a small variance is not lost in rounding. In the mean a reading counts up
 * to the highest one only: beyond it the tail is the scale's, and nobody's reading. */
static void moments_of_reading(const foci_score_mixture *mixture, const foci_box_cox *scale, double centre,
                               double *mean, double *variance) {
    const double highest = scale->highest > 0 ? scale->highest : INFINITY;
    double first = 0, second = 0, held = 0;
    for (size_t k = 0; k < mixture->count; k++)
        for (size_t j = 0; j < FOCI_HERMITE; j++) {
            double z = mixture->mean[k] + mixture->deviation[k] * foci_hermite_node[j];
            double reading = foci_box_cox_back(scale, z), weight = mixture->weight[k] * foci_hermite_weight[j];
            first += weight * (reading - centre);
            second += weight * (reading - centre) * (reading - centre);
            held += weight * (fmin(reading, highest) - centre);
        }
    *mean = centre + held;
    *variance = fmax(second - first * first, 0);
}

/* Chance that the reading is at or above the threshold. Beyond the limits of a transformed scale it is certain. */
static double chance_of(const foci_score_mixture *mixture, const foci_box_cox *scale, double threshold) {
    if (isnan(threshold))
        return NAN;
    if (scale->transformed && threshold <= scale->least)
        return 1;
    if (scale->transformed && threshold > scale->most)
        return 0;
    double z = foci_box_cox_forward(scale, threshold), sum = 0;
    for (size_t k = 0; k < mixture->count; k++)
        sum += mixture->weight[k] * (mixture->deviation[k] > 0
                                         ? foci_normal_cdf((mixture->mean[k] - z) / mixture->deviation[k])
                                         : mixture->mean[k] >= z);
    return fmin(sum, 1);
}

/* Bounds on the scale; mean and deviation are brought to centre 0 and deviation 1 for the search. */
static void bounds_of(const foci_score_mixture *mixture, double centre, double deviation, double *low, double *high) {
    if (mixture->count == 1 || is_known(mixture)) {
        *low = centre - FOCI_NORMAL_95 * deviation;
        *high = centre + FOCI_NORMAL_95 * deviation;
        return;
    }
    for (size_t k = 0; k < mixture->count; k++) {
        mixture->mean[k] = (mixture->mean[k] - centre) / deviation;
        mixture->deviation[k] /= deviation;
    }
    foci_counts_mixture unit = {mixture->count, mixture->weight, mixture->mean, mixture->deviation};
    *low = centre + deviation * foci_counts_mixture_quantile(&unit, 0.05);
    *high = centre + deviation * foci_counts_mixture_quantile(&unit, 0.95);
}

void foci_score_mixture_tell(const foci_score_layers *out, size_t i, const foci_score_mixture *mixture,
                             const foci_box_cox *scale, double threshold) {
    double centre = 0, square = 0, low = 0, high = 0;
    moments_on_scale(mixture, &centre, &square);
    double mean = centre, variance = square;
    if (scale->transformed && is_known(mixture))
        mean = foci_box_cox_back(scale, centre);
    else if (scale->transformed && (out->estimate || out->variance))
        moments_of_reading(mixture, scale, foci_box_cox_back(scale, centre), &mean, &variance);
    if (out->estimate)
        out->estimate[i] = mean;
    if (out->variance)
        out->variance[i] = variance;
    if (out->chance)
        out->chance[i] = chance_of(mixture, scale, threshold);
    if (!out->low && !out->high)
        return;
    bounds_of(mixture, centre, sqrt(square), &low, &high);
    if (out->low)
        out->low[i] = foci_box_cox_back(scale, low);
    if (out->high)
        out->high[i] = foci_box_cox_back(scale, high);
}

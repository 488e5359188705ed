#include "estimate/predict/mixture.h"

#include <math.h>

#include "base/probability.h"
#include "base/quadrature.h"
#include "estimate/fit/score_seasons.h"
#include "estimate/gaussian/fast_exp.h"
#include "estimate/gaussian/responses.h"

#define NARROW 1e-10
#define MOST_STEPS 100
#define ROOT_TWO_PI_INVERSE 0.3989422804014327

FOCI_WIDE_VECTORS void foci_mixture_share_moments(const foci_mixture *mixture, double *mean, double *variance) {
    const double *weight = mixture->weight, *centre = mixture->mean, *deviation = mixture->deviation;
    double first = 0, second = 0;
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double x = foci_hermite_node[j], sum = 0, squares = 0;
#pragma omp simd reduction(+ : sum, squares)
        for (size_t k = 0; k < mixture->count; k++) {
            double share = foci_fast_expit(centre[k] + deviation[k] * x);
            sum += weight[k] * share;
            squares += weight[k] * share * share;
        }
        first += foci_hermite_weight[j] * sum;
        second += foci_hermite_weight[j] * squares;
    }
    *mean = first;
    *variance = fmax(second - first * first, 0);
}

/* Probability that sign x logit is at or below sign x (x), and its density there. */
FOCI_WIDE_VECTORS static double tail(const foci_mixture *mixture, double x, double sign, double *density) {
    const double *weight = mixture->weight, *centre = mixture->mean, *deviation = mixture->deviation;
    double sum = 0, slope = 0;
#pragma omp simd reduction(+ : sum, slope)
    for (size_t k = 0; k < mixture->count; k++) {
        double z = sign * (x - centre[k]) / deviation[k], bell = foci_fast_exp(-0.5 * z * z);
        sum += weight[k] * foci_fast_normal_cdf(z, bell);
        slope += weight[k] * bell / deviation[k];
    }
    *density = slope * ROOT_TWO_PI_INVERSE;
    return sum;
}

double foci_mixture_below(const foci_mixture *mixture, double x) {
    double density = 0;
    return tail(mixture, x, 1, &density);
}

double foci_mixture_quantile(const foci_mixture *mixture, double probability) {
    double centre = 0, square = 0;
    for (size_t k = 0; k < mixture->count; k++) {
        double m = mixture->mean[k], d = mixture->deviation[k];
        centre += mixture->weight[k] * m;
        square += mixture->weight[k] * (d * d + m * m);
    }
    /* Chebyshev: less than 1 / 1000 lies outside 32 deviations; the rounding of square - centre^2 needs the floor */
    double deviation = sqrt(fmax(square - centre * centre, 1e-12)), sign = probability <= 0.5 ? 1 : -1;
    double wanted = probability <= 0.5 ? probability : 1 - probability;
    double low = centre - 32 * deviation, high = centre + 32 * deviation;
    double x = centre - sign * deviation * (wanted < 0.2 ? FOCI_NORMAL_95 : 0), step = INFINITY;
    for (int i = 0; i < MOST_STEPS && fabs(step) > NARROW; i++) {
        double density = 0, reached = tail(mixture, x, sign, &density);
        if ((reached < wanted) == (sign > 0))
            low = x;
        else
            high = x;
        double next = density > 0 ? x - sign * log(reached / wanted) * reached / density : low;
        if (!(next > low && next < high))
            next = 0.5 * (low + high);
        step = next - x;
        x = next;
    }
    return x;
}

double foci_mixture_share(const foci_mixture *mixture, double probability) {
    return foci_fast_expit(foci_mixture_quantile(mixture, probability));
}

double foci_mixture_share_chance(const foci_mixture *mixture, double threshold) {
    if (isnan(threshold))
        return NAN;
    if (threshold <= 0 || threshold >= 1)
        return threshold <= 0 ? 1 : 0;
    double density = 0;
    return fmin(fmax(tail(mixture, log(threshold / (1 - threshold)), -1, &density), 0), 1);
}

double foci_mixture_share_fewer(const foci_mixture *mixture, double hits, double checked) {
    if (hits <= 0 || hits > checked)
        return hits <= 0 ? 0 : 1;
    double a = hits, b = checked - hits + 1, mode = log(a / b), deviation = sqrt((a + b) / (a * b));
    double height[FOCI_HERMITE], top = -INFINITY, mass = 0, sum = 0;
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double z = foci_hermite_node[j], x = mode + deviation * z;
        height[j] = foci_response_binomial->terms(a, a + b, x).value + 0.5 * z * z;
        top = fmax(top, height[j]);
    }
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double weight = foci_hermite_weight[j] * exp(height[j] - top);
        mass += weight;
        sum += weight * foci_mixture_below(mixture, mode + deviation * foci_hermite_node[j]);
    }
    return sum / mass;
}

void foci_mixture_tell_share(const foci_prediction *out, size_t i, const foci_mixture *mixture, double threshold) {
    double mean = 0, variance = 0;
    if (out->estimate || out->variance)
        foci_mixture_share_moments(mixture, &mean, &variance);
    if (out->estimate)
        out->estimate[i] = mean;
    if (out->variance)
        out->variance[i] = variance;
    if (out->low)
        out->low[i] = foci_mixture_share(mixture, 0.05);
    if (out->high)
        out->high[i] = foci_mixture_share(mixture, 0.95);
    if (out->chance)
        out->chance[i] = foci_mixture_share_chance(mixture, threshold);
}

/* ---- scores ---- */

/* Deviations are all above 0, or all 0. */
static bool is_known(const foci_mixture *mixture) {
    return !(mixture->deviation[0] > 0);
}

static void moments_on_scale(const foci_mixture *mixture, double *mean, double *variance) {
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
static void moments_of_reading(const foci_mixture *mixture, const foci_box_cox *scale, double centre, double *mean,
                               double *variance) {
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
static double chance_of(const foci_mixture *mixture, const foci_box_cox *scale, double threshold) {
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

/* Bounds on the scale; for the search the mixture is brought to center 0 and deviation 1. */
static void bounds_of(const foci_mixture *mixture, double centre, double deviation, double *low, double *high) {
    if (mixture->count == 1 || is_known(mixture)) {
        *low = centre - FOCI_NORMAL_95 * deviation;
        *high = centre + FOCI_NORMAL_95 * deviation;
        return;
    }
    double mean[FOCI_SCORE_DRAWS], own[FOCI_SCORE_DRAWS];
    for (size_t k = 0; k < mixture->count; k++) {
        mean[k] = (mixture->mean[k] - centre) / deviation;
        own[k] = mixture->deviation[k] / deviation;
    }
    const foci_mixture unit = {mixture->count, mixture->weight, mean, own};
    *low = centre + deviation * foci_mixture_quantile(&unit, 0.05);
    *high = centre + deviation * foci_mixture_quantile(&unit, 0.95);
}

void foci_mixture_tell_score(const foci_score_layers *out, size_t i, const foci_mixture *mixture,
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

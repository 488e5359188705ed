#include "estimate/predict/counts_mixture.h"

#include <math.h>

#include "base/chance.h"
#include "base/quadrature.h"
#include "estimate/gaussian/fast_exp.h"

#define NARROW 1e-10
#define MOST_STEPS 100
#define ROOT_TWO_PI_INVERSE 0.3989422804014327

FOCI_WIDE_VECTORS void foci_counts_mixture_moments(const foci_counts_mixture *mixture, double *mean, double *variance) {
    const double *weight = mixture->weight, *centre = mixture->mean, *deviation = mixture->deviation;
    double first = 0, second = 0;
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double x = foci_hermite_node[j], sum = 0, squares = 0;
#pragma omp simd reduction(+ : sum, squares)
        for (size_t k = 0; k < mixture->count; k++) {
            double share = foci_fast_share(centre[k] + deviation[k] * x);
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
FOCI_WIDE_VECTORS static double tail(const foci_counts_mixture *mixture, double x, double sign, double *density) {
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

double foci_counts_mixture_below(const foci_counts_mixture *mixture, double x) {
    double density = 0;
    return tail(mixture, x, 1, &density);
}

double foci_counts_mixture_quantile(const foci_counts_mixture *mixture, double probability) {
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

double foci_counts_mixture_share(const foci_counts_mixture *mixture, double probability) {
    return foci_fast_share(foci_counts_mixture_quantile(mixture, probability));
}

double foci_counts_mixture_chance(const foci_counts_mixture *mixture, double threshold) {
    if (isnan(threshold))
        return NAN;
    if (threshold <= 0 || threshold >= 1)
        return threshold <= 0 ? 1 : 0;
    double density = 0;
    return fmin(fmax(tail(mixture, log(threshold / (1 - threshold)), -1, &density), 0), 1);
}

double foci_counts_mixture_fewer(const foci_counts_mixture *mixture, double hits, double checked) {
    if (hits <= 0 || hits > checked)
        return hits <= 0 ? 0 : 1;
    double a = hits, b = checked - hits + 1, mode = log(a / b), deviation = sqrt((a + b) / (a * b));
    double height[FOCI_HERMITE], top = -INFINITY, mass = 0, sum = 0;
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double z = foci_hermite_node[j], x = mode + deviation * z;
        double softplus = (x > 0 ? x : 0) + log1p(exp(-fabs(x)));
        height[j] = a * x - (a + b) * softplus + 0.5 * z * z;
        top = fmax(top, height[j]);
    }
    for (size_t j = 0; j < FOCI_HERMITE; j++) {
        double weight = foci_hermite_weight[j] * exp(height[j] - top);
        mass += weight;
        sum += weight * foci_counts_mixture_below(mixture, mode + deviation * foci_hermite_node[j]);
    }
    return sum / mass;
}

void foci_counts_mixture_tell(const foci_counts_prediction *out, size_t i, const foci_counts_mixture *mixture,
                              double threshold) {
    double mean = 0, variance = 0;
    if (out->mean || out->variance)
        foci_counts_mixture_moments(mixture, &mean, &variance);
    if (out->mean)
        out->mean[i] = mean;
    if (out->variance)
        out->variance[i] = variance;
    if (out->low)
        out->low[i] = foci_counts_mixture_share(mixture, 0.05);
    if (out->high)
        out->high[i] = foci_counts_mixture_share(mixture, 0.95);
    if (out->chance)
        out->chance[i] = foci_counts_mixture_chance(mixture, threshold);
}

#include "fieldfoci/sample_size.h"

#include <math.h>

#define ROUNDING 1e-9

double foci_variance_negative_binomial(double mean, double k) {
    return mean + mean * mean / k;
}

double foci_variance_taylor(double mean, double a, double b) {
    return a * pow(mean, b);
}

double foci_variance_beta_binomial(double p, double units, double theta) {
    const double rho = theta / (1 + theta);
    return p * (1 - p) / units * (1 + rho * (units - 1));
}

double foci_variance_binary_power(double p, double units, double a, double b) {
    return a * pow(p * (1 - p) / units, b);
}

double foci_stops_for_cv(double variance, double mean, double cv) {
    return variance / (mean * mean * cv * cv);
}

double foci_stops_for_half_width(double variance, double half_width, double z) {
    return z * z * variance / (half_width * half_width);
}

double foci_stops_of_finite(double stops, double places) {
    return stops / (1 + stops / places);
}

size_t foci_stops_whole(double stops) {
    const double whole = ceil(stops - ROUNDING);
    return whole >= 1 ? (size_t)fmin(whole, 1e15) : 1;
}

double foci_cv_of_mean(double variance, double mean, double stops) {
    return sqrt(variance / stops) / mean;
}

double foci_chance_of_none(double p, size_t units, double theta) {
    double chance = 1;
    for (size_t i = 0; i < units; i++)
        chance *= (1 - p + (double)i * theta) / (1 + (double)i * theta);
    return chance;
}

/* Each chance of the beta-binomial from the one before. */
double foci_chance_of_hits(double p, size_t units, double theta, size_t least) {
    double chance = foci_chance_of_none(p, units, theta), below = 0;
    for (size_t y = 0; y < least && y <= units; y++) {
        below += chance;
        if (y < units)
            chance *= (double)(units - y) / (double)(y + 1) * (p + (double)y * theta) /
                      (1 - p + (double)(units - y - 1) * theta);
    }
    return fmin(fmax(1 - below, 0), 1);
}

double foci_stops_to_detect(double none, double miss) {
    return log(miss) / log(none);
}

double foci_stop_line_negative_binomial(double stops, double k, double cv) {
    const double room = cv * cv - 1 / (stops * k);
    return room > 0 ? 1 / room : NAN;
}

double foci_stop_line_taylor(double stops, double a, double b, double cv) {
    return pow(cv * cv / a, 1 / (b - 2)) * pow(stops, (b - 1) / (b - 2));
}

foci_decision_lines foci_decision_lines_binomial(double low, double high, double error) {
    const double odds = log(high * (1 - low) / (low * (1 - high)));
    return (foci_decision_lines){log((1 - low) / (1 - high)) / odds, log((1 - error) / error) / odds};
}

foci_decision_lines foci_decision_lines_negative_binomial(double low, double high, double k, double error) {
    const double odds = log(high * (low + k) / (low * (high + k)));
    return (foci_decision_lines){k * log((high + k) / (low + k)) / odds, log((1 - error) / error) / odds};
}

bool foci_power_law_fit(foci_power_law *out, const double *x, const double *y, size_t count, foci_error *err) {
    double middle_x = 0, middle_y = 0, squares = 0, products = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(x[i] > 0 && y[i] > 0))
            return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)i + 1, "%g and %g have no logarithms; leave them out",
                             x[i], y[i]);
        middle_x += log(x[i]) / (double)count;
        middle_y += log(y[i]) / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        squares += (log(x[i]) - middle_x) * (log(x[i]) - middle_x);
        products += (log(x[i]) - middle_x) * (log(y[i]) - middle_y);
    }
    if (!(squares > 0))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a power law needs two fields of different means or more");
    const double b = products / squares;
    *out = (foci_power_law){exp(middle_y - b * middle_x), b};
    return true;
}

#include "base/probability.h"

#include <math.h>
#include <stddef.h>

#define TWO_PI 6.283185307179586

enum { TERMS_MOST = 1000000 };

static const double small_enough = 1e-16, almost_zero = 1e-300;

double foci_normal_cdf(double z) {
    return 0.5 * erfc(-z * 0.70710678118654752440);
}

double foci_exceedance(double estimate, double variance, double threshold) {
    if (variance > 0)
        return foci_normal_cdf((estimate - threshold) / sqrt(variance));
    return estimate >= threshold ? 1 : 0;
}

/* Gauss-Legendre nodes above 0 on [-1, 1] and their weights, 20 points in all. */
static const double node[] = {0.076526521133497338, 0.22778585114164507, 0.37370608871541955, 0.51086700195082713,
                              0.63605368072651502,  0.7463319064601508,  0.83911697182221889, 0.91223442825132595,
                              0.96397192727791381,  0.99312859918509488};
static const double weight[] = {0.15275338713072598, 0.14917298647260377, 0.14209610931838215,  0.1316886384491765,
                                0.11819453196151831, 0.10193011981724048, 0.083276741576704741, 0.06267204833410904,
                                0.04060142980038705, 0.017614007139152264};

static double pair_integrand(double h, double k, double angle) {
    double cosine = cos(angle);
    return exp(-(h * h - 2 * h * k * sin(angle) + k * k) / (2 * cosine * cosine));
}

double foci_normal_pair_below(double h, double k, double correlation) {
    if (!(fabs(correlation) <= 1))
        return NAN;
    if (correlation == 1)
        return foci_normal_cdf(h < k ? h : k);
    if (correlation == -1)
        return h + k > 0 ? fmax(foci_normal_cdf(h) - foci_normal_cdf(-k), 0) : 0;
    if (isinf(h) || isinf(k))
        return foci_normal_cdf(h) * foci_normal_cdf(k);
    double middle = 0.5 * asin(correlation), sum = 0;
    for (size_t i = 0; i < sizeof node / sizeof *node; i++)
        sum +=
            weight[i] * (pair_integrand(h, k, middle * (1 - node[i])) + pair_integrand(h, k, middle * (1 + node[i])));
    double chance = foci_normal_cdf(h) * foci_normal_cdf(k) + sum * middle / TWO_PI;
    return fmin(fmax(chance, 0), 1);
}

/* P(a, x) = x^a exp(-x) / Gamma(a + 1) (1 + x/(a+1) + x^2/((a+1)(a+2)) + ...) */
static double gamma_series(double a, double x) {
    double term = 1, sum = 1;
    for (int k = 1; k < TERMS_MOST && term > small_enough * sum; k++) {
        term *= x / (a + k);
        sum += term;
    }
    return sum * exp(a * log(x) - x - lgamma(a + 1));
}

/* One step of a continued fraction b0 + a1/(b1 + a2/(b2 + ...)) by the modified method of Lentz (1976, Applied Optics
 * 15:668-671); returns the factor by which the value changes. */
static double lentz_step(double numerator, double denominator, double *c, double *d) {
    *d = denominator + numerator * *d;
    *c = denominator + numerator / *c;
    if (fabs(*d) < almost_zero)
        *d = almost_zero;
    if (fabs(*c) < almost_zero)
        *c = almost_zero;
    *d = 1 / *d;
    return *c * *d;
}

static double gamma_fraction(double a, double x) {
    double c = 1 / almost_zero, d = 1 / (x + 1 - a), value = d;
    for (int k = 1; k < TERMS_MOST; k++) {
        double factor = lentz_step(-k * (k - a), x + 1 - a + 2.0 * k, &c, &d);
        value *= factor;
        if (fabs(factor - 1) < small_enough)
            break;
    }
    return value * exp(a * log(x) - x - lgamma(a));
}

double foci_gamma_above(double a, double x) {
    if (!(a > 0) || !(x >= 0))
        return NAN;
    if (x == 0)
        return 1;
    if (isinf(x))
        return 0;
    return x < a + 1 ? 1 - gamma_series(a, x) : gamma_fraction(a, x);
}

static double beta_fraction(double a, double b, double x) {
    double c = 1, d = 1 / (1 - (a + b) * x / (a + 1)), value = d;
    for (int k = 1; k < TERMS_MOST; k++) {
        double at = a + 2.0 * k;
        value *= lentz_step(k * (b - k) * x / ((at - 1) * at), 1, &c, &d);
        double factor = lentz_step(-(a + k) * (a + b + k) * x / (at * (at + 1)), 1, &c, &d);
        value *= factor;
        if (fabs(factor - 1) < small_enough)
            break;
    }
    return value;
}

double foci_beta_below(double a, double b, double x) {
    if (!(a > 0) || !(b > 0) || !(x >= 0 && x <= 1))
        return NAN;
    if (x == 0 || x == 1)
        return x;
    double front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x));
    if (x < (a + 1) / (a + b + 2)) /* where the fraction converges fast */
        return front * beta_fraction(a, b, x) / a;
    return 1 - front * beta_fraction(b, a, 1 - x) / b;
}

double foci_chi_squared_above(double x, double degrees) {
    return foci_gamma_above(degrees / 2, x / 2);
}

double foci_student_above(double t, double degrees) {
    if (!(degrees > 0) || isnan(t))
        return NAN;
    double both = foci_beta_below(degrees / 2, 0.5, degrees / (degrees + t * t));
    return t > 0 ? both / 2 : 1 - both / 2;
}

double foci_student_95(double degrees) {
    if (!(degrees >= 1))
        return NAN;
    double low = 1.6, high = 6.4; /* the normal quantile, and one degree of freedom */
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (foci_student_above(middle, degrees) > 0.05)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

void foci_wilson_interval(double y, double n, double z, double *low, double *high) {
    if (!(n > 0)) { /* nothing looked at, nothing known */
        *low = 0;
        *high = 1;
        return;
    }
    double middle = 2 * y + z * z;
    double half = z * sqrt(z * z + 4 * y * (1 - y / n));
    double scale = 2 * (n + z * z);
    *low = fmax(0, (middle - half) / scale);
    *high = fmin(1, (middle + half) / scale);
}

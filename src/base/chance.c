#include "base/chance.h"

#include <math.h>

enum { TERMS_MOST = 1000000 };

static const double small_enough = 1e-16, almost_zero = 1e-300;

double foci_normal_cdf(double z) {
    return 0.5 * erfc(-z * 0.70710678118654752440);
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

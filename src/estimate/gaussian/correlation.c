#include "fieldfoci/correlation.h"

#include <math.h>

#include "base/bessel.h"
#include "base/text.h"
#include "estimate/gaussian/fast_exp.h"

static double spherical_at(double q, double smoothness) {
    (void)smoothness;
    return q < 1 ? 1 - q * (1.5 - 0.5 * q * q) : 0;
}

FOCI_WIDE_VECTORS static void spherical_fill(double *out, const double *distance, size_t count, double rate,
                                             double smoothness) {
    (void)smoothness;
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double scaled = rate * distance[i], q = scaled < 1 ? scaled : 1;
        out[i] = 1 - q * (1.5 - 0.5 * q * q);
    }
}

static double spherical_slope(double q, double smoothness) {
    (void)smoothness;
    return q < 1 ? -1.5 * q * (1 - q * q) : 0;
}

static double exponential_at(double q, double smoothness) {
    (void)smoothness;
    return exp(-q);
}

FOCI_WIDE_VECTORS static void exponential_fill(double *out, const double *distance, size_t count, double rate,
                                               double smoothness) {
    (void)smoothness;
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        out[i] = foci_fast_exp(-rate * distance[i]);
}

static double exponential_slope(double q, double smoothness) {
    (void)smoothness;
    return -q * exp(-q);
}

static double gaussian_at(double q, double smoothness) {
    (void)smoothness;
    return exp(-q * q);
}

FOCI_WIDE_VECTORS static void gaussian_fill(double *out, const double *distance, size_t count, double rate,
                                            double smoothness) {
    (void)smoothness;
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double q = rate * distance[i];
        out[i] = foci_fast_exp(-q * q);
    }
}

static double gaussian_slope(double q, double smoothness) {
    (void)smoothness;
    return -2 * q * q * exp(-q * q);
}

/* Smoothness 1/2, 3/2, 5/2 ...: a polynomial in q times exp(-q). */
enum { MOST_TERMS = 21 };

/* Coefficients of the polynomial, constant first; how many there are, or 0 where smoothness is no half-integer. */
static size_t half_integer_polynomial(double smoothness, double *coefficients) {
    double order = smoothness - 0.5;
    if (order < 0 || order >= MOST_TERMS || order != floor(order))
        return 0;
    size_t terms = (size_t)order + 1;
    coefficients[0] = 1;
    for (size_t k = 0; k + 1 < terms; k++)
        coefficients[k + 1] = coefficients[k] * 2 * (order - (double)k) / ((2 * order - (double)k) * ((double)k + 1));
    return terms;
}

static double polynomial_at(const double *coefficients, size_t terms, double q) {
    double sum = coefficients[terms - 1];
    for (size_t k = terms - 1; k > 0; k--)
        sum = sum * q + coefficients[k - 1];
    return sum;
}

/* 2^(1-s) / Gamma(s) q^s K_s(q); for tiny q the Bessel function overflows, and the correlation is 1. */
static double matern_by_bessel(double q, double smoothness, double scale) {
    if (q > 700)
        return 0;
    double bessel = q > 0 ? foci_bessel_k(smoothness, q) : INFINITY;
    double correlation = isfinite(bessel) ? scale * pow(q, smoothness) * bessel : 1;
    return correlation < 1 ? correlation : 1;
}

static double matern_scale(double smoothness) {
    return exp2(1 - smoothness) / tgamma(smoothness);
}

static double matern_at(double q, double smoothness) {
    double coefficients[MOST_TERMS];
    size_t terms = half_integer_polynomial(smoothness, coefficients);
    if (terms > 0)
        return polynomial_at(coefficients, terms, q) * exp(-q);
    return matern_by_bessel(q, smoothness, matern_scale(smoothness));
}

/* In blocks, so that the loop over the terms stands outside and the inner ones make vector code. */
enum { BLOCK = 128 };

FOCI_WIDE_VECTORS static void matern_block(double *out, const double *distance, size_t count, double rate,
                                           const double *coefficients, size_t terms) {
    double sum[BLOCK];
    for (size_t i = 0; i < count; i++)
        sum[i] = coefficients[terms - 1];
    for (size_t k = terms - 1; k > 0; k--) {
#pragma omp simd
        for (size_t i = 0; i < count; i++)
            sum[i] = sum[i] * (rate * distance[i]) + coefficients[k - 1];
    }
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        out[i] = sum[i] * foci_fast_exp(-(rate * distance[i]));
}

static void matern_fill(double *out, const double *distance, size_t count, double rate, double smoothness) {
    double coefficients[MOST_TERMS];
    size_t terms = half_integer_polynomial(smoothness, coefficients);
    double scale = matern_scale(smoothness);
    for (size_t i = 0; terms == 0 && i < count; i++)
        out[i] = matern_by_bessel(rate * distance[i], smoothness, scale);
    for (size_t from = 0; terms > 0 && from < count; from += BLOCK)
        matern_block(out + from, distance + from, count - from < BLOCK ? count - from : BLOCK, rate, coefficients,
                     terms);
}

const foci_correlation foci_correlations[] = {
    {"spherical", "1.5 q - 0.5 q^3 up to q = 1, then 1", false, 0, FOCI_TRIED_BY_SCORES, spherical_at, spherical_fill,
     spherical_slope, "Matheron 1963, Economic Geology 58:1246-1266"},
    {"exponential", "1 - exp(-q)", false, 0, FOCI_TRIED_BY_COUNTS | FOCI_TRIED_BY_SCORES | FOCI_TRIED_BY_SEASONS,
     exponential_at, exponential_fill, exponential_slope,
     "Isaaks & Srivastava 1989, An Introduction to Applied Geostatistics, chapter 16"},
    /* Tried by nobody: too smooth at the origin for disease, and near-singular without a nugget. */
    {"gaussian", "1 - exp(-q^2)", false, 0, 0, gaussian_at, gaussian_fill, gaussian_slope,
     "Isaaks & Srivastava 1989, An Introduction to Applied Geostatistics, chapter 16"},
    {"matern", "1 - 2^(1-s) / Gamma(s) q^s K_s(q)", true, 1.5, FOCI_TRIED_BY_COUNTS | FOCI_TRIED_BY_SCORES, matern_at,
     matern_fill, NULL, "Matern 1960, Spatial Variation; Stein 1999, Interpolation of Spatial Data, section 2.7"},
    {0},
};

const foci_correlation *foci_correlation_find(const char *name) {
    for (const foci_correlation *row = foci_correlations; row->name; row++)
        if (foci_text_same(row->name, name))
            return row;
    return NULL;
}

void foci_correlation_fill(const foci_correlation *row, double *out, const double *distance, size_t count, double rate,
                           double smoothness) {
    if (row->fill) {
        row->fill(out, distance, count, rate, smoothness);
        return;
    }
    for (size_t i = 0; i < count; i++)
        out[i] = row->at(rate * distance[i], smoothness);
}

double foci_correlation_practical(const foci_correlation *row, double smoothness) {
    if (row->at(1, smoothness) <= 0)
        return 1; /* it ends there */
    double low = 0, high = 1;
    while (row->at(high, smoothness) > 0.05)
        high *= 2;
    for (int step = 0; step < 100; step++) {
        double middle = 0.5 * (low + high);
        if (row->at(middle, smoothness) > 0.05)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* Of the cube root of the rounding of a double, where a central difference is best. */
#define DIFFERENCE 6e-6

double foci_correlation_slope(const foci_correlation *row, double q, double smoothness) {
    if (row->slope)
        return row->slope(q, smoothness);
    return (row->at(q * (1 + DIFFERENCE), smoothness) - row->at(q * (1 - DIFFERENCE), smoothness)) / (2 * DIFFERENCE);
}

size_t foci_correlation_families(foci_correlation_family families[FOCI_CORRELATION_FAMILIES],
                                 const foci_correlation *named, double smoothness, unsigned who) {
    size_t count = 0;
    for (const foci_correlation *row = foci_correlations; row->name && count < FOCI_CORRELATION_FAMILIES; row++) {
        if (named ? row != named : !(row->tried_by & who))
            continue;
        const double own = row->has_smoothness && smoothness > 0 ? smoothness : row->smoothness;
        families[count++] = (foci_correlation_family){row, own, foci_correlation_practical(row, own)};
    }
    return count;
}

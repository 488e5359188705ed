#include "fieldfoci/variogram.h"

#include <math.h>

#include "base/bessel.h"
#include "base/text.h"
#include "estimate/fast_exp.h"

static double spherical_rise(double q, double smoothness) {
    (void)smoothness;
    return q < 1 ? q * (1.5 - 0.5 * q * q) : 1;
}

FOCI_WIDE_VECTORS static void spherical_covariance(double *distances, size_t count, double partial_sill, double range,
                                                   double smoothness) {
    (void)smoothness;
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double q = distances[i] < range ? distances[i] / range : 1;
        distances[i] = partial_sill * (1 - q * (1.5 - 0.5 * q * q));
    }
}

static double exponential_rise(double q, double smoothness) {
    (void)smoothness;
    return -expm1(-q);
}

FOCI_WIDE_VECTORS static void exponential_covariance(double *distances, size_t count, double partial_sill, double range,
                                                     double smoothness) {
    (void)smoothness;
    double rate = -1 / range;
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        distances[i] = partial_sill * foci_fast_exp(distances[i] * rate);
}

static double gaussian_rise(double q, double smoothness) {
    (void)smoothness;
    return -expm1(-q * q);
}

FOCI_WIDE_VECTORS static void gaussian_covariance(double *distances, size_t count, double partial_sill, double range,
                                                  double smoothness) {
    (void)smoothness;
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double q = distances[i] / range;
        distances[i] = partial_sill * foci_fast_exp(-q * q);
    }
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

static double matern_rise(double q, double smoothness) {
    double coefficients[MOST_TERMS];
    size_t terms = half_integer_polynomial(smoothness, coefficients);
    if (terms > 0)
        return 1 - polynomial_at(coefficients, terms, q) * exp(-q);
    return 1 - matern_by_bessel(q, smoothness, matern_scale(smoothness));
}

/* In blocks, so that the loop over the terms stands outside and the inner ones make vector code. */
enum { BLOCK = 128 };

FOCI_WIDE_VECTORS static void matern_block(double *distances, size_t count, double partial_sill, double range,
                                           const double *coefficients, size_t terms) {
    double sum[BLOCK], rate = 1 / range;
    for (size_t i = 0; i < count; i++)
        sum[i] = coefficients[terms - 1];
    for (size_t k = terms - 1; k > 0; k--) {
#pragma omp simd
        for (size_t i = 0; i < count; i++)
            sum[i] = sum[i] * (distances[i] * rate) + coefficients[k - 1];
    }
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        distances[i] = partial_sill * sum[i] * foci_fast_exp(-distances[i] * rate);
}

static void matern_covariance(double *distances, size_t count, double partial_sill, double range, double smoothness) {
    double coefficients[MOST_TERMS];
    size_t terms = half_integer_polynomial(smoothness, coefficients);
    double scale = matern_scale(smoothness);
    for (size_t i = 0; terms == 0 && i < count; i++)
        distances[i] = partial_sill * matern_by_bessel(distances[i] / range, smoothness, scale);
    for (size_t from = 0; terms > 0 && from < count; from += BLOCK)
        matern_block(distances + from, count - from < BLOCK ? count - from : BLOCK, partial_sill, range, coefficients,
                     terms);
}

const foci_variogram_kind foci_variogram_kinds[] = {
    {"spherical", "1.5 q - 0.5 q^3 up to q = 1, then 1", false, 0, true, spherical_rise, spherical_covariance,
     "Matheron 1963, Economic Geology 58:1246-1266"},
    {"exponential", "1 - exp(-q)", false, 0, true, exponential_rise, exponential_covariance,
     "Isaaks & Srivastava 1989, An Introduction to Applied Geostatistics, chapter 16"},
    /* Not tried by default: too smooth at the origin for disease, and near-singular without a nugget. */
    {"gaussian", "1 - exp(-q^2)", false, 0, false, gaussian_rise, gaussian_covariance,
     "Isaaks & Srivastava 1989, An Introduction to Applied Geostatistics, chapter 16"},
    {"matern", "1 - 2^(1-s) / Gamma(s) q^s K_s(q)", true, 1.5, true, matern_rise, matern_covariance,
     "Matern 1960, Spatial Variation; Stein 1999, Interpolation of Spatial Data, section 2.7"},
    {0},
};

const foci_variogram_kind *foci_variogram_kind_find(const char *name) {
    for (const foci_variogram_kind *kind = foci_variogram_kinds; kind->name; kind++)
        if (foci_text_same(kind->name, name))
            return kind;
    return NULL;
}

double foci_variogram_practical_range(const foci_variogram *model) {
    if (model->kind->rise(1, model->smoothness) >= 1)
        return model->range; /* this model has reached its sill there */
    double low = 0, high = 1;
    while (model->kind->rise(high, model->smoothness) < 0.95)
        high *= 2;
    for (int step = 0; step < 100; step++) {
        double middle = 0.5 * (low + high);
        if (model->kind->rise(middle, model->smoothness) < 0.95)
            low = middle;
        else
            high = middle;
    }
    return model->range * high;
}

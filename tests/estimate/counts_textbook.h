/* Laplace's approximation and its correction by the textbook formulas, written out with the inverse of K: intercept -3,
 * up to TEXTBOOK_MOST stops. */
#ifndef FOCI_TESTS_COUNTS_TEXTBOOK_H
#define FOCI_TESTS_COUNTS_TEXTBOOK_H

#include "support/support.h"

/* K^-1 in full, Newton on the log posterior, S = (K^-1 + W)^-1, every sum written out. */
enum { TEXTBOOK_MOST = 24 };
typedef struct {
    double inverse[TEXTBOOK_MOST * TEXTBOOK_MOST], log_determinant;
} dense_inverse;

/* Gauss and Jordan, with the largest pivot of the column. */
static inline dense_inverse invert(const double *matrix, size_t n) {
    dense_inverse out = {{0}, 0};
    double a[TEXTBOOK_MOST * TEXTBOOK_MOST];
    memcpy(a, matrix, n * n * sizeof *a);
    for (size_t i = 0; i < n; i++)
        out.inverse[i * n + i] = 1;
    for (size_t c = 0; c < n; c++) {
        size_t pivot = c;
        for (size_t r = c + 1; r < n; r++)
            if (fabs(a[r * n + c]) > fabs(a[pivot * n + c]))
                pivot = r;
        for (size_t k = 0; k < n; k++) {
            double held = a[c * n + k], kept = out.inverse[c * n + k];
            a[c * n + k] = a[pivot * n + k];
            a[pivot * n + k] = held;
            out.inverse[c * n + k] = out.inverse[pivot * n + k];
            out.inverse[pivot * n + k] = kept;
        }
        double p = a[c * n + c];
        out.log_determinant += log(fabs(p));
        for (size_t k = 0; k < n; k++) {
            a[c * n + k] /= p;
            out.inverse[c * n + k] /= p;
        }
        for (size_t r = 0; r < n; r++) {
            double factor = a[r * n + c];
            for (size_t k = 0; k < n && r != c; k++) {
                a[r * n + k] -= factor * a[c * n + k];
                out.inverse[r * n + k] -= factor * out.inverse[c * n + k];
            }
        }
    }
    return out;
}

typedef struct {
    double mode[TEXTBOOK_MOST], mean[TEXTBOOK_MOST], spread[TEXTBOOK_MOST], laplace, correction;
} textbook;

static inline textbook textbook_fit(const double *k, const double *y, const double *n, size_t count) {
    textbook out = {0};
    dense_inverse prior = invert(k, count), posterior = {{0}, 0};
    double *f = out.mode, p[TEXTBOOK_MOST], h[TEXTBOOK_MOST * TEXTBOOK_MOST];
    for (int step = 0; step < 60; step++) {
        for (size_t i = 0; i < count; i++)
            p[i] = 1 / (1 + exp(3 - f[i]));
        memcpy(h, prior.inverse, count * count * sizeof *h);
        double gradient[TEXTBOOK_MOST] = {0};
        for (size_t i = 0; i < count; i++) {
            h[i * count + i] += n[i] * p[i] * (1 - p[i]);
            gradient[i] = y[i] - n[i] * p[i];
            for (size_t j = 0; j < count; j++)
                gradient[i] -= prior.inverse[i * count + j] * f[j];
        }
        posterior = invert(h, count);
        for (size_t i = 0; i < count; i++)
            for (size_t j = 0; j < count; j++)
                f[i] += 0.5 * posterior.inverse[i * count + j] * gradient[j]; /* half steps cannot overshoot far */
    }
    const double *s = posterior.inverse;
    double third[TEXTBOOK_MOST];
    out.laplace = -0.5 * (prior.log_determinant + posterior.log_determinant);
    for (size_t i = 0; i < count; i++) {
        out.laplace += lgamma(n[i] + 1) - lgamma(y[i] + 1) - lgamma(n[i] - y[i] + 1) + y[i] * log(p[i]) +
                       (n[i] - y[i]) * log(1 - p[i]);
        third[i] = -n[i] * p[i] * (1 - p[i]) * (1 - 2 * p[i]);
        double fourth = -n[i] * p[i] * (1 - p[i]) * (1 - 6 * p[i] + 6 * p[i] * p[i]), si = s[i * count + i];
        out.correction += fourth * si * si / 8;
        for (size_t j = 0; j < count; j++)
            out.laplace -= 0.5 * f[i] * prior.inverse[i * count + j] * f[j];
    }
    for (size_t i = 0; i < count; i++) {
        out.spread[i] = s[i * count + i];
        out.mean[i] = f[i];
        for (size_t j = 0; j < count; j++) {
            double sij = s[i * count + j], si = s[i * count + i], sj = s[j * count + j];
            out.mean[i] += sij * third[j] * sj / 2;
            out.correction += third[i] * third[j] * (si * sij * sj / 8 + sij * sij * sij / 12);
        }
    }
    return out;
}

#endif

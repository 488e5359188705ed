/* Laplace's approximation and its correction against the textbook formulas, written out with the inverse of K. */
#include "estimate/counts_laplace.h"

#include "estimate/counts_cases.h"

/* K^-1 in full, Newton on the log posterior, S = (K^-1 + W)^-1, every sum written out. */
enum { MOST = 24 };
typedef struct {
    double inverse[MOST * MOST], log_determinant;
} dense_inverse;

/* Gauss and Jordan, with the largest pivot of the column. */
static dense_inverse invert(const double *matrix, size_t n) {
    dense_inverse out = {{0}, 0};
    double a[MOST * MOST];
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
    double mode[MOST], mean[MOST], spread[MOST], laplace, correction;
} textbook;

static textbook textbook_fit(const double *k, const double *y, const double *n, size_t count) {
    textbook out = {0};
    dense_inverse prior = invert(k, count), posterior = {{0}, 0};
    double *f = out.mode, p[MOST], h[MOST * MOST];
    for (int step = 0; step < 60; step++) {
        for (size_t i = 0; i < count; i++)
            p[i] = 1 / (1 + exp(3 - f[i]));
        memcpy(h, prior.inverse, count * count * sizeof *h);
        double gradient[MOST] = {0};
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
    double third[MOST];
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

/* Pseudo-random but fixed; only a spread of values is wanted. */
static double next_share(unsigned *state) {
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / 16777216.0;
}

static void test_textbook_twin(void **state) {
    (void)state;
    foci_error err = {0};
    unsigned seed = 20385;
    foci_counts_work work = {0};
    assert_done(foci_counts_work_make(&work, MOST, &err), err);
    for (int round = 0; round < 12; round++) {
        size_t count = 3 + (size_t)(next_share(&seed) * (MOST - 3));
        foci_point places[MOST];
        double hits[MOST], checked[MOST];
        for (size_t i = 0; i < count; i++) {
            places[i] = (foci_point){300 * next_share(&seed), 200 * next_share(&seed)};
            checked[i] = 5 + floor(60 * next_share(&seed));
            hits[i] = floor(checked[i] * pow(next_share(&seed), 3));
        }
        foci_counts_plane plane = foci_counts_plane_make(places, count, 37.5);
        foci_counts_stops stops = {0};
        foci_counts_point point = case_point((size_t)round % FOCI_COUNTS_FAMILIES);
        point.sigma = 0.4 + 2 * next_share(&seed);
        point.range = 40 + 300 * next_share(&seed);
        point.tau = round % 3 == 0 ? 0.6 : 0;
        assert_done(foci_counts_stops_make(&stops, &plane, places, hits, checked, count, &err), err);
        foci_counts_work_take(&work, &stops);
        foci_counts_work_at(&work, &point);
        memset(work.field, 0, count * sizeof *work.field);
        textbook expected = textbook_fit(work.covariance, hits, checked, count);
        foci_counts_correction correction = {0};
        double log_z = 0, shift = 0;
        assert_done(foci_counts_mode(&work, &log_z, &err), err);
        assert_done(foci_counts_correct(&work, &correction, &err), err);
        assert_near(log_z, expected.laplace, 1e-7);
        assert_near(correction.log_z, expected.correction, 1e-7);
        for (size_t i = 0; i < count; i++) {
            double mean = 0;
            for (size_t j = 0; j < count; j++)
                mean += work.covariance[i + j * count] * work.alpha[j];
            assert_near(work.field[i], expected.mode[i], 1e-7);
            assert_near(mean, expected.mean[i], 1e-7);
            assert_near(work.spread[i], expected.spread[i], 1e-7);
            shift = fmax(shift, fabs(expected.mean[i] - expected.mode[i]) / sqrt(expected.spread[i]));
        }
        assert_near(correction.shift, shift, 1e-6);
        foci_counts_stops_free(&stops);
    }
    foci_counts_work_free(&work);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_textbook_twin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

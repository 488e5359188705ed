#include "decide/pattern/autocorrelation.h"

#include <math.h>

#include "base/probability.h"
#include "decide/pattern/moments.h"

static bool is_isolated(const foci_links *links, size_t stop) {
    return links->first[stop] == links->first[stop + 1];
}

static bool any_negative(const double *values, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (values[i] < 0)
            return true;
    return false;
}

foci_autocorrelation foci_autocorrelation_at(const foci_links *links, double s0, const double *values,
                                             const size_t *order) {
    const foci_autocorrelation none = {NAN, NAN, NAN};
    size_t linked = links->count - foci_links_isolated(links);
    foci_moments m = foci_moments_of(values, links->count);
    if (linked < 2 || !(m.squares > 0))
        return none;
    double mean = m.mean, products = 0, differences = 0, raw_products = 0, sum = 0, raw_squares = 0;
    for (size_t i = 0; i < links->count; i++) {
        double here = values[order ? order[i] : i], lag = 0, apart = 0;
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++) {
            size_t j = links->to[k];
            double there = values[order ? order[j] : j], weight = foci_links_weight(links, k);
            lag += weight * there;
            apart += weight * (here - there) * (here - there);
            products += weight * (here - mean) * (there - mean);
        }
        differences += apart;
        raw_products += here * lag;
        if (is_isolated(links, i))
            continue;
        sum += here;
        raw_squares += here * here;
    }
    double n = (double)linked, pairs = sum * sum - raw_squares;
    bool has_g = pairs > 0 && !any_negative(values, links->count);
    return (foci_autocorrelation){.moran = n / s0 * products / m.squares,
                                  .geary = (n - 1) / (2 * s0) * differences / m.squares,
                                  .general_g = has_g ? raw_products / pairs : NAN};
}

/* z counts from the expectation towards `sign`, where neighbours are alike. */
static void judge(foci_pattern_test *test, double sign) {
    if (!(test->variance > 0)) {
        test->variance = test->z = test->p = NAN;
        return;
    }
    test->z = sign * (test->value - test->expectation) / sqrt(test->variance);
    test->p = foci_normal_cdf(-test->z);
}

static double moran_variance(double n, double b2, const foci_links_sums *s) {
    double s0 = s->s0 * s->s0, e = -1 / (n - 1);
    double free = n * (s->s1 * (n * n - 3 * n + 3) - n * s->s2 + 3 * s0);
    double tied = b2 * (s->s1 * (n * n - n) - 2 * n * s->s2 + 6 * s0);
    return (free - tied) / ((n - 1) * (n - 2) * (n - 3) * s0) - e * e;
}

static double moran_variance_of_normal(double n, const foci_links_sums *s) {
    double s0 = s->s0 * s->s0, e = -1 / (n - 1);
    return (n * n * s->s1 - n * s->s2 + 3 * s0) / (s0 * (n * n - 1)) - e * e;
}

/* Where there are islands the reference (testdata/reference/autocorr.csv) puts all stops in some places and the linked
 * ones in others; the same is done here. Without islands all = n: Cliff & Ord's formula. */
static double geary_variance(double n, double all, const foci_moments *m, const foci_links_sums *s) {
    double s0 = s->s0 * s->s0, b2 = n * m->fourths / (m->squares * m->squares);
    double sum = (n - 1) * s->s1 * (n * n - 3 * all + 3 - (n - 1) * b2) -
                 (n - 1) * s->s2 * (n * n + 3 * all - 6 - (n * n - all + 2) * b2) / 4 +
                 s0 * (n * n - 3 - (n - 1) * (n - 1) * b2);
    return sum / (all * (n - 2) * (n - 3) * s0);
}

/* Getis & Ord 1992, Geographical Analysis 24:189-206, the sums over the linked stops. */
static double general_g_variance(double n, const foci_links *links, const double *values, const foci_links_sums *s) {
    double m1 = 0, m2 = 0, m3 = 0, m4 = 0, s0 = s->s0 * s->s0;
    for (size_t i = 0; i < links->count; i++) {
        double x = is_isolated(links, i) ? 0 : values[i];
        m1 += x;
        m2 += x * x;
        m3 += x * x * x;
        m4 += x * x * x * x;
    }
    double b0 = (n * n - 3 * n + 3) * s->s1 - n * s->s2 + 3 * s0;
    double b1 = -((n * n - n) * s->s1 - 2 * n * s->s2 + 6 * s0);
    double b2 = -(2 * n * s->s1 - (n + 3) * s->s2 + 6 * s0);
    double b3 = 4 * (n - 1) * s->s1 - 2 * (n + 1) * s->s2 + 8 * s0;
    double b4 = s->s1 - s->s2 + s0;
    double sum = b0 * m2 * m2 + b1 * m4 + b2 * m1 * m1 * m2 + b3 * m1 * m3 + b4 * m1 * m1 * m1 * m1;
    double pairs = m1 * m1 - m2, e = s->s0 / (n * (n - 1));
    return sum / (pairs * pairs * n * (n - 1) * (n - 2) * (n - 3)) - e * e;
}

static void put_undefined(foci_pattern *out) {
    const foci_pattern_test none = {NAN, NAN, NAN, NAN, NAN, NAN};
    out->moran = out->geary = out->general_g = none;
    out->moran_normal_variance = out->moran_normal_z = out->moran_normal_p = NAN;
}

bool foci_autocorrelation_test(foci_pattern *out, const foci_links *links, const double *values, foci_error *err) {
    foci_links_sums sums = {0};
    if (!foci_links_sum(&sums, links, err))
        return false;
    double n = (double)(links->count - foci_links_isolated(links));
    put_undefined(out);
    foci_autocorrelation found = foci_autocorrelation_at(links, sums.s0, values, NULL);
    if (n < 4 || isnan(found.moran))
        return true;
    foci_moments m = foci_moments_of(values, links->count);
    double b2 = m.n * m.fourths / (m.squares * m.squares); /* kurtosis, of all stops */
    out->moran = (foci_pattern_test){found.moran, -1 / (n - 1), moran_variance(n, b2, &sums), NAN, NAN, NAN};
    out->geary = (foci_pattern_test){found.geary, 1, geary_variance(n, m.n, &m, &sums), NAN, NAN, NAN};
    judge(&out->moran, 1);
    judge(&out->geary, -1);
    foci_pattern_test normal = out->moran;
    normal.variance = moran_variance_of_normal(n, &sums);
    judge(&normal, 1);
    out->moran_normal_variance = normal.variance;
    out->moran_normal_z = normal.z;
    out->moran_normal_p = normal.p;
    if (isnan(found.general_g))
        return true;
    out->general_g = (foci_pattern_test){
        found.general_g, sums.s0 / (n * (n - 1)), general_g_variance(n, links, values, &sums), NAN, NAN, NAN};
    judge(&out->general_g, 1);
    return true;
}

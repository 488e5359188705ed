#include "decide/pattern/dispersion.h"

#include <math.h>

#include "base/probability.h"
#include "decide/pattern/counts_above.h"
#include "decide/pattern/moments.h"

static const double k_most = 1e6; /* beyond, the negative binomial is the Poisson for all that counts can tell */

static const foci_count_dispersion undefined = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};

/* Fisher's approximation; N - 1 degrees of freedom. */
static void test_ratio(foci_count_dispersion *out, double n) {
    out->ratio = out->variance / out->mean;
    out->chi_squared = (n - 1) * out->ratio;
    out->z = sqrt(2 * out->chi_squared) - sqrt(2 * (n - 1) - 1);
    out->p = foci_chi_squared_above(out->chi_squared, n - 1);
}

static void put_indices(foci_count_dispersion *out, const double *counts, size_t count) {
    double n = (double)count, total = n * out->mean, products = 0;
    for (size_t i = 0; i < count; i++)
        products += counts[i] * (counts[i] - 1);
    out->crowding = out->mean + out->ratio - 1;
    out->patchiness = out->crowding / out->mean;
    if (total > 1.5) { /* at least two infected units */
        out->morisita = n * products / (total * (total - 1));
        out->green = (out->ratio - 1) / (total - 1);
    }
    if (out->variance > out->mean)
        out->k_moments = out->mean * out->mean / (out->variance - out->mean);
}

/* The likelihood's slope in k: sum of A_j / (k + j) - N log(1 + m / k), A_j counts above j (Bliss & Fisher 1953,
 * Biometrics 9:176-200). */
static double k_slope(double k, double mean, double n, const foci_counts_above *table) {
    double sum = -n * log1p(mean / k);
    for (size_t j = 0; j < table->length; j++)
        sum += table->above[j] / (k + (double)j);
    return sum;
}

/* The slope falls from above 0 to below it once, unless the counts are no more spread than a Poisson's. */
static double most_likely_k(double mean, double n, const foci_counts_above *table) {
    double low = log(1e-6), high = log(k_most);
    if (!(k_slope(exp(high), mean, n, table) < 0) || !(k_slope(exp(low), mean, n, table) > 0))
        return NAN;
    for (int i = 0; i < 200 && high - low > 1e-15; i++) {
        double middle = (low + high) / 2;
        if (k_slope(exp(middle), mean, n, table) > 0)
            low = middle;
        else
            high = middle;
    }
    return exp((low + high) / 2);
}

static void put_likelihoods(foci_count_dispersion *out, const double *counts, size_t count) {
    double m = out->mean, k = out->k;
    double poisson = 0, binomial = 0;
    for (size_t i = 0; i < count; i++) {
        double x = counts[i];
        poisson += x * log(m) - m - lgamma(x + 1);
        binomial += lgamma(k + x) - lgamma(k) - lgamma(x + 1) + k * log(k / (k + m)) + x * log(m / (k + m));
    }
    out->poisson_log_likelihood = poisson;
    out->negative_binomial_log_likelihood = binomial; /* NaN where k is */
}

bool foci_dispersion_make(foci_count_dispersion *out, const double *counts, size_t count, foci_error *err) {
    foci_count_dispersion made = undefined;
    foci_counts_above table = {0};
    foci_moments m = foci_moments_of(counts, count);
    if (count > 0 && foci_counts_are_whole(counts, count)) {
        made.mean = m.mean;
        if (count > 1)
            made.variance = m.squares / (m.n - 1);
        if (count > 1 && m.mean > 0) {
            if (!foci_counts_above_make(&table, counts, count, err))
                return false;
            test_ratio(&made, m.n);
            put_indices(&made, counts, count);
            made.k = most_likely_k(m.mean, m.n, &table);
            put_likelihoods(&made, counts, count);
        }
    }
    foci_counts_above_free(&table);
    *out = made;
    return true;
}

#include "decide/pattern/moments.h"

#include <math.h>
#include <stdbool.h>

static bool all_equal(const double *values, size_t count) {
    for (size_t i = 1; i < count; i++)
        if (values[i] != values[0])
            return false;
    return true;
}

foci_moments foci_moments_of(const double *values, size_t count) {
    foci_moments m = {.n = (double)count, .mean = NAN};
    if (count == 0)
        return m;
    if (all_equal(values, count)) {
        m.mean = values[0];
        return m;
    }
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += values[i];
    m.mean = sum / m.n;
    for (size_t i = 0; i < count; i++) {
        double square = (values[i] - m.mean) * (values[i] - m.mean);
        m.squares += square;
        m.fourths += square * square;
    }
    return m;
}

double foci_correlation(const double *a, const double *b, const size_t *order, size_t count) {
    foci_moments of_a = foci_moments_of(a, count), of_b = foci_moments_of(b, count);
    if (!(of_a.squares > 0) || !(of_b.squares > 0))
        return NAN;
    double products = 0;
    for (size_t i = 0; i < count; i++)
        products += (a[i] - of_a.mean) * (b[order ? order[i] : i] - of_b.mean);
    return products / sqrt(of_a.squares * of_b.squares);
}

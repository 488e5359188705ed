#include "decide/pattern/join_counts.h"

#include <math.h>

#include "base/probability.h"

double foci_join_counts_count(const foci_links *links, const bool *infected, const size_t *order) {
    double joins = 0;
    for (size_t i = 0; i < links->count; i++) {
        if (!infected[order ? order[i] : i])
            continue;
        for (size_t k = links->first[i]; k < links->first[i + 1]; k++)
            if (infected[order ? order[links->to[k]] : links->to[k]])
                joins += foci_links_weight(links, k) / 2;
    }
    return joins;
}

bool foci_join_counts_test(foci_pattern_test *out, const foci_links *links, const bool *infected, foci_error *err) {
    foci_links_sums s = {0};
    if (!foci_links_sum(&s, links, err))
        return false;
    double n = 0, b = 0;
    for (size_t i = 0; i < links->count; i++)
        if (links->first[i] < links->first[i + 1]) {
            n += 1;
            b += infected[i];
        }
    *out = (foci_pattern_test){NAN, NAN, NAN, NAN, NAN, NAN};
    if (n < 4 || b == 0 || b == n)
        return true;
    double two = b * (b - 1) / (n * (n - 1)), three = two * (b - 2) / (n - 2), four = three * (b - 3) / (n - 3);
    out->value = foci_join_counts_count(links, infected, NULL);
    out->expectation = s.s0 * two / 2;
    double variance = (s.s1 * two + (s.s2 - 2 * s.s1) * three + (s.s0 * s.s0 + s.s1 - s.s2) * four) / 4 -
                      out->expectation * out->expectation;
    if (variance > 0) {
        out->variance = variance;
        out->z = (out->value - out->expectation) / sqrt(variance);
        out->p = foci_normal_cdf(-out->z);
    }
    return true;
}

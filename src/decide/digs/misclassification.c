#include "decide/digs/misclassification.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/probability.h"
#include "decide/digs/owen.h"

double foci_misclassified(double off) {
    return foci_normal_cdf(-off);
}

double foci_misclassified_after(double off, double variance, double learned) {
    if (!(learned > 0))
        return foci_misclassified(off);
    return learned < variance ? 2 * foci_owen_t(off, sqrt((variance - learned) / learned)) : 0;
}

void foci_misclassification_free(foci_misclassification *m) {
    free(m->covariance);
    free(m->off);
    free(m->variance);
    free(m->learned);
    *m = (foci_misclassification){0};
}

bool foci_misclassification_make(foci_misclassification *out, const double *mean, double **covariance, size_t count,
                                 size_t targets, double threshold, foci_error *err) {
    foci_misclassification m = {.count = count, .targets = targets};
    bool ok = false;
    m.off = foci_new_array(targets, sizeof *m.off, err);
    if (!m.off)
        goto done;
    m.variance = foci_new_array(targets, sizeof *m.variance, err);
    if (!m.variance)
        goto done;
    m.learned = foci_new_array(targets, sizeof *m.learned, err);
    if (!m.learned)
        goto done;
    for (size_t c = 0; c < targets; c++) {
        m.variance[c] = (*covariance)[c + c * count];
        m.off[c] = m.variance[c] > 0 ? fabs(mean[c] - threshold) / sqrt(m.variance[c]) : INFINITY;
    }
    m.covariance = *covariance;
    *covariance = NULL;
    *out = m;
    m = (foci_misclassification){0};
    ok = true;
done:
    foci_misclassification_free(&m);
    return ok;
}

double foci_misclassification_sum(const foci_misclassification *m) {
    double sum = 0;
    for (size_t c = 0; c < m->targets; c++)
        sum += foci_misclassified_after(m->off[c], m->variance[c], m->learned[c]);
    return sum;
}

double foci_misclassification_with(const foci_misclassification *m, size_t place, double noise) {
    const double *column = m->covariance + place * m->count;
    double total = column[place] + noise, sum = 0;
    if (!(column[place] > 0))
        return foci_misclassification_sum(m);
    for (size_t c = 0; c < m->targets; c++)
        sum += foci_misclassified_after(m->off[c], m->variance[c], m->learned[c] + column[c] * column[c] / total);
    return sum;
}

void foci_misclassification_learn(foci_misclassification *m, size_t place, double noise) {
    size_t n = m->count;
    double *column = m->covariance + place * n, total = column[place] + noise;
    if (!(column[place] > 0))
        return;
    for (size_t c = 0; c < m->targets; c++)
        m->learned[c] += column[c] * column[c] / total;
    for (size_t j = 0; j < n; j++) {
        double share = column[j] / total, *other = m->covariance + j * n;
        if (j == place)
            continue;
        for (size_t i = 0; i < n; i++)
            other[i] -= column[i] * share;
    }
    double left = noise / total;
    for (size_t i = 0; i < n; i++)
        column[i] *= left;
}

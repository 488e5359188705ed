#include "decide/pattern/local_tests.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/probability.h"
#include "decide/pattern/moments.h"

/* ---- false discovery ---- */

typedef struct {
    double p;
    size_t test;
} ranked;

static int by_chance(const void *a, const void *b) {
    const ranked *x = a, *y = b;
    if (x->p != y->p)
        return x->p < y->p ? -1 : 1;
    return (x->test > y->test) - (x->test < y->test);
}

bool foci_false_discovery(double *q, const double *p, size_t count, foci_error *err) {
    size_t known = 0;
    ranked *rank = foci_new_array(count, sizeof *rank, err);
    if (!rank)
        return false;
    for (size_t i = 0; i < count; i++)
        if (isnan(p[i]))
            q[i] = NAN;
        else
            rank[known++] = (ranked){p[i], i};
    qsort(rank, known, sizeof *rank, by_chance);
    double least = 1;
    for (size_t r = known; r-- > 0;) {
        least = fmin(least, rank[r].p * (double)known / (double)(r + 1));
        q[rank[r].test] = least;
    }
    free(rank);
    return true;
}

/* ---- each stop ---- */

static double two_sided(double z) {
    return 2 * foci_normal_cdf(-fabs(z));
}

/* Moments given the stop's own reading (Sokal, Oden & Thomson 1998, Geographical Analysis 30:331-354), weights 1 / w.
 */
static void test_moran(foci_local_test *out, const foci_moments *m, double own, double lag) {
    double w = (double)out->neighbours, m2 = m->squares / m->n, share = own * own / m2;
    out->moran = own / m2 * lag;
    out->moran_expectation = -share / (m->n - 1);
    out->moran_variance = share * m->n / (m->n - 2) * (1 / w - 1 / (m->n - 1)) * (1 - share / (m->n - 1));
    if (!(out->moran_variance > 0))
        return;
    out->moran_z = (out->moran - out->moran_expectation) / sqrt(out->moran_variance);
    out->moran_p = two_sided(out->moran_z);
}

/* Ord & Getis 1995, Geographical Analysis 27:286-306; `sum` of the readings, the stop's own among them. */
static void test_gi(foci_local_test *out, const foci_moments *m, double sum) {
    double w = (double)out->neighbours + 1, variance = m->squares / m->n * (m->n * w - w * w) / (m->n - 1);
    if (!(variance > 0))
        return;
    out->gi_z = (sum - m->mean * w) / sqrt(variance);
    out->gi_p = two_sided(out->gi_z);
}

static void test_stop(foci_local_test *out, const foci_links *links, const double *values, const foci_moments *m,
                      size_t i) {
    *out = (foci_local_test){0, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    out->neighbours = links->first[i + 1] - links->first[i];
    if (links->count < 3 || !(m->squares > 0))
        return;
    double sum = 0;
    for (size_t k = links->first[i]; k < links->first[i + 1]; k++)
        sum += values[links->to[k]];
    if (out->neighbours > 0)
        test_moran(out, m, values[i] - m->mean, sum / (double)out->neighbours - m->mean);
    test_gi(out, m, sum + values[i]);
}

bool foci_local_tests_make(foci_local_test *out, const foci_links *links, const double *values, foci_error *err) {
    foci_moments m = foci_moments_of(values, links->count);
    double *p = foci_new_array(links->count, sizeof *p, err);
    if (!p)
        return false;
    bool ok = false;
    for (size_t i = 0; i < links->count; i++) {
        test_stop(&out[i], links, values, &m, i);
        p[i] = out[i].moran_p;
    }
    if (!foci_false_discovery(p, p, links->count, err))
        goto done;
    for (size_t i = 0; i < links->count; i++) {
        out[i].moran_q = p[i];
        p[i] = out[i].gi_p;
    }
    if (!foci_false_discovery(p, p, links->count, err))
        goto done;
    for (size_t i = 0; i < links->count; i++)
        out[i].gi_q = p[i];
    ok = true;
done:
    free(p);
    return ok;
}

#include "fieldfoci/agreement.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

static double ratio(double part, double whole) {
    return whole > 0 ? part / whole : NAN;
}

double foci_overlap_jaccard(const foci_overlap *o) {
    return ratio(o->both, o->both + o->first + o->second);
}

double foci_overlap_dice(const foci_overlap *o) {
    return ratio(2 * o->both, 2 * o->both + o->first + o->second);
}

double foci_overlap_expected(const foci_overlap *o) {
    return ratio((o->both + o->first) * (o->both + o->second), o->both + o->first + o->second + o->neither);
}

static double log_choose(double n, double k) {
    return lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1);
}

double foci_overlap_above(const foci_overlap *o) {
    double cells = o->both + o->first + o->second + o->neither, hot = o->both + o->first, drawn = o->both + o->second;
    if (!(cells > 0))
        return NAN;
    double chance = 0;
    size_t least = (size_t)o->both, most = (size_t)fmin(hot, drawn);
    for (size_t shared = least; shared <= most; shared++)
        chance += exp(log_choose(hot, (double)shared) + log_choose(cells - hot, drawn - (double)shared) -
                      log_choose(cells, drawn));
    return fmin(chance, 1);
}

/* A table of counts with its margins and its weights of agreement: 1 on the diagonal, 0 for the worst confusion. */
typedef struct {
    size_t classes;
    double total;
    const double *table, *disagreement;
    double worst;
    double *rows, *columns;               /* shares */
    double *row_weights, *column_weights; /* mean weight of a row under the columns' shares, and the other way round */
} agreement;

static double weight_of(const agreement *a, size_t i, size_t j) {
    if (!a->disagreement)
        return i == j ? 1 : 0;
    return 1 - a->disagreement[i * a->classes + j] / a->worst;
}

static double share_of(const agreement *a, size_t i, size_t j) {
    return a->table[i * a->classes + j] / a->total;
}

static void fill_margins(agreement *a) {
    for (size_t i = 0; i < a->classes; i++)
        for (size_t j = 0; j < a->classes; j++) {
            a->rows[i] += share_of(a, i, j);
            a->columns[j] += share_of(a, i, j);
        }
    for (size_t i = 0; i < a->classes; i++)
        for (size_t j = 0; j < a->classes; j++) {
            a->row_weights[i] += a->columns[j] * weight_of(a, i, j);
            a->column_weights[j] += a->rows[i] * weight_of(a, i, j);
        }
}

static void fill_errors(foci_kappa *k, const agreement *a) {
    double beyond = 1 - k->expected, seen = 0, by_chance = 0;
    for (size_t i = 0; i < a->classes; i++)
        for (size_t j = 0; j < a->classes; j++) {
            double weight = weight_of(a, i, j), mean = a->row_weights[i] + a->column_weights[j];
            double off = weight * beyond - mean * (1 - k->observed);
            seen += share_of(a, i, j) * off * off;
            by_chance += a->rows[i] * a->columns[j] * (weight - mean) * (weight - mean);
        }
    double middle = k->observed * k->expected - 2 * k->expected + k->observed;
    k->error = sqrt(fmax(seen - middle * middle, 0) / a->total) / (beyond * beyond);
    k->simple_error = sqrt(fmax(k->observed * (1 - k->observed), 0) / a->total) / beyond;
    k->null_error = sqrt(fmax(by_chance - k->expected * k->expected, 0) / a->total) / beyond;
}

/* `margins`: room for 4 x classes zeros. */
static foci_kappa measure(agreement *a, double *margins) {
    foci_kappa k = {NAN, NAN, NAN, NAN, NAN, NAN};
    size_t n = a->classes;
    for (size_t i = 0; i < n * n; i++) {
        a->total += a->table[i];
        if (a->disagreement)
            a->worst = fmax(a->worst, a->disagreement[i]);
    }
    if (!(a->total > 0) || (a->disagreement && !(a->worst > 0)))
        return k;
    a->rows = margins;
    a->columns = margins + n;
    a->row_weights = margins + 2 * n;
    a->column_weights = margins + 3 * n;
    fill_margins(a);
    k.observed = k.expected = 0;
    for (size_t i = 0; i < n; i++) {
        k.expected += a->rows[i] * a->row_weights[i];
        for (size_t j = 0; j < n; j++)
            k.observed += share_of(a, i, j) * weight_of(a, i, j);
    }
    if (1 - k.expected > 1e-12) {
        k.kappa = (k.observed - k.expected) / (1 - k.expected);
        fill_errors(&k, a);
    }
    return k;
}

bool foci_kappa_make(foci_kappa *out, const double *table, const double *disagreement, size_t classes,
                     foci_error *err) {
    double *margins = foci_new_array(classes, 4 * sizeof *margins, err);
    if (!margins)
        return false;
    agreement a = {.classes = classes, .table = table, .disagreement = disagreement};
    *out = measure(&a, margins);
    free(margins);
    return true;
}

foci_kappa foci_overlap_kappa(const foci_overlap *o) {
    const double table[] = {o->both, o->first, o->second, o->neither};
    double margins[8] = {0};
    agreement a = {.classes = 2, .table = table};
    return measure(&a, margins);
}

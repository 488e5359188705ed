#include "decide/pattern/beta_binomial.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/probability.h"
#include "decide/pattern/counts_above.h"

static const foci_incidence_dispersion undefined = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};

/* The three tables that the likelihood needs: infected, healthy, looked at. */
typedef struct {
    foci_counts_above hits, healthy, checked;
} tables;

static void free_tables(tables *t) {
    foci_counts_above_free(&t->hits);
    foci_counts_above_free(&t->healthy);
    foci_counts_above_free(&t->checked);
}

static bool make_tables(tables *out, const double *hits, const double *checked, size_t count, foci_error *err) {
    tables made = {0};
    bool ok = false;
    double *healthy = foci_new_array(count, sizeof *healthy, err);
    if (!healthy)
        return false;
    for (size_t i = 0; i < count; i++)
        healthy[i] = checked[i] - hits[i];
    if (!foci_counts_above_make(&made.hits, hits, count, err) ||
        !foci_counts_above_make(&made.healthy, healthy, count, err) ||
        !foci_counts_above_make(&made.checked, checked, count, err))
        goto done;
    *out = made;
    made = (tables){0};
    ok = true;
done:
    free(healthy);
    free_tables(&made);
    return ok;
}

/* ---- index of dispersion, C(alpha), moments ---- */

static void put_tests(foci_incidence_dispersion *out, const double *hits, const double *checked, size_t count) {
    double p = out->share, n = (double)count, spread = 0, looked = 0, pairs = 0, pearson = 0;
    for (size_t i = 0; i < count; i++) {
        double square = (hits[i] - checked[i] * p) * (hits[i] - checked[i] * p) / (p * (1 - p));
        pearson += square / checked[i];
        spread += square;
        looked += checked[i];
        pairs += checked[i] * (checked[i] - 1);
    }
    if (pairs > 0) {
        out->c_alpha_z = (spread - looked) / sqrt(2 * pairs);
        out->c_alpha_p = foci_normal_cdf(-out->c_alpha_z);
    }
    if (count < 2)
        return;
    out->chi_squared = pearson;
    out->dispersion = pearson / (n - 1);
    out->p = foci_chi_squared_above(pearson, n - 1);
    if (!(pairs > 0))
        return;
    out->rho_moments = (out->dispersion - 1) / (looked / n - 1); /* (D - 1) / (n - 1) with the mean n */
    if (out->rho_moments < 1)
        out->theta_moments = out->rho_moments / (1 - out->rho_moments);
}

/* ---- likelihood ---- */

static double log_choose(double n, double y) {
    return lgamma(n + 1) - lgamma(y + 1) - lgamma(n - y + 1);
}

static double coefficients(const double *hits, const double *checked, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += log_choose(checked[i], hits[i]);
    return sum;
}

/* Sum over j of A_j log(start + j theta). */
static double log_rises(const foci_counts_above *table, double start, double theta) {
    double sum = 0;
    for (size_t j = 0; j < table->length; j++)
        sum += table->above[j] * log(start + (double)j * theta);
    return sum;
}

static double log_likelihood(const tables *t, double p, double theta) {
    return log_rises(&t->hits, p, theta) + log_rises(&t->healthy, 1 - p, theta) - log_rises(&t->checked, 1, theta);
}

/* First and second derivatives of one log_rises by start (s) and theta (t). */
typedef struct {
    double s, t, ss, st, tt;
} slopes;

static slopes rise_slopes(const foci_counts_above *table, double start, double theta) {
    slopes sum = {0};
    for (size_t j = 0; j < table->length; j++) {
        double k = (double)j, inverse = 1 / (start + k * theta), first = table->above[j] * inverse;
        sum.s += first;
        sum.t += first * k;
        sum.ss -= first * inverse;
        sum.st -= first * inverse * k;
        sum.tt -= first * inverse * k * k;
    }
    return sum;
}

/* The likelihood's derivatives by u = logit p and v = log theta, in which it is searched without bounds. */
static slopes likelihood_slopes(const tables *t, double p, double theta) {
    slopes y = rise_slopes(&t->hits, p, theta), h = rise_slopes(&t->healthy, 1 - p, theta);
    slopes n = rise_slopes(&t->checked, 1, theta);
    double pq = p * (1 - p);
    slopes by = {y.s - h.s, y.t + h.t - n.t, y.ss + h.ss, y.st - h.st, y.tt + h.tt - n.tt};
    return (slopes){.s = by.s * pq,
                    .t = by.t * theta,
                    .ss = by.ss * pq * pq + by.s * pq * (1 - 2 * p),
                    .st = by.st * pq * theta,
                    .tt = by.tt * theta * theta + by.t * theta};
}

/* Newton's step where the likelihood curves down in both directions, else one uphill. */
static void choose_step(const slopes *d, double *u, double *v) {
    double determinant = d->ss * d->tt - d->st * d->st;
    if (d->ss < 0 && determinant > 0) {
        *u = -(d->tt * d->s - d->st * d->t) / determinant;
        *v = -(d->ss * d->t - d->st * d->s) / determinant;
    } else {
        *u = d->s / (fabs(d->ss) + 1e-12 + fabs(d->s));
        *v = d->t / (fabs(d->tt) + 1e-12 + fabs(d->t));
    }
    double longest = fmax(fabs(*u), fabs(*v));
    if (longest > 2) {
        *u *= 2 / longest;
        *v *= 2 / longest;
    }
}

static double share_of(double logit) {
    return 1 / (1 + exp(-logit));
}

static void climb(const tables *t, double *p, double *theta) {
    double u = log(*p / (1 - *p)), v = log(*theta), best = log_likelihood(t, *p, *theta);
    for (int round = 0; round < 200; round++) {
        double du = 0, dv = 0, reached = -INFINITY, scale = 2;
        slopes d = likelihood_slopes(t, share_of(u), exp(v));
        choose_step(&d, &du, &dv);
        while (scale > 1e-6 && !(reached >= best)) {
            scale /= 2;
            reached = log_likelihood(t, share_of(u + scale * du), exp(v + scale * dv));
        }
        bool settled = fmax(fabs(du), fabs(dv)) < 1e-7; /* the last whole step squares that */
        if (!settled && !(reached >= best))
            break;
        u += settled ? du : scale * du;
        v += settled ? dv : scale * dv;
        best = reached;
        if (settled)
            break;
    }
    *p = share_of(u);
    *theta = exp(v);
}

/* Each stop with more than one unit is all healthy or all infected: the likelihood rises up to rho = 1. */
static bool are_all_or_none(const double *hits, const double *checked, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (hits[i] > 0 && hits[i] < checked[i])
            return false;
    return true;
}

static void put_most_likely(foci_incidence_dispersion *out, const tables *t, const double *hits, const double *checked,
                            size_t count) {
    double constant = coefficients(hits, checked, count);
    out->binomial_log_likelihood = constant + log_likelihood(t, out->share, 0);
    if (isnan(out->c_alpha_z)) /* one unit a stop: rho has no meaning */
        return;
    out->beta_share = out->share;
    out->beta_binomial_log_likelihood = out->binomial_log_likelihood;
    out->rho = out->theta = 0;
    if (!(out->c_alpha_z > 0)) /* the likelihood's slope at theta = 0 has the sign of C(alpha) */
        return;
    if (are_all_or_none(hits, checked, count)) {
        double infected = 0;
        for (size_t i = 0; i < count; i++)
            infected += hits[i] > 0;
        double p = infected / (double)count;
        out->beta_share = p;
        out->rho = 1;
        out->theta = NAN;
        out->beta_binomial_log_likelihood = infected * log(p) + ((double)count - infected) * log(1 - p);
        return;
    }
    double p = out->share, theta = out->theta_moments > 1e-4 ? fmin(out->theta_moments, 10) : 1e-4;
    climb(t, &p, &theta);
    out->beta_share = p;
    out->theta = theta;
    out->rho = theta / (1 + theta);
    out->beta_binomial_log_likelihood = constant + log_likelihood(t, p, theta);
}

static bool are_counts_of(const double *hits, const double *checked, size_t count) {
    if (count == 0 || !foci_counts_are_whole(hits, count) || !foci_counts_are_whole(checked, count))
        return false;
    for (size_t i = 0; i < count; i++)
        if (checked[i] < 1 || hits[i] > checked[i])
            return false;
    return true;
}

bool foci_beta_binomial_make(foci_incidence_dispersion *out, const double *hits, const double *checked, size_t count,
                             foci_error *err) {
    foci_incidence_dispersion made = undefined;
    if (are_counts_of(hits, checked, count)) {
        double infected = 0, looked = 0;
        for (size_t i = 0; i < count; i++) {
            infected += hits[i];
            looked += checked[i];
        }
        made.share = infected / looked;
        if (infected > 0 && infected < looked) {
            tables t = {0};
            if (!make_tables(&t, hits, checked, count, err))
                return false;
            put_tests(&made, hits, checked, count);
            put_most_likely(&made, &t, hits, checked, count);
            free_tables(&t);
        }
    }
    *out = made;
    return true;
}

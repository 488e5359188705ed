#include "estimate/gaussian/propagation.h"

#include <float.h>
#include <math.h>

#include "base/linear.h"
#include "base/quadrature.h"

#define SETTLED 1e-6
#define MOST_SWEEPS 60
#define DAMPING 0.7
#define LEAST_DAMPING 0.3
#define LEAST_PRECISION 1e-12
#define LEAST_CAVITY_PRECISION 1e-10

/* Beyond this shift of a mean, in posterior deviations, the third-order correction errs by more than 0.1 deviations. */
#define LIMIT_OF_CORRECTION 1.0

static double tilted_mode(const foci_cavity *cavity, const foci_reading_at *of) {
    double f = cavity->mean, step = INFINITY;
    for (int i = 0; i < 50 && fabs(step) > 1e-7; i++) {
        const foci_response_terms terms = of->response->terms(of->reading, of->detail, of->offset + f);
        step = (terms.slope - (f - cavity->mean) / cavity->variance) / (terms.weight + 1 / cavity->variance);
        step = fmin(fmax(step, -2), 2);
        f += step;
    }
    return f;
}

void foci_propagation_tilt(foci_cavity *cavity, const foci_reading_at *of) {
    double mode = tilted_mode(cavity, of);
    double weight = of->response->terms(of->reading, of->detail, of->offset + mode).weight;
    double deviation = 1 / sqrt(weight + 1 / cavity->variance);
    double field[FOCI_HERMITE], height[FOCI_HERMITE], top = -INFINITY;
    for (int j = 0; j < FOCI_HERMITE; j++) {
        double x = foci_hermite_node[j], f = mode + deviation * x, off = f - cavity->mean;
        field[j] = f;
        height[j] = of->response->terms(of->reading, of->detail, of->offset + f).value -
                    0.5 * off * off / cavity->variance + 0.5 * x * x;
        top = fmax(top, height[j]);
    }
    double mass = 0, mean = 0, variance = 0;
    for (int j = 0; j < FOCI_HERMITE; j++) {
        height[j] = foci_hermite_weight[j] * exp(height[j] - top);
        mass += height[j];
        mean += height[j] * field[j];
    }
    mean /= mass;
    for (int j = 0; j < FOCI_HERMITE; j++)
        variance += height[j] * (field[j] - mean) * (field[j] - mean);
    cavity->log_z = log(mass) + top + log(deviation) - 0.5 * log(cavity->variance);
    cavity->tilted_mean = mean;
    cavity->tilted_variance = variance / mass;
}

/* Posterior variances at the stops: diag of K - V'V, V = L^-1 W^1/2 K. Above 0, however little is left of K. */
static void fill_spread(foci_latent *work) {
    size_t n = work->stops->count;
    const double *root = work->root;
    double *v = work->inverse;
    for (size_t j = 0; j < n; j++) {
        const double *column = work->covariance + j * n;
#pragma omp simd
        for (size_t i = 0; i < n; i++)
            v[i + j * n] = root[i] * column[i];
    }
    foci_linear_solve_lower(work->factor, n, v, n);
    for (size_t j = 0; j < n; j++) {
        double prior = work->covariance[j + j * n];
        work->spread[j] = fmax(prior - foci_linear_dot(v + j * n, v + j * n, n), DBL_EPSILON * prior);
    }
}

/* Factor, alpha, spread and posterior mean for the sites (weight, natural mean) as they stand. */
static bool fill_posterior(foci_latent *work, const double *natural, double *mean) {
    size_t n = work->stops->count;
    foci_error failed = {0};
    for (size_t i = 0; i < n; i++)
        work->root[i] = sqrt(work->weight[i]);
    if (!foci_latent_factor(work, &failed))
        return false;
    fill_spread(work);
    foci_latent_reduce(work, work->alpha, natural);
    foci_linear_symmetric_product(work->covariance, work->alpha, n, mean);
    return true;
}

/* One stop's part of log Z that depends on its cavity (c) and site (t), and the new site. */
static double visit(foci_cavity *cavity, double spread, double mean, double *precision, double *natural,
                    const foci_reading_at *of) {
    double tc = fmax(1 / spread - *precision, LEAST_CAVITY_PRECISION), t = *precision, nt = *natural;
    double nc = mean / spread - nt, mc = nc / tc;
    cavity->mean = mc;
    cavity->variance = 1 / tc;
    foci_propagation_tilt(cavity, of);
    *precision = fmax(1 / cavity->tilted_variance - tc, LEAST_PRECISION);
    *natural = cavity->tilted_mean / cavity->tilted_variance - nc;
    return cavity->log_z + 0.5 * log1p(t / tc) - 0.5 * nt * nt / (tc + t) +
           0.5 * mc * tc / (tc + t) * (t * mc - 2 * nt);
}

typedef struct {
    double *natural, *mean, *new_precision, *new_natural; /* vectors */
    double log_z, change;
} ep_sweep;

static void visit_all(foci_latent *work, ep_sweep *sweep, foci_cavity *cavities) {
    const foci_observations *stops = work->stops;
    size_t n = stops->count;
    double furthest = 0, widest = 0;
    sweep->log_z = 0.5 * foci_linear_dot(sweep->natural, sweep->mean, n);
    for (size_t i = 0; i < n; i++) {
        const foci_reading_at of = {stops->response, stops->readings[i], work->detail[i], work->offset[i]};
        foci_cavity cavity = {0};
        double s = work->spread[i], mean = sweep->mean[i];
        sweep->new_precision[i] = work->weight[i];
        sweep->new_natural[i] = sweep->natural[i];
        sweep->log_z += visit(&cavity, s, mean, &sweep->new_precision[i], &sweep->new_natural[i], &of) +
                        stops->constant[i] - log(work->factor[i + i * n]);
        furthest = fmax(furthest, fabs(cavity.tilted_mean - mean) / sqrt(s));
        widest = fmax(widest, fabs(cavity.tilted_variance / s - 1));
        if (cavities)
            cavities[i] = cavity;
    }
    sweep->change = furthest + widest;
}

foci_propagation foci_propagate(foci_latent *work, foci_cavity *cavities) {
    size_t n = work->stops->count;
    ep_sweep sweep = {work->scratch[4], work->scratch[5], work->scratch[0], work->scratch[1], 0, 0};
    foci_propagation ep = {0};
    double damping = 1, last = INFINITY;
    for (size_t i = 0; i < n; i++)
        sweep.natural[i] = work->weight[i] * work->field[i] + work->gradient[i];
    while (!ep.settled && ep.sweeps < MOST_SWEEPS) {
        if (!fill_posterior(work, sweep.natural, sweep.mean))
            return ep;
        visit_all(work, &sweep, cavities);
        ep.sweeps++;
        ep.log_z = sweep.log_z;
        ep.settled = sweep.change < SETTLED && isfinite(sweep.log_z);
        if (sweep.change > last)
            damping = fmax(LEAST_DAMPING, damping * DAMPING);
        last = sweep.change;
        for (size_t i = 0; i < n && !ep.settled; i++) {
            work->weight[i] += damping * (sweep.new_precision[i] - work->weight[i]);
            sweep.natural[i] += damping * (sweep.new_natural[i] - sweep.natural[i]);
        }
    }
    return ep;
}

static bool correct(foci_latent *work, foci_approximation *found, foci_error *err) {
    foci_correction correction = {0};
    if (!foci_laplace_mode(work, &foci_laplace_of_counts, &found->laplace, err) ||
        !foci_laplace_correct(work, &correction, err))
        return false;
    found->log_z = found->laplace + correction.log_z;
    found->shift = correction.shift;
    return true;
}

bool foci_approximate(foci_latent *work, foci_propagate_when when, foci_approximation *out, foci_error *err) {
    foci_approximation found = {0};
    if (!correct(work, &found, err))
        return false;
    if (when == FOCI_PROPAGATE_ALWAYS || (when == FOCI_PROPAGATE_BEYOND_LIMIT && found.shift > LIMIT_OF_CORRECTION)) {
        foci_propagation ep = foci_propagate(work, NULL);
        found.propagated = ep.settled;
        if (ep.settled)
            found.log_z = ep.log_z;
        else if (!correct(work, &found, err))
            return false;
    }
    *out = found;
    return true;
}

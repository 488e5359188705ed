#include "estimate/gaussian/counts_laplace.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/linear.h"
#include "estimate/gaussian/fast_exp.h"

/* The factor belongs to the field before the last step. */
#define LAST_STEP 1e-8
#define MOST_STEPS 100
#define LEAST_SHARE_OF_STEP 1e-4
#define LEAST_WEIGHT 1e-12
#define MOST_CORRECTION 5.0

double foci_counts_softplus(double x) {
    return (x > 0 ? x : 0) + log1p(exp(-fabs(x)));
}

/* Gradient and weight of the likelihood at work->field. */
static void look(foci_counts_work *work) {
    const foci_counts_stops *stops = work->stops;
    const double *field = work->field, *hits = stops->hits, *checked = stops->checked;
    double *gradient = work->gradient, *weight = work->weight, centre = work->point.centre;
#pragma omp simd
    for (size_t i = 0; i < stops->count; i++) {
        double eta = centre + field[i];
        double share = foci_fast_share(eta);
        gradient[i] = hits[i] - checked[i] * share;
        weight[i] = checked[i] * share * foci_fast_share(-eta) + LEAST_WEIGHT;
    }
    for (size_t i = 0; i < stops->count; i++)
        work->root[i] = sqrt(weight[i]);
}

static double objective(const foci_counts_work *work, const double *pull, const double *field) {
    const foci_counts_stops *stops = work->stops;
    double sum = -0.5 * foci_counts_dot(pull, field, stops->count);
    for (size_t i = 0; i < stops->count; i++) {
        double eta = work->point.centre + field[i];
        sum += stops->hits[i] * eta - stops->checked[i] * foci_counts_softplus(eta);
    }
    return sum;
}

/* a and f = K a to which Newton's method wants to go. */
static void newton_target(foci_counts_work *work, double *pull, double *field) {
    size_t n = work->stops->count;
    double *b = work->scratch[2];
    for (size_t i = 0; i < n; i++)
        b[i] = work->weight[i] * work->field[i] + work->gradient[i];
    foci_counts_work_reduce(work, pull, b);
    foci_counts_multiply(field, work->covariance, pull, n);
}

/* One step, halved while the objective falls; returns the largest change of the field. `reached` is the objective at
 * the start where that is known (its pull goes with its field), NaN otherwise. */
static double newton_step(foci_counts_work *work, double *reached) {
    size_t n = work->stops->count;
    double *pull = work->scratch[0], *field = work->scratch[1];
    newton_target(work, pull, field);
    double share = 1, found = objective(work, pull, field);
    while (found < *reached - 1e-10 && share > LEAST_SHARE_OF_STEP) {
        share /= 2;
        for (size_t i = 0; i < n; i++) {
            pull[i] = 0.5 * (pull[i] + work->pull[i]);
            field[i] = 0.5 * (field[i] + work->field[i]);
        }
        found = objective(work, pull, field);
    }
    double change = 0;
    for (size_t i = 0; i < n; i++) {
        double step = fabs(field[i] - work->field[i]);
        change = step > change ? step : change;
    }
    memcpy(work->pull, pull, n * sizeof *pull);
    memcpy(work->field, field, n * sizeof *field);
    *reached = found;
    return change;
}

void foci_counts_start(foci_counts_work *work) {
    const foci_counts_stops *stops = work->stops;
    for (size_t i = 0; i < stops->count; i++)
        work->field[i] = log((stops->hits[i] + 0.5) / (stops->checked[i] - stops->hits[i] + 0.5)) - work->point.centre;
}

bool foci_counts_mode(foci_counts_work *work, double *log_z, foci_error *err) {
    const foci_counts_stops *stops = work->stops;
    double reached = NAN, change = INFINITY, log_root_det = 0;
    for (int step = 0; step < MOST_STEPS && change > LAST_STEP; step++) {
        look(work);
        if (!foci_counts_work_factor(work, err))
            return false;
        change = newton_step(work, &reached);
    }
    look(work);
    for (size_t i = 0; i < stops->count; i++) {
        log_root_det += log(work->factor[i + i * stops->count]);
        reached += stops->log_choose[i];
    }
    memcpy(work->alpha, work->pull, stops->count * sizeof *work->alpha);
    *log_z = reached - log_root_det;
    return true;
}

/* B^-1 from the factor, and from it S = (K^-1 + W)^-1 = W^-1/2 (I - B^-1) W^-1/2, both in place of one another. Where
 * W is tiny S loses digits, but everything below multiplies it by derivatives as tiny as W. `spread`, its diagonal, is
 * kept above 0. */
static bool posterior_covariance(foci_counts_work *work, foci_error *err) {
    size_t n = work->stops->count;
    double *inverse = work->inverse, *over_root = work->scratch[3];
    memcpy(inverse, work->factor, n * n * sizeof *inverse);
    if (!foci_linear_inverse(inverse, n, err))
        return false;
    for (size_t i = 0; i < n; i++)
        over_root[i] = 1 / work->root[i];
    for (size_t j = 0; j < n; j++) {
        double *column = inverse + j * n, scale = -over_root[j];
        column[j] -= 1;
#pragma omp simd
        for (size_t i = 0; i < n; i++)
            column[i] *= scale * over_root[i];
        work->spread[j] = fmax(column[j], DBL_EPSILON * over_root[j] * over_root[j]);
    }
    return true;
}

/* sum_ij d_i d_j S_ij^3. */
static double cubes(const double *restrict covariance, const double *restrict third, size_t n) {
    double total = 0;
    for (size_t j = 0; j < n; j++) {
        const double *column = covariance + j * n;
        double sum = 0;
#pragma omp simd reduction(+ : sum)
        for (size_t i = 0; i < n; i++)
            sum += third[i] * (column[i] * column[i] * column[i]);
        total += sum * third[j];
    }
    return total;
}

bool foci_counts_correct(foci_counts_work *work, foci_counts_correction *out, foci_error *err) {
    const foci_counts_stops *stops = work->stops;
    size_t n = stops->count;
    double *force = work->scratch[0], *third = work->scratch[1], *moved = work->scratch[2];
    double *covariance = work->inverse, fourth_order = 0, shift = 0;
    if (!posterior_covariance(work, err))
        return false;
    for (size_t i = 0; i < n; i++) {
        double p = foci_fast_share(work->point.centre + work->field[i]), s = work->spread[i];
        double second = stops->checked[i] * p * (1 - p);
        third[i] = -second * (1 - 2 * p);
        force[i] = 0.5 * third[i] * s;
        fourth_order -= second * (1 - 6 * p + 6 * p * p) * s * s / 8;
    }
    foci_counts_multiply(moved, covariance, force, n);
    double found = fourth_order + foci_counts_dot(force, moved, n) / 2 + cubes(covariance, third, n) / 12;
    for (size_t i = 0; i < n; i++) {
        double deviations = fabs(moved[i]) / sqrt(work->spread[i]);
        shift = deviations > shift ? deviations : shift;
    }
    foci_counts_work_reduce(work, work->alpha, force);
    for (size_t i = 0; i < n; i++)
        work->alpha[i] += work->pull[i];
    *out = (foci_counts_correction){.log_z = fmin(fmax(found, -MOST_CORRECTION), MOST_CORRECTION), .shift = shift};
    return true;
}

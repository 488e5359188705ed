#include "estimate/gaussian/laplace.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/linear.h"

#define LEAST_SHARE_OF_STEP 1e-4
#define MOST_CORRECTION 5.0

enum { MOST_STEPS = 100 };

const foci_laplace_rules foci_laplace_of_counts = {.last_step = 1e-8},
                         foci_laplace_of_seasons = {.last_step = 1e-9, .exact_factor = true};

/* eta at a field, in scratch[6]. */
static const double *eta_at(const foci_latent *work, const double *field) {
    double *eta = work->scratch[6];
    for (size_t i = 0; i < work->stops->count; i++)
        eta[i] = work->offset[i] + field[i];
    return eta;
}

/* Gradient and weight of the likelihood at work->field. */
static void differentiate(foci_latent *work) {
    const foci_observations *stops = work->stops;
    stops->response->derivatives(work->gradient, work->weight, stops->readings, work->detail, eta_at(work, work->field),
                                 stops->count);
    for (size_t i = 0; i < stops->count; i++)
        work->root[i] = sqrt(work->weight[i]);
}

static double objective(const foci_latent *work, const double *pull, const double *field) {
    const foci_observations *stops = work->stops;
    return stops->response->sum(stops->readings, work->detail, eta_at(work, field), stops->count) -
           0.5 * foci_linear_dot(pull, field, stops->count);
}

/* a and f = K a to which Newton's method wants to go. */
static void newton_target(foci_latent *work, double *pull, double *field) {
    size_t n = work->stops->count;
    double *b = work->scratch[2];
    for (size_t i = 0; i < n; i++)
        b[i] = work->weight[i] * work->field[i] + work->gradient[i];
    foci_latent_reduce(work, pull, b);
    foci_linear_symmetric_product(work->covariance, pull, n, field);
}

/* One step, halved while the objective falls; returns the largest change of the field. `reached` is the objective at
 * the start where that is known (its pull goes with its field), NaN otherwise. */
static double newton_step(foci_latent *work, double *reached) {
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
    return isfinite(found) ? change : NAN;
}

void foci_laplace_start(foci_latent *work) {
    const foci_observations *stops = work->stops;
    for (size_t i = 0; i < stops->count; i++)
        work->field[i] = stops->response->alone(stops->readings[i], work->detail[i]) - work->offset[i];
}

/* Where the log-likelihood is quadratic one step is the answer, from wherever it starts, and the factor is everywhere
 * the same. */
static bool climb(foci_latent *work, const foci_laplace_rules *rules, double *reached, foci_error *err) {
    const bool quadratic = work->stops->response->quadratic;
    double change = INFINITY;
    *reached = NAN;
    for (int step = 0; step < MOST_STEPS && change > rules->last_step; step++) {
        differentiate(work);
        if (!foci_latent_factor(work, err))
            return false;
        change = newton_step(work, reached);
        if (quadratic && isfinite(change))
            change = 0;
    }
    if (!(change <= rules->last_step))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the readings found no stable estimate; check them");
    differentiate(work);
    return !rules->exact_factor || quadratic || foci_latent_factor(work, err);
}

bool foci_laplace_mode(foci_latent *work, const foci_laplace_rules *rules, double *log_z, foci_error *err) {
    const foci_observations *stops = work->stops;
    double reached = NAN, log_root_det = 0;
    if (!climb(work, rules, &reached, err))
        return false;
    for (size_t i = 0; i < stops->count; i++) {
        log_root_det += log(work->factor[i + i * stops->count]);
        reached += stops->constant[i];
    }
    memcpy(work->alpha, work->pull, stops->count * sizeof *work->alpha);
    *log_z = reached - log_root_det;
    return true;
}

/* B^-1 from the factor, and from it S = (K^-1 + W)^-1 = W^-1/2 (I - B^-1) W^-1/2, both in place of one another. Where
 * W is tiny S loses digits, but everything below multiplies it by derivatives as tiny as W. `spread`, its diagonal, is
 * kept above 0. */
static bool posterior_covariance(foci_latent *work, foci_error *err) {
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

bool foci_laplace_correct(foci_latent *work, foci_correction *out, foci_error *err) {
    const foci_observations *stops = work->stops;
    size_t n = stops->count;
    double *force = work->scratch[0], *third = work->scratch[1], *moved = work->scratch[2];
    double *covariance = work->inverse, fourth_order = 0, shift = 0;
    if (!posterior_covariance(work, err))
        return false;
    for (size_t i = 0; i < n; i++) {
        const foci_response_terms terms =
            stops->response->terms(stops->readings[i], work->detail[i], work->offset[i] + work->field[i]);
        const double s = work->spread[i];
        third[i] = terms.third;
        force[i] = 0.5 * third[i] * s;
        fourth_order += terms.fourth * s * s / 8;
    }
    foci_linear_symmetric_product(covariance, force, n, moved);
    double found = fourth_order + foci_linear_dot(force, moved, n) / 2 + cubes(covariance, third, n) / 12;
    for (size_t i = 0; i < n; i++) {
        double deviations = fabs(moved[i]) / sqrt(work->spread[i]);
        shift = deviations > shift ? deviations : shift;
    }
    foci_latent_reduce(work, work->alpha, force);
    for (size_t i = 0; i < n; i++)
        work->alpha[i] += work->pull[i];
    *out = (foci_correction){.log_z = fmin(fmax(found, -MOST_CORRECTION), MOST_CORRECTION), .shift = shift};
    return true;
}

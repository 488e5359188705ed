#include "estimate/gaussian/responses.h"

#include <math.h>

#include "estimate/gaussian/fast_exp.h"

/* Keeps the root of a weight above 0 where a share is 0 or 1 to the last digit. */
#define LEAST_WEIGHT 1e-12
#define LOG_ROOT_TWO_PI 0.91893853320467274

static bool check_count(double hits, double checked, size_t row, foci_error *err) {
    if (!isfinite(checked) || !(checked > 0))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row,
                         "%g units looked at; a stop needs at least one, leave it out", checked);
    if (checked > FOCI_COUNTS_UNITS)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row,
                         "%.0f units looked at at one place are more than a surface of counts can be made of, %.0f; "
                         "correct the counts",
                         checked, FOCI_COUNTS_UNITS);
    if (!(hits >= 0 && hits <= checked))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row,
                         "%g infected of %g looked at is impossible; correct the counts", hits, checked);
    return true;
}

static double log_choose(double hits, double checked) {
    return lgamma(checked + 1) - lgamma(hits + 1) - lgamma(checked - hits + 1);
}

static double logit_alone(double hits, double checked) {
    return log((hits + 0.5) / (checked - hits + 0.5));
}

static double log_binomial(double hits, double checked, double eta) {
    return hits * eta - checked * (fmax(eta, 0) + log1p(exp(-fabs(eta))));
}

static foci_response_terms binomial_terms(double hits, double checked, double eta) {
    const double share = foci_fast_expit(eta), second = checked * share * foci_fast_expit(-eta);
    return (foci_response_terms){log_binomial(hits, checked, eta), hits - checked * share, second + LEAST_WEIGHT,
                                 -second * (1 - 2 * share), -second * (1 - 6 * share + 6 * share * share)};
}

static double binomial_sum(const double *hits, const double *checked, const double *eta, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += log_binomial(hits[i], checked[i], eta[i]);
    return sum;
}

FOCI_WIDE_VECTORS static void binomial_derivatives(double *slope, double *weight, const double *hits,
                                                   const double *checked, const double *eta, size_t count) {
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double share = foci_fast_expit(eta[i]);
        slope[i] = hits[i] - checked[i] * share;
        weight[i] = checked[i] * share * foci_fast_expit(-eta[i]) + LEAST_WEIGHT;
    }
}

static bool check_score(double score, double checked, size_t row, foci_error *err) {
    (void)checked;
    return isfinite(score) ||
           foci_fail(err, FOCI_BAD_INPUT, NULL, (long)row, "a score of %g is no number; leave the stop out", score);
}

static double nothing(double score, double checked) {
    (void)score;
    (void)checked;
    return 0;
}

static double score_alone(double score, double variance) {
    (void)variance;
    return score;
}

static foci_response_terms normal_terms(double score, double variance, double eta) {
    const double off = score - eta;
    return (foci_response_terms){-0.5 * off * off / variance - 0.5 * log(variance) - LOG_ROOT_TWO_PI, off / variance,
                                 1 / variance, 0, 0};
}

static double normal_sum(const double *score, const double *variance, const double *eta, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += normal_terms(score[i], variance[i], eta[i]).value;
    return sum;
}

static void normal_derivatives(double *slope, double *weight, const double *score, const double *variance,
                               const double *eta, size_t count) {
    for (size_t i = 0; i < count; i++) {
        slope[i] = (score[i] - eta[i]) / variance[i];
        weight[i] = 1 / variance[i];
    }
}

const foci_response foci_responses[] = {
    {"binomial", true, false, check_count, log_choose, logit_alone, binomial_terms, binomial_sum, binomial_derivatives},
    {"normal", false, true, check_score, nothing, score_alone, normal_terms, normal_sum, normal_derivatives},
    {0},
};

const foci_response *const foci_response_binomial = &foci_responses[0], *const foci_response_normal =
                                                                            &foci_responses[1];

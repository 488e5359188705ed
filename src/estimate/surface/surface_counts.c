/* The counts kernel as a surface method: shares become percent, its summary becomes facts. */
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/predict/counts_model.h"
#include "estimate/predict/score_model.h"
#include "estimate/surface/surface_methods.h"

/* Fewer stops do not tell a direction from chance. */
#define STOPS_FOR_HEADING 30

typedef struct {
    foci_counts_model model;
    size_t count;
    double *checked;  /* units looked at */
    double threshold; /* share */
} counts_state;

static void free_state(void *state) {
    counts_state *counts = state;
    foci_counts_free(&counts->model);
    free(counts->checked);
    free(counts);
}

/* Without a row heading: is there a direction along which empirical logits are alike farther? By the restricted
 * likelihood, as for scores; reported, never used. */
static bool compare_headings(foci_fit_summary *facts, const foci_readings *readings,
                             const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    foci_readings logits = *readings;
    foci_score_model model = {0};
    foci_error inner = {0};
    const foci_surface_options wanted = {
        .row_heading = NAN,
        .area = options->area,
        .least = -INFINITY,
        .most = INFINITY,
    };
    if (readings->count < STOPS_FOR_HEADING || readings->count > FOCI_COUNTS_JOINT)
        return true;
    logits.values = foci_new_array(readings->count, sizeof *logits.values, err);
    if (!logits.values)
        return false;
    for (size_t i = 0; i < readings->count; i++)
        logits.values[i] = log((readings->hits[i] + 0.5) / (readings->checked[i] - readings->hits[i] + 0.5));
    if (foci_score_model_fit(&model, &logits, NULL, &wanted, true, how, &inner)) {
        facts->suggested_heading = model.facts.suggested_heading;
        facts->suggested_ratio = model.facts.suggested_ratio;
        facts->suggested_gain = model.facts.suggested_gain;
        facts->suggested_p = model.facts.suggested_p;
    }
    foci_score_model_free(&model);
    free(logits.values);
    return (inner.status != FOCI_NO_MEMORY && inner.status != FOCI_STOPPED) ||
           foci_fail(err, inner.status, NULL, 0, "%s", inner.text);
}

static bool fit(void **state, foci_fit_summary *facts, const foci_readings *readings, const foci_readings *earlier,
                const foci_surface_options *options, const foci_execution *how, foci_error *err) {
    const foci_counts_options wanted = {
        .row_heading = options->row_heading,
        .spacing = sqrt(options->area / (double)readings->count),
        .stop_variation = options->stop_variation,
        .earlier = earlier,
    };
    const foci_execution fitting = foci_execution_part(how, 0, isnan(options->row_heading) ? 0.8 : 1);
    const foci_execution comparing = foci_execution_part(how, 0.8, 1);
    counts_state *counts = foci_new_array(1, sizeof *counts, err);
    bool ok = false;
    if (!counts)
        return false;
    counts->count = readings->count;
    counts->threshold = options->threshold / 100;
    counts->checked = foci_new_array(readings->count, sizeof *counts->checked, err);
    if (!counts->checked)
        goto done;
    for (size_t i = 0; i < readings->count; i++)
        counts->checked[i] = readings->checked[i];
    if (!foci_counts_fit(&counts->model, readings->places, readings->hits, readings->checked, readings->count, &wanted,
                         &fitting, err))
        goto done;
    *facts = counts->model.summary.facts;
    if (isnan(options->row_heading) && !compare_headings(facts, readings, options, &comparing, err))
        goto done;
    *state = counts;
    counts = NULL;
    ok = true;
done:
    if (counts)
        free_state(counts);
    return ok;
}

static bool at(const void *state, const foci_prediction *out, const foci_point *places, size_t count,
               const foci_execution *how, foci_error *err) {
    const counts_state *counts = state;
    if (!foci_counts_predict(&counts->model, places, count, counts->threshold, out, how, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        out->estimate[i] *= 100;
        if (out->variance)
            out->variance[i] *= 1e4;
        if (out->low)
            out->low[i] *= 100;
        if (out->high)
            out->high[i] *= 100;
    }
    return true;
}

/* A left-out count is a share of n: its variance is that of the true share and the binomial's, Var(y/n) = Var(p) +
 * E(p(1 - p)) / n. */
static bool leave_one_out(const void *state, const foci_leave_one_out *out, const foci_execution *how,
                          foci_error *err) {
    const counts_state *counts = state;
    double *transform = foci_new_array(counts->count, sizeof *transform, err);
    bool ok = false;
    if (!transform)
        goto done;
    const foci_counts_leave_one_out_result shares = {
        .mean = out->estimate, .variance = out->variance, .log_score = out->log_score, .transform = transform};
    if (!foci_counts_leave_one_out(&counts->model, &shares, how, err))
        goto done;
    for (size_t i = 0; i < counts->count; i++) {
        double mean = out->estimate[i], variance = out->variance[i];
        out->estimate[i] = 100 * mean;
        out->variance[i] = 1e4 * (variance + (mean - mean * mean - variance) / counts->checked[i]);
        out->inside[i] = transform[i] >= 0.05 && transform[i] <= 0.95;
    }
    ok = true;
done:
    free(transform);
    return ok;
}

static double logit(double share) {
    if (share <= 0 || share >= 1)
        return share <= 0 ? -INFINITY : INFINITY;
    return log(share / (1 - share)); /* NaN stays NaN */
}

static bool covariance_of(const void *state, double *mean, double *covariance, double *threshold,
                          const foci_point *places, size_t count, foci_error *err) {
    const counts_state *counts = state;
    if (!foci_counts_covariance(&counts->model, mean, covariance, places, count, err))
        return false;
    *threshold = logit(counts->threshold);
    return true;
}

const struct foci_surface_functions foci_surface_by_counts = {
    .fit = fit,
    .free = free_state,
    .at = at,
    .left_out = leave_one_out,
    .covariance = covariance_of,
};

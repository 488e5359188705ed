#include "fieldfoci/cross_validation.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

void foci_cross_validation_free(foci_cross_validation *check) {
    free(check->estimate);
    free(check->variance);
    *check = (foci_cross_validation){0};
}

static void judge_errors(foci_cross_validation *check, const foci_readings *readings) {
    double sum = 0, squares = 0;
    for (size_t i = 0; i < check->n; i++) {
        double error = readings->values[i] - check->estimate[i];
        sum += error;
        squares += error * error;
    }
    check->mean_error = sum / (double)check->n;
    check->rmse = sqrt(squares / (double)check->n);
}

/* Where a variance is 0 (all readings equal) the ratio has no meaning. */
static void judge_variances(foci_cross_validation *check, const foci_readings *readings,
                            const foci_leave_one_out *left) {
    double ratios = 0, scores = 0;
    size_t inside = 0;
    for (size_t i = 0; i < check->n; i++) {
        double error = readings->values[i] - check->estimate[i];
        ratios += check->variance[i] > 0 ? error * error / check->variance[i] : NAN;
        scores += left->log_score[i];
        inside += left->inside[i];
    }
    check->mean_squared_deviation_ratio = ratios / (double)check->n;
    check->coverage_90 = (double)inside / (double)check->n;
    check->log_score = scores / (double)check->n;
}

bool foci_cross_validation_make(foci_cross_validation *out, const foci_surface_model *model,
                                const foci_readings *readings, const foci_execution *how, foci_error *err) {
    const foci_surface_method *method = model->method;
    foci_cross_validation check = {
        .n = readings->count, .mean_squared_deviation_ratio = NAN, .coverage_90 = NAN, .log_score = NAN};
    foci_leave_one_out left = {0};
    bool ok = false;
    check.estimate = foci_new_array(check.n, sizeof *check.estimate, err);
    if (!check.estimate)
        goto done;
    if (method->gives_variance) {
        check.variance = foci_new_array(check.n, sizeof *check.variance, err);
        left.log_score = check.variance ? foci_new_array(check.n, sizeof *left.log_score, err) : NULL;
        left.inside = left.log_score ? foci_new_array(check.n, sizeof *left.inside, err) : NULL;
        if (!left.inside)
            goto done;
    }
    left.estimate = check.estimate;
    left.variance = check.variance;
    if (!foci_surface_leave_one_out(model, &left, how, err))
        goto done;
    judge_errors(&check, readings);
    if (method->gives_variance)
        judge_variances(&check, readings, &left);
    *out = check;
    check = (foci_cross_validation){0};
    ok = true;
done:
    free(left.log_score);
    free(left.inside);
    foci_cross_validation_free(&check);
    return ok;
}

#include "fieldfoci/cross_check.h"

#include <math.h>
#include <stdlib.h>

#include "base/chance.h"
#include "base/memory.h"

void foci_cross_check_free(foci_cross_check *check) {
    free(check->estimate);
    free(check->variance);
    *check = (foci_cross_check){0};
}

static void judge_errors(foci_cross_check *check, const foci_readings *readings) {
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
static void judge_variances(foci_cross_check *check, const foci_readings *readings) {
    check->mean_squared_deviation_ratio = check->coverage_90 = NAN;
    if (!check->variance)
        return;
    double ratios = 0;
    size_t inside = 0;
    for (size_t i = 0; i < check->n; i++) {
        double error = readings->values[i] - check->estimate[i];
        ratios += check->variance[i] > 0 ? error * error / check->variance[i] : NAN;
        inside += fabs(error) <= FOCI_NORMAL_95 * sqrt(check->variance[i]);
    }
    check->mean_squared_deviation_ratio = ratios / (double)check->n;
    check->coverage_90 = (double)inside / (double)check->n;
}

bool foci_cross_check_make(foci_cross_check *out, const foci_readings *readings, const foci_surface_options *options,
                           foci_error *err) {
    const foci_surface_method *method = options->method;
    foci_cross_check check = {.n = readings->count};
    bool ok = false;
    check.estimate = foci_new_array(check.n, sizeof *check.estimate, err);
    if (!check.estimate)
        goto done;
    check.variance = method->gives_variance ? foci_new_array(check.n, sizeof *check.variance, err) : NULL;
    if (method->gives_variance && !check.variance)
        goto done;
    if (!method->left_out(check.estimate, check.variance, readings, options, err))
        goto done;
    judge_errors(&check, readings);
    judge_variances(&check, readings);
    *out = check;
    check = (foci_cross_check){0};
    ok = true;
done:
    foci_cross_check_free(&check);
    return ok;
}

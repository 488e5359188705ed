#include "base/optimum.h"

#include <math.h>
#include <nlopt.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

enum { EVALUATIONS_MOST = 20000, SLOPED_MOST = 500 };

/* Every evaluation of every method passes here, so that the best one is kept however a method ends. */
typedef struct {
    foci_objective objective; /* or */
    foci_sloped_objective sloped;
    void *context;
    int most;
    double point_change, value_change; /* relative; smaller ones end a method */
    double *best;
    double least;
    int evaluations;
} search;

static double evaluate(unsigned count, const double *point, double *gradient, void *context) {
    search *s = context;
    double value = s->sloped ? s->sloped(point, gradient, count, s->context) : s->objective(point, count, s->context);
    s->evaluations++;
    if (value < s->least) {
        s->least = value;
        memcpy(s->best, point, count * sizeof *point);
    }
    return isfinite(value) ? value : 1e30; /* quadratic models cannot hold an infinity */
}

/* One method from the best point so far; false only where memory failed: other ends (rounding) are no failures. */
static bool run_method(nlopt_algorithm method, search *s, double *point, size_t count, const double *lower,
                       const double *upper) {
    int left = s->most - s->evaluations;
    if (left <= 0)
        return true;
    nlopt_opt opt = nlopt_create(method, (unsigned)count);
    if (!opt)
        return false;
    double value = 0;
    memcpy(point, s->best, count * sizeof *point);
    bool ready = nlopt_set_min_objective(opt, evaluate, s) > 0 && nlopt_set_lower_bounds(opt, lower) > 0 &&
                 nlopt_set_upper_bounds(opt, upper) > 0 && nlopt_set_xtol_rel(opt, s->point_change) > 0 &&
                 nlopt_set_ftol_rel(opt, s->value_change) > 0 && nlopt_set_maxeval(opt, left) > 0;
    nlopt_result ended = ready ? nlopt_optimize(opt, point, &value) : NLOPT_OUT_OF_MEMORY;
    nlopt_destroy(opt);
    return ended != NLOPT_OUT_OF_MEMORY;
}

/* Round after round of all methods, each from the best so far, until a whole round gains nothing. */
static bool run_rounds(search *s, double *point, size_t count, const double *lower, const double *upper) {
    static const nlopt_algorithm methods[] = {NLOPT_LN_SBPLX, NLOPT_LN_BOBYQA, NLOPT_LN_NELDERMEAD},
                                 sloped[] = {NLOPT_LD_SLSQP};
    const nlopt_algorithm *method = s->sloped ? sloped : methods;
    size_t known = s->sloped ? 1 : sizeof methods / sizeof *methods;
    double before = INFINITY;
    do {
        before = s->least;
        for (size_t i = 0; i < known; i++)
            if (!run_method(method[i], s, point, count, lower, upper))
                return false;
    } while (s->evaluations < s->most && before - s->least > 10 * s->value_change * fabs(s->least));
    return true;
}

static bool minimise(search *s, double *point, size_t count, const double *lower, const double *upper, double *least,
                     foci_error *err) {
    double *trial = NULL;
    bool ok = false;
    s->best = foci_new_array(count, sizeof *s->best, err);
    if (!s->best)
        goto done;
    trial = foci_new_array(count, sizeof *trial, err);
    if (!trial)
        goto done;
    for (size_t i = 0; i < count; i++)
        s->best[i] = fmin(upper[i], fmax(lower[i], point[i]));
    if (!run_rounds(s, trial, count, lower, upper)) {
        foci_fail(err, FOCI_NO_MEMORY, NULL, 0, "not enough memory to search %zu parameters", count);
        goto done;
    }
    if (!isfinite(s->least)) {
        foci_fail(err, FOCI_NO_FIT, NULL, 0, "no parameters within the bounds give a finite value");
        goto done;
    }
    memcpy(point, s->best, count * sizeof *point);
    *least = s->least;
    ok = true;
done:
    free(s->best);
    free(trial);
    return ok;
}

bool foci_minimise(double *point, size_t count, const double *lower, const double *upper, foci_objective objective,
                   void *context, double *least, foci_error *err) {
    search s = {.objective = objective,
                .context = context,
                .least = INFINITY,
                .most = EVALUATIONS_MOST,
                .point_change = 1e-12,
                .value_change = 1e-14};
    return minimise(&s, point, count, lower, upper, least, err);
}

bool foci_minimise_sloped(double *point, size_t count, const double *lower, const double *upper,
                          foci_sloped_objective objective, void *context, double *least, foci_error *err) {
    search s = {.sloped = objective,
                .context = context,
                .least = INFINITY,
                .most = SLOPED_MOST,
                .point_change = 1e-9,
                .value_change = 1e-12};
    return minimise(&s, point, count, lower, upper, least, err);
}

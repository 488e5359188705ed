#include "estimate/fit/score_scale.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/optimum.h"

enum { EXPONENTS = 21, UNCHANGED = 15 };
#define EXPONENT_STEP 0.1

static double exponent(size_t column) {
    return FOCI_BOX_COX_LEAST + EXPONENT_STEP * (double)column;
}

/* Transformed readings into `values`; returns the sum of log slopes. */
static double transform(double *values, const foci_observations *stops, double lambda, double shift) {
    foci_box_cox scale = {.transformed = true, .lambda = lambda, .shift = shift};
    double slopes = 0;
    for (size_t i = 0; i < stops->count; i++) {
        values[i] = foci_box_cox_forward(&scale, stops->readings[i]);
        slopes += foci_box_cox_log_slope(&scale, stops->readings[i]);
    }
    return slopes;
}

/* One exponent at one point of the grid. */
typedef struct {
    double shift;
    foci_parameters at;
    double *column; /* of the likelihood; rewritten */
    const foci_likelihood *likelihood;
    foci_exact *work;
} problem;

static double loss_at(const double *lambda, size_t count, void *context) {
    const problem *p = context;
    foci_likelihood_value value;
    (void)count;
    double slopes = transform(p->column, p->likelihood->stops, *lambda, p->shift);
    foci_exact_likelihood(&value, p->work, p->likelihood, &p->at);
    return -(value.log + slopes);
}

/* Moves *lambda within a step to the best at grid point `point`; *best is the value there. */
static bool refine(double *lambda, double *best, const foci_observations *stops, double shift,
                   const foci_score_grid *grid, size_t point, foci_error *err) {
    foci_likelihood likelihood = {0};
    foci_exact work = {0};
    const foci_covariance_shape shape = foci_score_grid_shape(grid, point);
    double from = fmax(*lambda - EXPONENT_STEP, FOCI_BOX_COX_LEAST);
    double to = fmin(*lambda + EXPONENT_STEP, FOCI_BOX_COX_MOST), loss = 0;
    bool ok = false;
    double *column = foci_new_array(stops->count, sizeof *column, err);
    if (!column || !foci_likelihood_make(&likelihood, stops, column, 1, false, err) ||
        !foci_exact_make(&work, stops->count, stops->columns.count + 1, false, err))
        goto done;
    foci_exact_take(&work, stops);
    problem p = {shift, foci_covariance_shape_parameters(&shape, 1, 1), column, &likelihood, &work};
    if (!foci_minimise(lambda, 1, &from, &to, loss_at, &p, &loss, err))
        goto done;
    *best = -loss;
    ok = true;
done:
    free(column);
    foci_exact_free(&work);
    return ok;
}

/* The best value of each exponent over the grid, and where it is. */
static void take_best(double *best, size_t *where, const foci_likelihood_value *values, const double *slopes,
                      size_t points) {
    for (size_t c = 0; c < EXPONENTS; c++) {
        best[c] = -INFINITY;
        where[c] = 0;
        for (size_t i = 0; i < points; i++) {
            double value = values[i * EXPONENTS + c].log + slopes[c];
            if (value > best[c]) {
                best[c] = value;
                where[c] = i;
            }
        }
    }
}

bool foci_scale_choose(foci_scale_choice *out, const foci_observations *stops, const foci_score_grid *grid,
                       const foci_execution *how, foci_error *err) {
    size_t n = stops->count, points = foci_levels_points(&grid->levels), where[EXPONENTS], top = 0;
    double slopes[EXPONENTS], best[EXPONENTS], shift = 0, reached = 0;
    foci_likelihood likelihood = {0};
    foci_likelihood_value *values = NULL;
    double *columns = NULL;
    bool ok = false;
    if (!foci_box_cox_shift(&shift, stops->readings, n, err))
        return false;
    columns = foci_new_array(n, EXPONENTS * sizeof *columns, err);
    if (!columns)
        goto done;
    for (size_t c = 0; c < EXPONENTS; c++)
        slopes[c] = transform(columns + c * n, stops, exponent(c), shift);
    values = foci_new_array(points, EXPONENTS * sizeof *values, err);
    if (!values || !foci_likelihood_make(&likelihood, stops, columns, EXPONENTS, false, err) ||
        !foci_score_grid_run(values, grid, &likelihood, how, err))
        goto done;
    take_best(best, where, values, slopes, points);
    for (size_t c = 1; c < EXPONENTS; c++)
        if (best[c] > best[top])
            top = c;
    double lambda = exponent(top);
    if (!refine(&lambda, &reached, stops, shift, grid, where[top], err))
        goto done;
    *out = (foci_scale_choice){lambda, fmax(reached, best[top]) - best[UNCHANGED]};
    ok = true;
done:
    free(columns);
    free(values);
    return ok;
}

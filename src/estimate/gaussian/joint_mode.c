#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/gaussian/joint.h"

#define LAST_STEP 1e-9
#define LEAST_SHARE_OF_STEP 1e-4

enum { STEPS_MOST = 100 };

void foci_joint_mode_free(foci_joint_mode *mode) {
    free(mode->field);
    *mode = (foci_joint_mode){0};
}

/* Column of season s -> its rows of every season scaled. */
static void scale_rows(double *column, const foci_joint_mode *mode, const foci_joint_data *data, size_t season) {
    for (size_t s = 0; s < data->seasons; s++) {
        double scale = foci_joint_between(&mode->parameters, mode->rho, s, season);
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++)
            column[i] *= scale;
    }
}

typedef struct {
    const foci_joint_data *data;
    foci_joint_mode *mode;
    double *covariance; /* owned, as the room */
    double *room, *slope, *pull, *field, *right;
} newton;

static bool open_newton(newton *work, foci_error *err) {
    const foci_joint_data *data = work->data;
    size_t n = data->count;
    work->covariance = foci_new_array(n, n * sizeof *work->covariance, err);
    if (!work->covariance)
        return false;
    work->room = foci_new_array(n, 4 * sizeof *work->room, err);
    if (!work->room)
        return false;
    work->slope = work->room;
    work->pull = work->slope + n;
    work->field = work->pull + n;
    work->right = work->field + n;
    for (size_t s = 0; s < data->seasons; s++)
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++) {
            double *column = work->covariance + i * n;
            foci_joint_correlate(column, data->along, data->across, n, (foci_point){data->along[i], data->across[i]},
                                 &work->mode->parameters);
            scale_rows(column, work->mode, data, s);
        }
    return true;
}

static double objective(const newton *work, const double *pull, const double *field) {
    const foci_joint_data *data = work->data;
    const foci_joint_parameters *p = &work->mode->parameters;
    double sum = 0;
    for (size_t s = 0; s < data->seasons; s++)
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++)
            sum += foci_joint_term_at(data, p, s, i, p->mean[s] + field[i]).value - 0.5 * pull[i] * field[i];
    return sum;
}

/* Slopes, weights and factor at the field. */
static bool look(newton *work, foci_error *err) {
    const foci_joint_data *data = work->data;
    foci_joint_mode *mode = work->mode;
    size_t n = data->count;
    for (size_t s = 0; s < data->seasons; s++)
        for (size_t i = data->first[s]; i < data->first[s + 1]; i++) {
            foci_joint_term term =
                foci_joint_term_at(data, &mode->parameters, s, i, mode->parameters.mean[s] + mode->field[i]);
            work->slope[i] = term.slope;
            mode->root[i] = sqrt(term.weight);
        }
    for (size_t j = 0; j < n; j++) {
        for (size_t i = j; i < n; i++)
            mode->factor[j * n + i] = mode->root[i] * mode->root[j] * work->covariance[j * n + i];
        mode->factor[j * n + j] += 1;
    }
    return foci_linear_factor(mode->factor, n, err);
}

/* One step, halved while the objective falls. Returns the largest change of the field. */
static double step(newton *work, double *reached) {
    foci_joint_mode *mode = work->mode;
    size_t n = work->data->count;
    for (size_t i = 0; i < n; i++)
        work->pull[i] = mode->root[i] * mode->root[i] * mode->field[i] + work->slope[i];
    foci_linear_transposed_product(work->covariance, work->pull, n, n, 1, work->right);
    for (size_t i = 0; i < n; i++)
        work->right[i] *= mode->root[i];
    foci_linear_solve_lower(mode->factor, n, work->right, 1);
    foci_linear_solve_upper(mode->factor, n, work->right, 1);
    for (size_t i = 0; i < n; i++)
        work->pull[i] -= mode->root[i] * work->right[i];
    foci_linear_transposed_product(work->covariance, work->pull, n, n, 1, work->field);
    double found = objective(work, work->pull, work->field), change = 0;
    for (double share = 1; found < *reached - 1e-10 && share > LEAST_SHARE_OF_STEP; share /= 2) {
        for (size_t i = 0; i < n; i++) {
            work->pull[i] = 0.5 * (work->pull[i] + mode->pull[i]);
            work->field[i] = 0.5 * (work->field[i] + mode->field[i]);
        }
        found = objective(work, work->pull, work->field);
    }
    for (size_t i = 0; i < n; i++)
        change = fmax(change, fabs(work->field[i] - mode->field[i]));
    memcpy(mode->pull, work->pull, n * sizeof *mode->pull);
    memcpy(mode->field, work->field, n * sizeof *mode->field);
    *reached = found;
    return change;
}

/* Scores have the same weights everywhere: one step is the answer, from wherever it starts. */
static bool climb(newton *work, foci_error *err) {
    foci_joint_mode *mode = work->mode;
    double reached = -INFINITY, change = INFINITY; /* the start's pull is not known: the first step is whole */
    for (int steps = 0; steps < STEPS_MOST && change > LAST_STEP; steps++) {
        if (!look(work, err))
            return false;
        change = step(work, &reached);
        if (work->data->scores)
            change = isfinite(reached) ? 0 : NAN;
    }
    if (!(change <= LAST_STEP))
        return foci_fail(err, FOCI_NO_FIT, NULL, 0, "the seasons' readings found no stable estimate; check them");
    if (!work->data->scores && !look(work, err))
        return false;
    mode->log_likelihood = reached;
    for (size_t i = 0; i < work->data->count; i++)
        mode->log_likelihood -= log(mode->factor[i * work->data->count + i]);
    return true;
}

bool foci_joint_mode_make(foci_joint_mode *out, const foci_joint_data *data, const foci_joint_parameters *parameters,
                          double rho, const double *start, foci_error *err) {
    size_t n = data->count;
    foci_joint_mode mode = {.parameters = *parameters, .rho = rho};
    newton work = {.data = data, .mode = &mode};
    bool ok = false;
    mode.field = foci_new_array(n, (n + 3) * sizeof *mode.field, err);
    if (!mode.field)
        goto done;
    mode.pull = mode.field + n;
    mode.root = mode.pull + n;
    mode.factor = mode.root + n;
    if (start)
        memcpy(mode.field, start, n * sizeof *start);
    if (!open_newton(&work, err) || !climb(&work, err))
        goto done;
    *out = mode;
    mode = (foci_joint_mode){0};
    ok = true;
done:
    foci_joint_mode_free(&mode);
    free(work.covariance);
    free(work.room);
    return ok;
}

/* Columns of covariances with all stops, and the means that they give. */
static void fill_columns(const foci_joint_mode *mode, const foci_joint_data *data, const double *correlation,
                         size_t count, double *mean, double *root) {
    size_t n = data->count, seasons = data->seasons;
    for (size_t k = 0; k < count; k++)
        for (size_t s = 0; s < seasons; s++) {
            double *column = root + (k * seasons + s) * n;
            memcpy(column, correlation + k * n, n * sizeof *column);
            scale_rows(column, mode, data, s);
        }
    foci_linear_transposed_product(root, mode->pull, n, count * seasons, 1, mean);
    for (size_t k = 0; k < count * seasons; k++)
        mean[k] += mode->parameters.mean[k % seasons];
}

void foci_joint_mode_predict(const foci_joint_mode *mode, const foci_joint_data *data, const double *correlation,
                             size_t count, double *mean, double *covariance, double *root) {
    size_t n = data->count, seasons = data->seasons;
    fill_columns(mode, data, correlation, count, mean, root);
    for (size_t k = 0; k < count * seasons; k++)
        for (size_t i = 0; i < n; i++)
            root[k * n + i] *= mode->root[i];
    foci_linear_solve_lower(mode->factor, n, root, count * seasons);
    for (size_t k = 0; k < count; k++) {
        double *c = covariance + k * seasons * seasons, *columns = root + k * seasons * n;
        foci_linear_transposed_product(columns, columns, n, seasons, seasons, c);
        for (size_t s = 0; s < seasons; s++)
            for (size_t u = 0; u < seasons; u++)
                c[s * seasons + u] = foci_joint_between(&mode->parameters, mode->rho, s, u) - c[s * seasons + u];
    }
}

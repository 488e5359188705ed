#include "estimate/gaussian/kriging_system.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"
#include "estimate/gaussian/fast_exp.h"

foci_kriging_plane foci_kriging_plane_make(const foci_variogram *model, const foci_readings *readings) {
    return (foci_kriging_plane){foci_frame_make(readings->places, readings->count, model->heading), model->ratio};
}

void foci_kriging_plane_place(const foci_kriging_plane *plane, foci_point place, double *u, double *v) {
    const foci_point turned = foci_frame_place(&plane->frame, place);
    *u = turned.x;
    *v = turned.y / plane->ratio;
}

void foci_kriging_covariances(double *distances, size_t count, const foci_variogram *model) {
    foci_correlation_fill(model->kind, distances, distances, count, 1 / model->range, model->smoothness);
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        distances[i] *= model->partial_sill;
}

bool foci_kriging_system_make(foci_kriging_system *out, size_t room, foci_error *err) {
    foci_kriging_system system = {.room = room};
    bool ok = false;
    system.u = foci_new_array(room, sizeof *system.u, err);
    if (!system.u)
        goto done;
    system.v = foci_new_array(room, sizeof *system.v, err);
    if (!system.v)
        goto done;
    system.values = foci_new_array(room, sizeof *system.values, err);
    if (!system.values)
        goto done;
    system.error = foci_new_array(room, sizeof *system.error, err);
    if (!system.error)
        goto done;
    system.factor = foci_new_array(room, room * sizeof *system.factor, err);
    if (!system.factor)
        goto done;
    system.drift = foci_new_array(room, FOCI_KRIGING_FUNCTIONS * sizeof *system.drift, err);
    if (!system.drift)
        goto done;
    system.residual = foci_new_array(room, sizeof *system.residual, err);
    if (!system.residual)
        goto done;
    *out = system;
    system = (foci_kriging_system){0};
    ok = true;
done:
    foci_kriging_system_free(&system);
    return ok;
}

void foci_kriging_system_free(foci_kriging_system *system) {
    free(system->u);
    free(system->v);
    free(system->values);
    free(system->error);
    free(system->factor);
    free(system->drift);
    free(system->residual);
    *system = (foci_kriging_system){0};
}

static bool fail_singular(foci_error *err) {
    return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                     "the kriging equations have no stable solution under this variogram; give the model a nugget, or "
                     "pool stops that lie close together");
}

/* Distances from (u, v) to the stops `from` and later. */
FOCI_WIDE_VECTORS static void fill_distances(double *distances, const foci_kriging_system *s, size_t from, double u,
                                             double v) {
    const double *su = s->u, *sv = s->v;
#pragma omp simd
    for (size_t i = from; i < s->count; i++) {
        double du = su[i] - u, dv = sv[i] - v;
        distances[i - from] = sqrt(du * du + dv * dv);
    }
}

void foci_kriging_system_share(double *covariance, const foci_kriging_system *s, size_t columns) {
    size_t n = s->count;
    for (size_t j = 0; j < columns && s->earlier > 0; j++)
        for (size_t i = n - s->earlier; i < n; i++)
            covariance[i + j * n] *= s->shared;
}

static void fill_covariance(foci_kriging_system *s, const foci_variogram *model) {
    for (size_t j = 0; j < s->count; j++) {
        double *column = s->factor + j * s->count + j; /* from the diagonal down */
        fill_distances(column, s, j, s->u[j], s->v[j]);
        foci_kriging_covariances(column, s->count - j, model);
        column[0] += model->nugget + s->error[j];
    }
    foci_kriging_system_share(s->factor, s, s->count - s->earlier);
}

size_t foci_kriging_system_functions(const foci_kriging_system *s) {
    return (s->earlier > 0 ? 2 : 1) * foci_drift_count(s->order);
}

void foci_kriging_system_functions_at(double *functions, const foci_kriging_system *s, foci_point place) {
    foci_drift_at(&s->frame, place, functions);
    for (size_t k = foci_drift_count(s->order); k < foci_kriging_system_functions(s); k++)
        functions[k] = 0;
}

/* The functions of one season at its stops `from` to `end`, in their rows of the columns at `drift`. Order 0 needs no
 * frame, and no look at how the stops lie. */
static bool fill_season(double *drift, foci_drift *frame, const foci_kriging_system *s, size_t from, size_t end,
                        foci_error *err) {
    size_t n = s->count, own = end - from, p = foci_drift_count(s->order);
    *frame = (foci_drift){.order = s->order, .scale = 1};
    for (size_t i = from; i < end; i++)
        drift[i] = 1;
    if (s->order == 0)
        return true;
    double *functions = foci_new_array(own, p * sizeof *functions, err);
    foci_point *places = functions ? foci_new_array(own, sizeof *places, err) : NULL;
    bool ok = false;
    if (!places)
        goto done;
    for (size_t i = 0; i < own; i++)
        places[i] = (foci_point){s->u[from + i], s->v[from + i]};
    *frame = foci_drift_make(s->order, places, own);
    if (!foci_drift_fill(functions, NULL, frame, places, own, err))
        goto done;
    for (size_t k = 0; k < p; k++)
        memcpy(drift + k * n + from, functions + k * own, own * sizeof *drift);
    ok = true;
done:
    free(functions);
    free(places);
    return ok;
}

static bool fill_drift(foci_kriging_system *s, foci_error *err) {
    size_t own = s->count - s->earlier, p = foci_drift_count(s->order);
    foci_drift frame; /* of the earlier season: no place is asked for there */
    if (s->earlier > 0)
        memset(s->drift, 0, s->count * 2 * p * sizeof *s->drift);
    return fill_season(s->drift, &s->frame, s, 0, own, err) &&
           (s->earlier == 0 || fill_season(s->drift + s->count * p, &frame, s, own, s->count, err));
}

bool foci_kriging_system_solve(foci_kriging_system *s, const foci_variogram *model, foci_error *err) {
    size_t n = s->count, p = foci_kriging_system_functions(s);
    foci_error singular = {0};
    if (!fill_drift(s, err))
        return false;
    fill_covariance(s, model);
    if (!foci_linear_factor(s->factor, n, &singular))
        return fail_singular(err);
    foci_linear_solve_lower(s->factor, n, s->drift, p); /* W = L^-1 F */
    memcpy(s->residual, s->values, n * sizeof *s->residual);
    foci_linear_solve_lower(s->factor, n, s->residual, 1);                    /* y = L^-1 z */
    foci_linear_transposed_product(s->drift, s->drift, n, p, p, s->normal);   /* W'W = F' C^-1 F */
    foci_linear_transposed_product(s->drift, s->residual, n, p, 1, s->trend); /* W'y = F' C^-1 z */
    if (!foci_linear_factor(s->normal, p, &singular))
        return fail_singular(err);
    foci_linear_solve_lower(s->normal, p, s->trend, 1);
    foci_linear_solve_upper(s->normal, p, s->trend, 1); /* trend */
    for (size_t k = 0; k < p; k++)
        for (size_t i = 0; i < n; i++)
            s->residual[i] -= s->drift[i + k * n] * s->trend[k]; /* y - W trend */
    foci_linear_solve_upper(s->factor, n, s->residual, 1);       /* C^-1 (z - F trend) */
    return true;
}

FOCI_WIDE_VECTORS static double dot(const double *a, const double *b, size_t count) {
    double sum = 0;
#pragma omp simd reduction(+ : sum)
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

/* C(0) - k' C^-1 k + (f - F' C^-1 k)' (F' C^-1 F)^-1 (f - F' C^-1 k), one column of L^-1 k. Rounding may leave a little
 * below 0; more than that means the matrix was near singular. */
static bool variance_of(double *variance, const foci_kriging_system *s, const double *column, foci_point place,
                        double at_zero, foci_error *err) {
    size_t p = foci_kriging_system_functions(s);
    double functions[FOCI_KRIGING_FUNCTIONS], missing[FOCI_KRIGING_FUNCTIONS];
    foci_kriging_system_functions_at(functions, s, place);
    foci_linear_transposed_product(s->drift, column, s->count, p, 1, missing);
    for (size_t k = 0; k < p; k++)
        missing[k] = functions[k] - missing[k];
    foci_linear_solve_lower(s->normal, p, missing, 1);
    double found = at_zero - dot(column, column, s->count) + dot(missing, missing, p);
    if (!(found >= -1e-9 * at_zero))
        return fail_singular(err);
    *variance = found > 0 ? found : 0;
    return true;
}

/* The stop of the season in question that lies on this place, or count. */
static size_t stop_on(const foci_kriging_system *s, double u, double v) {
    size_t i = 0, own = s->count - s->earlier;
    while (i < own && (s->u[i] != u || s->v[i] != v))
        i++;
    return i < own ? i : s->count;
}

bool foci_kriging_system_at(double *estimate, double *variance, const foci_kriging_system *s,
                            const foci_variogram *model, const double *u, const double *v, size_t count, double *work,
                            foci_error *err) {
    size_t n = s->count, p = foci_kriging_system_functions(s);
    for (size_t j = 0; j < count; j++)
        fill_distances(work + j * n, s, 0, u[j], v[j]);
    foci_kriging_covariances(work, n * count, model);
    foci_kriging_system_share(work, s, count);
    for (size_t j = 0; j < count; j++) {
        double functions[FOCI_KRIGING_FUNCTIONS];
        foci_kriging_system_functions_at(functions, s, (foci_point){u[j], v[j]});
        estimate[j] = dot(functions, s->trend, p) + dot(work + j * n, s->residual, n);
    }
    if (variance) {
        foci_linear_solve_lower(s->factor, n, work, count);
        for (size_t j = 0; j < count; j++)
            if (!variance_of(&variance[j], s, work + j * n, (foci_point){u[j], v[j]},
                             model->nugget + model->partial_sill, err))
                return false;
    }
    for (size_t j = 0; j < count; j++) {
        size_t stop = stop_on(s, u[j], v[j]);
        if (stop == n || s->error[stop] > 0)
            continue;
        estimate[j] = s->values[stop]; /* the nugget is a jump: on a stop nothing is unknown */
        if (variance)
            variance[j] = 0;
    }
    return true;
}

/* With Q = C^-1 - C^-1 F (F' C^-1 F)^-1 F' C^-1: error_i = (Q z)_i / Q_ii and variance_i = 1 / Q_ii; Q z is the
 * residual. */
bool foci_kriging_system_left_out(double *estimate, double *variance, foci_kriging_system *s, foci_error *err) {
    size_t n = s->count, p = foci_kriging_system_functions(s);
    foci_error singular = {0};
    foci_linear_solve_upper(s->factor, n, s->drift, p); /* C^-1 F */
    if (!foci_linear_inverse(s->factor, n, &singular))
        return fail_singular(err);
    for (size_t i = 0; i < n; i++) {
        double row[FOCI_KRIGING_FUNCTIONS];
        for (size_t k = 0; k < p; k++)
            row[k] = s->drift[i + k * n];
        foci_linear_solve_lower(s->normal, p, row, 1);
        double q = s->factor[i + i * n] - dot(row, row, p);
        if (!(q > 0))
            return fail_singular(err);
        estimate[i] = s->values[i] - s->residual[i] / q;
        if (variance)
            variance[i] = 1 / q;
    }
    return true;
}

#include "estimate/gaussian/conditional.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/linear.h"
#include "base/memory.h"

/* The inverse errs like the solve up to here and beyond; it is not tried further than that was measured. */
#define MOST_CONDITION 1e7

/* Of the prior variance: more below 0 than rounding leaves. */
#define LEAST_VARIANCE (-1e-9)

bool foci_conditional_make(foci_conditional *out, size_t stops, size_t flat, foci_error *err) {
    double *reach = foci_new_array(stops, (stops + flat + 2) * sizeof *reach, err);
    if (!reach)
        return false;
    *out = (foci_conditional){.room = stops, .reach = reach, .root = reach + stops * stops};
    out->pull = out->root + stops;
    return true;
}

void foci_conditional_free(foci_conditional *given) {
    free(given->reach);
    *given = (foci_conditional){0};
}

static bool fail_singular(foci_error *err) {
    return foci_fail(err, FOCI_NO_FIT, NULL, 0,
                     "the kriging equations have no stable solution under this variogram; give the model a nugget, or "
                     "pool stops that lie close together");
}

/* rows x columns, each row times its number. */
static void scale_rows(double *matrix, const double *scale, size_t rows, size_t columns) {
    for (size_t j = 0; j < columns; j++) {
        double *column = matrix + j * rows;
#pragma omp simd
        for (size_t i = 0; i < rows; i++)
            column[i] *= scale[i];
    }
}

/* N, and Q in its place beside alpha: with W = A F, N N' = W'W and Q = A' W N^-T. Solved with L itself. */
static bool fill_flat(foci_conditional *given, const foci_conditional_parts *parts, foci_error *err) {
    const size_t n = given->count, p = given->flat;
    double *q = given->pull + n;
    foci_error singular = {0};
    foci_linear_transposed_product(parts->columns, parts->columns, n, p, p, given->normal);
    if (!foci_linear_factor(given->normal, p, &singular))
        return fail_singular(err);
    memcpy(q, parts->columns, n * p * sizeof *q);
    for (size_t k = 0; k < p; k++) { /* W <- W N^-T, column after column */
        double *column = q + k * n;
        for (size_t j = 0; j < k; j++)
            for (size_t i = 0; i < n; i++)
                column[i] -= q[i + j * n] * given->normal[k + j * p];
        for (size_t i = 0; i < n; i++)
            column[i] /= given->normal[k + k * p];
    }
    foci_linear_solve_upper(parts->factor, n, q, p);
    if (parts->root)
        scale_rows(q, parts->root, n, p);
    memcpy(given->trend, parts->trend, p * sizeof *given->trend);
    return true;
}

bool foci_conditional_fill(foci_conditional *given, const foci_conditional_parts *parts, bool few, foci_error *err) {
    const size_t n = parts->count;
    double condition = INFINITY;
    given->count = n;
    given->flat = parts->flat;
    memcpy(given->pull, parts->alpha, n * sizeof *given->pull);
    if (parts->flat > 0 && !fill_flat(given, parts, err))
        return false;
    memcpy(given->reach, parts->factor, n * n * sizeof *given->reach);
    if (!few && !foci_linear_lower_inverse(given->reach, n, MOST_CONDITION, &condition, err))
        return false;
    given->inverse = condition <= MOST_CONDITION;
    for (size_t i = 0; i < n; i++)
        given->root[i] = parts->root ? parts->root[i] : 1;
    for (size_t j = 0; j < n && given->inverse && parts->root; j++)
        for (size_t i = j; i < n; i++)
            given->reach[i + j * n] *= parts->root[j];
    return true;
}

void foci_conditional_reach(const foci_conditional *given, double *k, size_t columns) {
    if (given->inverse) {
        foci_linear_lower_product(given->reach, given->count, k, columns);
        return;
    }
    scale_rows(k, given->root, given->count, columns);
    foci_linear_solve_lower(given->reach, given->count, k, columns);
}

/* Means, A k in place of k, and in `missing` (flat x places) N^-1 f - Q'k; `pulled` has (1 + flat) x places numbers. */
static void pull(double *mean, double *missing, const foci_conditional *given, double *k, const double *f,
                 size_t places, double *pulled) {
    const size_t p = given->flat, rows = 1 + p;
    foci_linear_transposed_product(given->pull, k, given->count, rows, places, pulled);
    foci_conditional_reach(given, k, places);
    for (size_t j = 0; j < places; j++) {
        mean[j] = pulled[j * rows];
        for (size_t c = 0; c < p; c++) {
            missing[c + j * p] = f[j + c * places];
            mean[j] += f[j + c * places] * given->trend[c];
        }
    }
    foci_linear_solve_lower(given->normal, p, missing, places);
    for (size_t j = 0; j < places; j++)
        for (size_t c = 0; c < p; c++)
            missing[c + j * p] -= pulled[1 + c + j * rows];
}

bool foci_conditional_moments(double *mean, double *variance, const foci_conditional *given, double *k, const double *f,
                              size_t places, double *room, foci_error *err) {
    const size_t n = given->count, p = given->flat;
    double *missing = room + (1 + p) * places;
    pull(mean, missing, given, k, f, places, room);
    for (size_t j = 0; variance && j < places; j++) {
        const double found = variance[j] - foci_linear_dot(k + j * n, k + j * n, n) +
                             foci_linear_dot(missing + j * p, missing + j * p, p);
        if (!(found >= LEAST_VARIANCE * variance[j]))
            return fail_singular(err);
        variance[j] = fmax(found, 0);
    }
    return true;
}

bool foci_conditional_joint(double *mean, double *covariance, const foci_conditional *given, double *k, const double *f,
                            size_t places, foci_error *err) {
    const size_t n = given->count, p = given->flat, all = places * places;
    double *room = foci_new_array(places, (places + 1 + 2 * p) * sizeof *room, err);
    if (!room)
        return false;
    double *missing = room + all, *pulled = missing + p * places;
    pull(mean, missing, given, k, f, places, pulled);
    foci_linear_transposed_product(k, k, n, places, places, room);
    for (size_t i = 0; i < all; i++)
        covariance[i] -= room[i];
    foci_linear_transposed_product(missing, missing, p, places, places, room);
    for (size_t i = 0; i < all && p > 0; i++)
        covariance[i] += room[i];
    free(room);
    return true;
}

bool foci_conditional_room_make(foci_conditional_room *out, size_t stops, size_t columns, size_t places,
                                foci_error *err) {
    foci_conditional_room room = {.block =
                                      foci_new_array(places, (3 * stops + 1 + 2 * columns) * sizeof *room.block, err)};
    if (!room.block)
        return false;
    room.with.distance = room.block;
    room.with.correlation = room.with.distance + stops * places;
    room.k = room.with.correlation + stops * places;
    room.rest = room.k + stops * places;
    *out = room;
    return true;
}

void foci_conditional_room_free(foci_conditional_room *room) {
    free(room->block);
    *room = (foci_conditional_room){0};
}

bool foci_conditional_at(double *mean, double *variance, const foci_conditional *given, const foci_observations *stops,
                         const foci_parameters *at, const foci_targets *places, foci_conditional_room *room,
                         foci_error *err) {
    foci_covariance_with(room->k, stops, at, places, &room->with);
    for (size_t i = 0; variance && i < places->count; i++)
        variance[i] = foci_covariance_prior(&stops->columns, at, places, i);
    if (!foci_conditional_moments(mean, variance, given, room->k, places->f, places->count, room->rest, err))
        return false;
    for (size_t i = 0; i < places->count; i++)
        mean[i] += foci_covariance_offset(&stops->columns, at, places, i);
    return true;
}

bool foci_conditional_covariance(double *mean, double *covariance, const foci_conditional *given,
                                 const foci_observations *stops, const foci_parameters *at, const foci_targets *places,
                                 foci_error *err) {
    foci_conditional_room room = {0};
    if (!foci_conditional_room_make(&room, stops->count, stops->columns.count, places->count, err))
        return false;
    foci_covariance_with(room.k, stops, at, places, &room.with);
    foci_covariance_places(covariance, &stops->columns, at, places);
    bool ok = foci_conditional_joint(mean, covariance, given, room.k, places->f, places->count, err);
    for (size_t i = 0; ok && i < places->count; i++)
        mean[i] += foci_covariance_offset(&stops->columns, at, places, i);
    foci_conditional_room_free(&room);
    return ok;
}

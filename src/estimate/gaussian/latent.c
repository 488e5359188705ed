#include "estimate/gaussian/latent.h"

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"

enum { MATRICES = 5, NAMED_VECTORS = 9, SCRATCH = 8 };

bool foci_latent_make(foci_latent *out, size_t room, foci_error *err) {
    foci_latent work = {0};
    work.block = foci_new_array(room, (MATRICES * room + NAMED_VECTORS + SCRATCH) * sizeof *work.block, err);
    if (!work.block)
        return false;
    double **matrices[MATRICES] = {&work.room.distance, &work.room.correlation, &work.covariance, &work.factor,
                                   &work.inverse};
    double **vectors[NAMED_VECTORS] = {&work.offset, &work.detail,   &work.field, &work.pull,  &work.weight,
                                       &work.root,   &work.gradient, &work.alpha, &work.spread};
    double *next = work.block;
    for (size_t i = 0; i < MATRICES; i++, next += room * room)
        *matrices[i] = next;
    for (size_t i = 0; i < NAMED_VECTORS; i++, next += room)
        *vectors[i] = next;
    for (size_t i = 0; i < SCRATCH; i++, next += room)
        work.scratch[i] = next;
    *out = work;
    return true;
}

void foci_latent_free(foci_latent *work) {
    free(work->block);
    *work = (foci_latent){0};
}

foci_latent *foci_latents_make(size_t threads, size_t room, foci_error *err) {
    foci_latent *works = foci_new_array(threads, sizeof *works, err);
    for (size_t t = 0; works && t < threads; t++)
        if (!foci_latent_make(&works[t], room, err)) {
            foci_latents_free(works, threads);
            return NULL;
        }
    return works;
}

void foci_latents_free(foci_latent *works, size_t threads) {
    for (size_t t = 0; works && t < threads; t++)
        foci_latent_free(&works[t]);
    free(works);
}

void foci_latent_take(foci_latent *work, const foci_observations *stops) {
    work->stops = stops;
    work->at = work->room.held = (foci_parameters){0};
}

void foci_latent_at(foci_latent *work, const foci_parameters *at) {
    const foci_observations *stops = work->stops;
    foci_covariance_at(work->covariance, stops, at, &work->room);
    for (size_t s = 0; s < stops->seasons; s++)
        for (size_t i = stops->first[s]; i < stops->first[s + 1]; i++) {
            work->offset[i] = at->mean[s] + foci_columns_offset(&stops->columns, stops->f, stops->rows, i);
            work->detail[i] =
                stops->response->counts ? stops->checked[i] : at->noise[s] * at->noise[s] + stops->error[i];
        }
    work->at = *at;
}

bool foci_latent_factor(foci_latent *work, foci_error *err) {
    size_t n = work->stops->count;
    const double *root = work->root;
    for (size_t j = 0; j < n; j++) {
        double *column = work->factor + j * n;
        const double *covariance = work->covariance + j * n;
#pragma omp simd
        for (size_t i = j; i < n; i++)
            column[i] = root[i] * covariance[i] * root[j];
        column[j] += 1;
    }
    return foci_linear_factor(work->factor, n, err);
}

void foci_latent_reduce(const foci_latent *work, double *out, const double *x) {
    size_t n = work->stops->count;
    for (size_t i = 0; i < n; i++)
        out[i] = x[i] / work->root[i];
    foci_linear_solve_lower(work->factor, n, out, 1);
    foci_linear_solve_upper(work->factor, n, out, 1);
    for (size_t i = 0; i < n; i++)
        out[i] *= work->root[i];
}

#include "estimate/gaussian/covariance.h"

#include <math.h>

#include "estimate/gaussian/fast_exp.h"

size_t foci_targets_room(const foci_observations *stops, size_t count) {
    return count * (2 + stops->columns.count);
}

foci_targets foci_targets_fill(double *room, const foci_observations *stops, const foci_point *places, size_t count,
                               size_t season) {
    double *along = room, *across = along + count, *f = across + count;
    foci_frame_turn(&stops->frame, places, count, along, across);
    foci_columns_fill(f, count, &stops->columns, season, along, across, count);
    return (foci_targets){count, along, across, season, f};
}

bool foci_parameters_same_distances(const foci_parameters *one, const foci_parameters *other) {
    return one->stretch == other->stretch;
}

bool foci_parameters_same_correlations(const foci_parameters *one, const foci_parameters *other) {
    return foci_parameters_same_distances(one, other) && one->family.row == other->family.row &&
           one->family.smoothness == other->family.smoothness && one->range == other->range;
}

FOCI_WIDE_VECTORS void foci_covariance_distances(double *out, const double *along, const double *across, size_t count,
                                                 double stretch, double from_along, double from_across) {
#pragma omp simd
    for (size_t i = 0; i < count; i++) {
        double du = along[i] - from_along, dv = stretch * (across[i] - from_across);
        out[i] = sqrt(du * du + dv * dv);
    }
}

void foci_covariance_correlate(double *out, const double *distance, size_t count, const foci_parameters *at) {
    const foci_correlation_family *family = &at->family;
    foci_correlation_fill(family->row, out, distance, count, family->practical / at->range, family->smoothness);
}

double foci_covariance_between(const foci_parameters *at, size_t season, size_t other) {
    return at->sigma[season] * at->sigma[other] * (season == other ? 1 : at->rho);
}

static void scale(double *k, const double *correlation, size_t count, double times) {
#pragma omp simd
    for (size_t i = 0; i < count; i++)
        k[i] = times * correlation[i];
}

/* A place in its season, its columns of the mean `stride` apart. */
typedef struct {
    size_t season, stride;
    const double *f;
} place;

/* Adds the folded columns' part of the covariances of one season's stops with a place. */
static void fold(double *restrict k, const foci_observations *stops, size_t season, place with) {
    const size_t from = stops->first[season], end = stops->first[season + 1];
    for (size_t c = 0; c < stops->columns.count; c++) {
        const foci_column *column = &stops->columns.column[c];
        if (!foci_column_folds(column, season) || !foci_column_folds(column, with.season))
            continue;
        const double *f = stops->f + c * stops->rows, times = column->variance * with.f[c * with.stride];
#pragma omp simd
        for (size_t i = from; i < end; i++)
            k[i] += times * f[i];
    }
}

/* From the correlations of one place with all stops. */
static void fill_column(double *k, const double *correlation, const foci_observations *stops, const foci_parameters *at,
                        place with) {
    for (size_t s = 0; s < stops->seasons; s++) {
        const size_t from = stops->first[s];
        scale(k + from, correlation + from, foci_observations_in(stops, s),
              foci_covariance_between(at, s, with.season));
        fold(k, stops, s, with);
    }
}

static void correlate(foci_covariance_room *room, const foci_observations *stops, const foci_parameters *at,
                      const double *along, const double *across, size_t count) {
    const size_t n = stops->count;
    if (!foci_parameters_same_distances(&room->held, at))
        for (size_t j = 0; j < count; j++)
            foci_covariance_distances(room->distance + j * n, stops->along, stops->across, n, at->stretch, along[j],
                                      across[j]);
    if (!foci_parameters_same_correlations(&room->held, at))
        foci_covariance_correlate(room->correlation, room->distance, n * count, at);
    room->held = *at;
}

void foci_covariance_with(double *k, const foci_observations *stops, const foci_parameters *at,
                          const foci_targets *places, foci_covariance_room *room) {
    const size_t n = stops->count;
    correlate(room, stops, at, places->along, places->across, places->count);
    for (size_t j = 0; j < places->count; j++)
        fill_column(k + j * n, room->correlation + j * n, stops, at,
                    (place){places->season, places->count, places->f + j});
}

void foci_covariance_at(double *k, const foci_observations *stops, const foci_parameters *at,
                        foci_covariance_room *room) {
    const size_t n = stops->count;
    correlate(room, stops, at, stops->along, stops->across, n);
    for (size_t s = 0; s < stops->seasons; s++)
        for (size_t j = stops->first[s]; j < stops->first[s + 1]; j++) {
            fill_column(k + j * n, room->correlation + j * n, stops, at, (place){s, stops->rows, stops->f + j});
            k[j + j * n] += at->tau * at->tau;
        }
}

void foci_covariance_places(double *covariance, const foci_columns *columns, const foci_parameters *at,
                            const foci_targets *places) {
    const size_t m = places->count, season = places->season;
    for (size_t j = 0; j < m; j++) {
        double *column = covariance + j * m;
        foci_covariance_distances(column, places->along, places->across, m, at->stretch, places->along[j],
                                  places->across[j]);
        foci_covariance_correlate(column, column, m, at);
        scale(column, column, m, foci_covariance_between(at, season, season));
        for (size_t c = 0; c < columns->count; c++)
            for (size_t i = 0; foci_column_folds(&columns->column[c], season) && i < m; i++)
                column[i] += columns->column[c].variance * places->f[j + c * m] * places->f[i + c * m];
    }
}

double foci_covariance_offset(const foci_columns *columns, const foci_parameters *at, const foci_targets *places,
                              size_t i) {
    return at->mean[places->season] + foci_columns_offset(columns, places->f, places->count, i);
}

double foci_covariance_prior(const foci_columns *columns, const foci_parameters *at, const foci_targets *places,
                             size_t i) {
    return foci_covariance_between(at, places->season, places->season) +
           foci_columns_variance(columns, places->f, places->count, i);
}

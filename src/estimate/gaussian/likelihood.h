/* How likely the readings are under a Gaussian field: trend and overall sill taken out in closed form, the shape of the
 * covariance asked for.
 *
 *   z = F b + e,   e ~ N(0, sill R),   R = (1 - share) correlation + share I,   share = nugget / sill
 *   S^2 = (z - F b)' R^-1 (z - F b) at the generalised least squares b
 *   likelihood            -1/2 [n log(2 pi S^2 / n) + n + log|R|]
 *   restricted likelihood -1/2 [(n - p) log(2 pi S^2 / (n - p)) + (n - p) + log|R| + log|F' R^-1 F| - log|F'F|]
 *
 * Patterson & Thompson 1971, Biometrika 58:545-554; Harville 1974, Biometrika 61:383-385, whose log|F'F| makes the
 * value independent of how the trend is written down; Mardia & Marshall 1984, Biometrika 71:135-146. */
#ifndef FOCI_ESTIMATE_LIKELIHOOD_H
#define FOCI_ESTIMATE_LIKELIHOOD_H

#include "base/parallel.h"
#include "estimate/gaussian/drift.h"
#include "fieldfoci/variogram.h"

/* Readings, once or in several columns (for example one per transformation), at the same stops. */
typedef struct {
    size_t count, columns;
    int order; /* of the trend */
    bool restricted;
    foci_point *places;     /* owned */
    double *right;          /* count x (functions of the trend + columns), owned */
    double *spread;         /* per column: sum of squares about the mean; owned */
    double log_determinant; /* of F'F */
    size_t functions;       /* of the trend, or of both seasons' trends */
    size_t earlier;         /* the last so many readings are of an earlier season ... */
    double shared;          /* ... whose correlation with those of the other is this times that within a season */
} foci_likelihood;

/* `values` count x columns. FOCI_BAD_INPUT where there are not two stops more than functions in the trend, or the trend
 * cannot be told. */
bool foci_likelihood_make(foci_likelihood *out, const foci_point *places, const double *values, size_t count,
                          size_t columns, int order, bool restricted, foci_error *err) FOCI_MUST_CHECK;
void foci_likelihood_free(foci_likelihood *likelihood);

/* Readings of two seasons, one column each, with a trend each; those of the earlier one times `scale`, so that one sill
 * serves both. `shared` is 0. */
bool foci_likelihood_join(foci_likelihood *out, const foci_likelihood *own, const foci_likelihood *earlier,
                          double scale, foci_error *err) FOCI_MUST_CHECK;

/* What one thread works in. */
typedef struct {
    double *correlation, *factor; /* count x count, lower triangles */
    double *right;
} foci_likelihood_work;

bool foci_likelihood_work_make(foci_likelihood_work *out, const foci_likelihood *likelihood,
                               foci_error *err) FOCI_MUST_CHECK;
void foci_likelihood_work_free(foci_likelihood_work *work);

/* One for each of `threads`; freed by foci_likelihood_works_free. NULL where memory fails. */
foci_likelihood_work *foci_likelihood_works_make(size_t threads, const foci_likelihood *likelihood,
                                                 foci_error *err) FOCI_MUST_CHECK;
void foci_likelihood_works_free(foci_likelihood_work *works, size_t threads);

/* Fills the correlations for kind, smoothness, range, heading and ratio of `shape`; its sills do not matter. */
void foci_likelihood_correlate(foci_likelihood_work *work, const foci_likelihood *likelihood,
                               const foci_variogram *shape);

typedef struct {
    double log;  /* -infinity where R is singular */
    double sill; /* S^2 / n, restricted S^2 / (n - p) */
} foci_likelihood_value;

/* One value per column at the correlations that stand in `work`; 0 <= nugget_share <= 1. Readings that the trend fits
 * exactly count as if a hundred-millionth of their deviation were left. */
void foci_likelihood_at(foci_likelihood_value *values, const foci_likelihood *likelihood, foci_likelihood_work *work,
                        double nugget_share);

#endif

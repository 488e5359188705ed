/* The columns F of the mean: intercepts and drift, of one season or of all. The coefficient of column k is normal with
 * mean m and variance V before any reading. A column with finite V is folded into the covariance, its mean into the
 * offset; a flat one (V = infinity) is taken out by generalised least squares. docs/gaussian.md. */
#ifndef FOCI_ESTIMATE_COLUMNS_H
#define FOCI_ESTIMATE_COLUMNS_H

#include "fieldfoci/geometry.h"

enum {
    FOCI_SEASONS_TOGETHER = 12, /* at most so many are read together */
    FOCI_COLUMNS_MOST = 12,     /* a drift of order 2 has 6 in each of two seasons */
    FOCI_EVERY_SEASON = -1,
    FOCI_NO_SEASON = -2
};

/* ((along - centre) / scale)^power times the same across, in its season; 0 in the others. */
typedef struct {
    double mean, variance; /* of the coefficient; INFINITY: flat */
    int season;            /* or FOCI_EVERY_SEASON, FOCI_NO_SEASON */
    int along, across;     /* powers */
} foci_column;

typedef struct {
    size_t count;
    foci_column column[FOCI_COLUMNS_MOST];
    foci_point centre; /* x along, y across */
    double scale;      /* metres, > 0 */
} foci_columns;

/* An intercept of its own for each season. */
foci_columns foci_columns_intercepts(size_t seasons, double mean, double variance);

/* Whether the column has a say in this season; and is folded. */
bool foci_column_is_of(const foci_column *column, size_t season);
bool foci_column_folds(const foci_column *column, size_t season);

/* The columns at `count` places of one season: place i in row i of columns of `rows` numbers. */
void foci_columns_fill(double *f, size_t rows, const foci_columns *columns, size_t season, const double *along,
                       const double *across, size_t count);

/* The folded columns' part of the mean and of the variance at the place in row `row` of F. */
double foci_columns_offset(const foci_columns *columns, const double *f, size_t rows, size_t row);
double foci_columns_variance(const foci_columns *columns, const double *f, size_t rows, size_t row);

#endif

/* The columns F of the mean: intercepts and drift, of one season or of all. The coefficient of column k is normal with
 * mean m and variance V before any reading. A column with finite V is folded into the covariance, its mean into the
 * offset; a flat one (V = infinity) is taken out by generalised least squares. docs/gaussian.md. */
#ifndef FOCI_ESTIMATE_COLUMNS_H
#define FOCI_ESTIMATE_COLUMNS_H

#include "fieldfoci/error.h"
#include "fieldfoci/geometry.h"

enum {
    FOCI_DRIFT_ORDER_MOST = 2,  /* a polynomial along and across */
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

/* Flat ones stand before folded ones. */
typedef struct {
    size_t count;
    foci_column column[FOCI_COLUMNS_MOST];
    foci_point centre; /* x along, y across */
    double scale;      /* metres, > 0; 0: centre and scale are those of the stops, set when they are made */
} foci_columns;

/* An intercept of its own for each season. */
foci_columns foci_columns_intercepts(size_t seasons, double mean, double variance);

/* A drift of each season by itself, flat: 1; along, across; their squares and product. Its order is 0, 1 or 2. */
foci_columns foci_columns_drift(int order, size_t seasons);

/* How many are flat, and the order of their drift. */
size_t foci_columns_flat(const foci_columns *columns);
int foci_columns_order(const foci_columns *columns);

/* Centre and scale so that all places lie within 1 of 0. */
void foci_columns_settle(foci_columns *columns, const double *along, const double *across, size_t count);

/* Whether the column has a say in this season; and is folded. */
bool foci_column_is_of(const foci_column *column, size_t season);
bool foci_column_folds(const foci_column *column, size_t season);

/* The columns at `count` places of one season: place i in row i of columns of `rows` numbers. */
void foci_columns_fill(double *f, size_t rows, const foci_columns *columns, size_t season, const double *along,
                       const double *across, size_t count);

/* The folded columns' part of the mean and of the variance at the place in row `row` of F. */
double foci_columns_offset(const foci_columns *columns, const double *f, size_t rows, size_t row);
double foci_columns_variance(const foci_columns *columns, const double *f, size_t rows, size_t row);

/* log|F'F| of the flat columns, F of `count` rows. FOCI_BAD_INPUT where the places cannot tell the columns apart: too
 * few, or all on one line (order 1) or one conic (order 2). */
bool foci_columns_determinant(double *log_determinant, const foci_columns *columns, const double *f, size_t count,
                              foci_error *err) FOCI_MUST_CHECK;

/* Takes the flat columns by ordinary least squares from `values`, in place. FOCI_BAD_INPUT as above. */
bool foci_columns_remove(double *values, const foci_columns *columns, const double *f, size_t count,
                         foci_error *err) FOCI_MUST_CHECK;

#endif

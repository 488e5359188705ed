#include "estimate/gaussian/columns.h"

#include <math.h>

foci_columns foci_columns_intercepts(size_t seasons, double mean, double variance) {
    foci_columns columns = {.count = seasons, .scale = 1};
    for (size_t s = 0; s < seasons; s++)
        columns.column[s] = (foci_column){.mean = mean, .variance = variance, .season = (int)s};
    return columns;
}

bool foci_column_is_of(const foci_column *column, size_t season) {
    return column->season == FOCI_EVERY_SEASON || column->season == (int)season;
}

bool foci_column_folds(const foci_column *column, size_t season) {
    return isfinite(column->variance) && foci_column_is_of(column, season);
}

static double power(double x, int exponent) {
    double product = 1;
    for (int i = 0; i < exponent; i++)
        product *= x;
    return product;
}

void foci_columns_fill(double *f, size_t rows, const foci_columns *columns, size_t season, const double *along,
                       const double *across, size_t count) {
    const foci_point centre = columns->centre;
    for (size_t k = 0; k < columns->count; k++) {
        const foci_column *column = &columns->column[k];
        const bool own = foci_column_is_of(column, season);
        for (size_t i = 0; i < count; i++)
            f[i + k * rows] = own ? power((along[i] - centre.x) / columns->scale, column->along) *
                                        power((across[i] - centre.y) / columns->scale, column->across)
                                  : 0;
    }
}

double foci_columns_offset(const foci_columns *columns, const double *f, size_t rows, size_t row) {
    double sum = 0;
    for (size_t k = 0; k < columns->count; k++)
        if (isfinite(columns->column[k].variance))
            sum += columns->column[k].mean * f[row + k * rows];
    return sum;
}

double foci_columns_variance(const foci_columns *columns, const double *f, size_t rows, size_t row) {
    double sum = 0;
    for (size_t k = 0; k < columns->count; k++)
        if (isfinite(columns->column[k].variance))
            sum += columns->column[k].variance * f[row + k * rows] * f[row + k * rows];
    return sum;
}

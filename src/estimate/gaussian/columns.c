#include "estimate/gaussian/columns.h"

#include <math.h>

#include "base/linear.h"

/* Pivots of F'F below this share of its largest are rounding: places on a line leave about 1e-16. */
#define LEAST_PIVOT 1e-10

foci_columns foci_columns_intercepts(size_t seasons, double mean, double variance) {
    foci_columns columns = {.count = seasons, .scale = 1};
    for (size_t s = 0; s < seasons; s++)
        columns.column[s] = (foci_column){.mean = mean, .variance = variance, .season = (int)s};
    return columns;
}

foci_columns foci_columns_drift(int order, size_t seasons) {
    static const struct { int along, across; } power[] = {{0, 0}, {1, 0}, {0, 1}, {2, 0}, {1, 1}, {0, 2}};
    foci_columns columns = {.scale = order > 0 ? 0 : 1};
    for (size_t s = 0; s < seasons; s++)
        for (size_t k = 0; k < (size_t)(order + 1) * (size_t)(order + 2) / 2; k++)
            columns.column[columns.count++] = (foci_column){
                .variance = INFINITY, .season = (int)s, .along = power[k].along, .across = power[k].across};
    return columns;
}

size_t foci_columns_flat(const foci_columns *columns) {
    size_t flat = 0;
    while (flat < columns->count && isinf(columns->column[flat].variance))
        flat++;
    return flat;
}

int foci_columns_order(const foci_columns *columns) {
    int order = 0;
    for (size_t k = 0; k < foci_columns_flat(columns); k++)
        order = columns->column[k].along > order ? columns->column[k].along : order;
    return order;
}

void foci_columns_settle(foci_columns *columns, const double *along, const double *across, size_t count) {
    foci_point centre = {0};
    double scale = 0;
    for (size_t i = 0; i < count; i++) {
        centre.x += along[i] / (double)count;
        centre.y += across[i] / (double)count;
    }
    for (size_t i = 0; i < count; i++)
        scale = fmax(scale, fmax(fabs(along[i] - centre.x), fabs(across[i] - centre.y)));
    columns->centre = centre;
    columns->scale = scale > 0 ? scale : 1; /* one place */
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

/* Cholesky factor of F'F of the flat columns, and the logarithm of its determinant. */
static bool factor_flat(double *normal, double *log_determinant, const foci_columns *columns, const double *f,
                        size_t count, foci_error *err) {
    const size_t p = foci_columns_flat(columns);
    foci_error singular = {0};
    double most = 0, least = INFINITY;
    foci_linear_transposed_product(f, f, count, p, p, normal);
    bool told = count >= p && foci_linear_factor(normal, p, &singular);
    *log_determinant = 0;
    for (size_t k = 0; k < p && told; k++) {
        double pivot = normal[k + k * p] * normal[k + k * p];
        most = fmax(most, pivot);
        least = fmin(least, pivot);
        *log_determinant += log(pivot);
    }
    told = told && least > LEAST_PIVOT * most;
    return told || foci_fail(err, FOCI_BAD_INPUT, NULL, 0,
                             "%zu stops as they lie cannot tell a trend of order %d; give a lower {trend}, or stops "
                             "spread over the field",
                             count, foci_columns_order(columns));
}

bool foci_columns_determinant(double *log_determinant, const foci_columns *columns, const double *f, size_t count,
                              foci_error *err) {
    double normal[FOCI_COLUMNS_MOST * FOCI_COLUMNS_MOST];
    return factor_flat(normal, log_determinant, columns, f, count, err);
}

bool foci_columns_remove(double *values, const foci_columns *columns, const double *f, size_t count, foci_error *err) {
    const size_t p = foci_columns_flat(columns);
    double normal[FOCI_COLUMNS_MOST * FOCI_COLUMNS_MOST], trend[FOCI_COLUMNS_MOST], determinant = 0;
    if (!factor_flat(normal, &determinant, columns, f, count, err))
        return false;
    foci_linear_transposed_product(f, values, count, p, 1, trend);
    foci_linear_solve_lower(normal, p, trend, 1);
    foci_linear_solve_upper(normal, p, trend, 1);
    for (size_t k = 0; k < p; k++)
        for (size_t i = 0; i < count; i++)
            values[i] -= f[i + k * count] * trend[k];
    return true;
}

#include <math.h>
#include <stdlib.h>

#include "base/linear.h"
#include "base/memory.h"
#include "base/probability.h"
#include "fieldfoci/agreement.h"

#define CLASSES_MOST 1e6

static bool both_known(const double *first, const double *second, size_t i) {
    return !isnan(first[i]) && !isnan(second[i]);
}

double foci_map_correlation(const double *first, const double *second, size_t count) {
    double n = 0, mean[2] = {0, 0}, low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++)
        if (both_known(first, second, i)) {
            const double pair[] = {first[i], second[i]};
            n++;
            for (int z = 0; z < 2; z++) {
                mean[z] += (pair[z] - mean[z]) / n;
                low[z] = fmin(low[z], pair[z]);
                high[z] = fmax(high[z], pair[z]);
            }
        }
    if (!(high[0] > low[0]) || !(high[1] > low[1]))
        return NAN;
    double products = 0, squares[2] = {0, 0};
    for (size_t i = 0; i < count; i++)
        if (both_known(first, second, i)) {
            double a = first[i] - mean[0], b = second[i] - mean[1];
            products += a * b;
            squares[0] += a * a;
            squares[1] += b * b;
        }
    return products / sqrt(squares[0] * squares[1]);
}

static foci_modified_t judge(double correlation, double effective) {
    foci_modified_t m = {correlation, effective, NAN, NAN, NAN, NAN};
    double left = 1 - correlation * correlation;
    if (!(effective > 3) || isnan(correlation))
        return m;
    m.degrees = effective - 2;
    m.t = left > 0 ? correlation * sqrt(m.degrees / left) : copysign(INFINITY, correlation);
    m.above = foci_student_above(m.t, m.degrees);
    m.both = 2 * foci_student_above(fabs(m.t), m.degrees);
    return m;
}

static double mean_of(const double *values, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += values[i];
    return sum / (double)count;
}

typedef struct {
    const foci_point *places;
    size_t count, classes;
    double width;
    double *pairs, *covariance[2]; /* per class; class 0 is a place with itself */
    double *row_sum[2];            /* of the matrix of autocovariances */
} classical;

static double distance(const classical *c, size_t i, size_t j) {
    return hypot(c->places[i].x - c->places[j].x, c->places[i].y - c->places[j].y);
}

static size_t class_of(const classical *c, size_t i, size_t j) {
    if (i == j)
        return 0;
    size_t class = (size_t)ceil(distance(c, i, j) / c->width);
    return class > 0 ? class : 1; /* two at one place are still two */
}

static void fill_covariances(classical *c, const double *const values[2]) {
    const double mean[2] = {mean_of(values[0], c->count), mean_of(values[1], c->count)};
    for (size_t i = 0; i < c->count; i++)
        for (size_t j = 0; j <= i; j++) {
            size_t class = class_of(c, i, j);
            c->pairs[class]++;
            for (int z = 0; z < 2; z++)
                c->covariance[z][class] += (values[z][i] - mean[z]) * (values[z][j] - mean[z]);
        }
    for (size_t k = 0; k < c->classes; k++)
        for (int z = 0; z < 2; z++)
            if (c->pairs[k] > 0)
                c->covariance[z][k] /= c->pairs[k];
}

/* 1 + tr(P Sx) tr(P Sy) / tr(P Sx P Sy), P = I - 11'/n: row sums and the sum of products are all it takes. */
static double effective_size(classical *c) {
    double n = (double)c->count, products = 0, rows = 0, total[2] = {0, 0};
    for (size_t i = 0; i < c->count; i++) {
        for (size_t j = 0; j < c->count; j++) {
            size_t class = class_of(c, i, j);
            products += c->covariance[0][class] * c->covariance[1][class];
            c->row_sum[0][i] += c->covariance[0][class];
            c->row_sum[1][i] += c->covariance[1][class];
        }
        rows += c->row_sum[0][i] * c->row_sum[1][i];
        total[0] += c->row_sum[0][i];
        total[1] += c->row_sum[1][i];
    }
    double shared = products - 2 * rows / n + total[0] * total[1] / (n * n);
    double first = n * c->covariance[0][0] - total[0] / n, second = n * c->covariance[1][0] - total[1] / n;
    return shared > 0 ? 1 + first * second / shared : NAN;
}

static bool count_classes(classical *c, foci_error *err) {
    if (c->count < 3)
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "a correlation of maps needs three places or more, not %zu",
                         c->count);
    double largest = 0;
    for (size_t i = 0; i < c->count; i++)
        for (size_t j = 0; j < i; j++)
            largest = fmax(largest, distance(c, i, j));
    if (!(c->width > 0) || !(largest / c->width < CLASSES_MOST))
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0,
                         "distance classes of %g m do not suit places %g m apart; give a wider class", c->width,
                         largest);
    c->classes = (size_t)ceil(largest / c->width) + 2;
    return true;
}

bool foci_modified_t_classical(foci_modified_t *out, const foci_point *places, const double *first,
                               const double *second, size_t count, double width, foci_error *err) {
    classical c = {.places = places, .count = count, .width = width};
    if (!count_classes(&c, err))
        return false;
    double *room = foci_new_array(3 * c.classes + 2 * count, sizeof *room, err);
    if (!room)
        return false;
    c.pairs = room;
    c.covariance[0] = c.pairs + c.classes;
    c.covariance[1] = c.covariance[0] + c.classes;
    c.row_sum[0] = c.covariance[1] + c.classes;
    c.row_sum[1] = c.row_sum[0] + count;
    fill_covariances(&c, (const double *const[]){first, second});
    *out = judge(foci_map_correlation(first, second, count), effective_size(&c));
    free(room);
    return true;
}

/* The transpose of the root, its rows centred over the cells: cells x rows. */
static double *centred(const foci_predicted_map *map, size_t cells, foci_error *err) {
    double *out = foci_new_array(cells * map->rows, sizeof *out, err);
    if (!out)
        return NULL;
    for (size_t row = 0; row < map->rows; row++) {
        double *column = out + row * cells;
        for (size_t cell = 0; cell < cells; cell++)
            column[cell] = map->root[cell * map->rows + row];
        double mean = mean_of(column, cells);
        for (size_t cell = 0; cell < cells; cell++)
            column[cell] -= mean;
    }
    return out;
}

static double squares_of(const double *values, size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += values[i] * values[i];
    return sum;
}

bool foci_modified_t_model(foci_modified_t *out, const foci_predicted_map *first, const foci_predicted_map *second,
                           size_t cells, foci_error *err) {
    double *a = centred(first, cells, err), *b = NULL, *product = NULL;
    bool ok = false;
    if (!a)
        goto done;
    b = centred(second, cells, err);
    if (!b)
        goto done;
    product = foci_new_array(first->rows * second->rows, sizeof *product, err);
    if (!product)
        goto done;
    foci_linear_transposed_product(a, b, cells, first->rows, second->rows, product);
    double shared = squares_of(product, first->rows * second->rows);
    double traces = squares_of(a, cells * first->rows) * squares_of(b, cells * second->rows);
    *out = judge(foci_map_correlation(first->values, second->values, cells), shared > 0 ? 1 + traces / shared : NAN);
    ok = true;
done:
    free(a);
    free(b);
    free(product);
    return ok;
}

#include "decide/pattern/evenness.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/memory.h"
#include "estimate/space/neighbours.h"

enum { ORIGINS = 10 }; /* in each direction */

typedef struct {
    int64_t column, row;
    size_t stop;
} cell_of_stop;

static int by_cell(const void *a, const void *b) {
    const cell_of_stop *p = a, *q = b;
    if (p->column != q->column)
        return p->column < q->column ? -1 : 1;
    if (p->row != q->row)
        return p->row < q->row ? -1 : 1;
    return (p->stop > q->stop) - (p->stop < q->stop);
}

static bool share_cell(const cell_of_stop *a, const cell_of_stop *b) {
    return a->column == b->column && a->row == b->row;
}

static foci_box box_of(const foci_point *places, size_t count) {
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < count; i++) {
        box.west = fmin(box.west, places[i].x);
        box.south = fmin(box.south, places[i].y);
        box.east = fmax(box.east, places[i].x);
        box.north = fmax(box.north, places[i].y);
    }
    return box;
}

static bool find_side(double *side, const foci_point *places, size_t count, const foci_box *box, foci_error *err) {
    double area = 0, n = (double)count;
    *side = NAN;
    if (count < 2)
        return true;
    if (!foci_convex_hull_area(&area, places, count, err))
        return false;
    double found = fmax(sqrt(area) / (sqrt(n) - 1), hypot(box->east - box->west, box->north - box->south) / (n - 1));
    if (found > 0)
        *side = found;
    return true;
}

/* One origin: adds each stop's weight to what it has. */
static void add_weights(double *weights, cell_of_stop *cells, size_t count) {
    size_t occupied = 0;
    qsort(cells, count, sizeof *cells, by_cell);
    for (size_t i = 0; i < count; i++)
        occupied += i == 0 || !share_cell(&cells[i], &cells[i - 1]);
    for (size_t i = 0, end = 0; i < count; i = end) {
        for (end = i + 1; end < count && share_cell(&cells[end], &cells[i]);)
            end++;
        for (size_t k = i; k < end; k++)
            weights[cells[k].stop] += 1 / ((double)occupied * (double)(end - i) * ORIGINS * ORIGINS);
    }
}

bool foci_decluster(double *weights, double *side, const foci_point *places, size_t count, foci_error *err) {
    foci_box box = box_of(places, count);
    cell_of_stop *cells = foci_new_array(count, sizeof *cells, err);
    bool ok = cells && find_side(side, places, count, &box, err);
    for (size_t i = 0; ok && i < count; i++)
        weights[i] = isnan(*side) ? 1 / (double)count : 0;
    for (int origin = 0; ok && !isnan(*side) && origin < ORIGINS * ORIGINS; origin++) {
        int row = origin / ORIGINS;
        double x = (origin % ORIGINS + 0.5) / ORIGINS, y = (row + 0.5) / ORIGINS;
        for (size_t i = 0; i < count; i++)
            cells[i] = (cell_of_stop){(int64_t)floor((places[i].x - box.west) / *side + x),
                                      (int64_t)floor((places[i].y - box.south) / *side + y), i};
        add_weights(weights, cells, count);
    }
    free(cells);
    return ok;
}

bool foci_stop_density(double *density, bool *even, const foci_point *places, size_t count, foci_error *err) {
    double least = INFINITY, most = 0;
    foci_neighbours *index = NULL;
    *even = true;
    for (size_t i = 0; i < count; i++)
        density[i] = NAN;
    if (count < 3)
        return true;
    if (!foci_neighbours_open(&index, places, count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        size_t found[2] = {0};
        double distance = 0;
        foci_neighbours_find(index, places[i], 2, i, found);
        for (int k = 0; k < 2; k++)
            distance += hypot(places[found[k]].x - places[i].x, places[found[k]].y - places[i].y) / 2;
        distance = fmax(distance, 0.1);
        least = fmin(least, distance);
        most = fmax(most, distance);
        density[i] = -log(distance);
    }
    *even = most - least <= 0.05 * most;
    foci_neighbours_close(index);
    return true;
}

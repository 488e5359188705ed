#include "decide/zones/patches.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

/* ---- labels: union-find inside `label` itself, a cell's entry being an earlier cell of its patch, or its own index
 * ---- */

static int first_cell(int *label, int cell) {
    while (label[cell] != cell) {
        label[cell] = label[label[cell]];
        cell = label[cell];
    }
    return cell;
}

static void join_cells(int *label, int a, int b) {
    a = first_cell(label, a);
    b = first_cell(label, b);
    if (a < b)
        label[b] = a;
    else
        label[a] = b;
}

bool foci_patches_label(int *label, size_t *count, const signed char *class_of_cell, const foci_grid *grid,
                        foci_error *err) {
    if (grid->rows > 0 && grid->columns > INT_MAX / grid->rows)
        return foci_fail(err, FOCI_BAD_SETTING, NULL, 0, "too many cells to number; choose a larger cell");
    const int columns = (int)grid->columns, cells = columns * (int)grid->rows;
    for (int i = 0, column = 0; i < cells; i++) {
        label[i] = class_of_cell[i] < 0 ? -1 : i;
        if (label[i] >= 0 && column > 0 && class_of_cell[i - 1] == class_of_cell[i])
            join_cells(label, i - 1, i);
        if (label[i] >= 0 && i >= columns && class_of_cell[i - columns] == class_of_cell[i])
            join_cells(label, i - columns, i);
        column = column + 1 < columns ? column + 1 : 0;
    }
    /* An entry points to an earlier cell, which has its final number by the time it is asked for. */
    int found = 0;
    for (int i = 0; i < cells; i++)
        if (label[i] >= 0)
            label[i] = label[i] == i ? found++ : label[label[i]];
    *count = (size_t)found;
    return true;
}

/* ---- outlines: walks along cell sides with the patch on the left ---- */

typedef enum { EAST, NORTH, WEST, SOUTH } heading;

static const struct {
    int x, y; /* steps in columns and rows (rows count southwards) */
} step_of[] = {[EAST] = {1, 0}, [NORTH] = {0, -1}, [WEST] = {-1, 0}, [SOUTH] = {0, 1}};

/* The cell ahead on the left of a corner, relative to the cell south-east of that corner; the one on the right is that
 * of the next heading clockwise. */
static const struct {
    int x, y;
} left_of[] = {[EAST] = {0, -1}, [NORTH] = {-1, -1}, [WEST] = {-1, 0}, [SOUTH] = {0, 0}};

typedef struct {
    const int *label;
    const foci_grid *grid;
    unsigned char *walked; /* per cell: its north side is on a ring already */
} tracer;

static bool is_inside(const tracer *t, int wanted, long column, long row) {
    if (column < 0 || row < 0 || column >= (long)t->grid->columns || row >= (long)t->grid->rows)
        return false;
    return t->label[(size_t)row * t->grid->columns + (size_t)column] == wanted;
}

/* Where two cells of a patch touch only at this corner the walk turns right, to the other cell: the two gaps at the
 * corner are then on different rings (the patch is joined elsewhere, so it separates them), and no ring meets itself.
 */
static heading next_heading(const tracer *t, int wanted, long column, long row, heading ahead) {
    heading right = (heading)((ahead + 3) % 4);
    if (is_inside(t, wanted, column + left_of[right].x, row + left_of[right].y))
        return right;
    if (is_inside(t, wanted, column + left_of[ahead].x, row + left_of[ahead].y))
        return ahead;
    return (heading)((ahead + 1) % 4);
}

/* The ring that runs along the north side of cell (column, row), westwards, starting at its north-east corner. */
static bool trace_ring(foci_ring *out, tracer *t, long column, long row, foci_error *err) {
    const foci_grid *grid = t->grid;
    const int wanted = t->label[(size_t)row * grid->columns + (size_t)column];
    const long first_x = column + 1, first_y = row;
    foci_ring ring = {0};
    size_t capacity = 0;
    long x = first_x, y = first_y;
    heading ahead = WEST;
    do {
        if (!foci_grow_array((void **)&ring.points, &capacity, ring.count + 1, sizeof *ring.points, err)) {
            free(ring.points);
            return false;
        }
        ring.points[ring.count++] =
            (foci_point){grid->west + (double)x * grid->cell, grid->north - (double)y * grid->cell};
        if (ahead == WEST)
            t->walked[(size_t)y * grid->columns + (size_t)(x - 1)] = 1;
        x += step_of[ahead].x;
        y += step_of[ahead].y;
        ahead = next_heading(t, wanted, x, y, ahead);
    } while (x != first_x || y != first_y || ahead != WEST);
    *out = ring;
    return true;
}

/* A patch's first cell in reading order has its north side on the outer ring, so the outer ring comes first. */
static bool trace_patches(foci_multipolygon *shape, size_t *capacity, tracer *t, foci_error *err) {
    for (long row = 0; row < (long)t->grid->rows; row++) {
        for (long column = 0; column < (long)t->grid->columns; column++) {
            size_t cell = (size_t)row * t->grid->columns + (size_t)column;
            int wanted = t->label[cell];
            if (wanted < 0 || (size_t)wanted >= shape->count || t->walked[cell] ||
                is_inside(t, wanted, column, row - 1))
                continue;
            foci_polygon *polygon = &shape->polygons[wanted];
            if (!foci_grow_array((void **)&polygon->rings, &capacity[wanted], polygon->count + 1,
                                 sizeof *polygon->rings, err) ||
                !trace_ring(&polygon->rings[polygon->count], t, column, row, err))
                return false;
            polygon->count++;
        }
    }
    return true;
}

bool foci_patches_outlines(foci_multipolygon *out, const int *label, size_t count, const foci_grid *grid,
                           foci_error *err) {
    tracer t = {label, grid, NULL};
    foci_multipolygon shape = {0};
    size_t *capacity = NULL;
    bool ok = false;
    t.walked = foci_new_array(grid->columns * grid->rows, sizeof *t.walked, err);
    if (!t.walked)
        goto done;
    capacity = foci_new_array(count, sizeof *capacity, err);
    if (!capacity)
        goto done;
    shape.polygons = foci_new_array(count, sizeof *shape.polygons, err);
    if (!shape.polygons)
        goto done;
    shape.count = count;
    if (!trace_patches(&shape, capacity, &t, err))
        goto done;

    *out = shape;
    shape = (foci_multipolygon){0};
    ok = true;
done:
    free(t.walked);
    free(capacity);
    foci_multipolygon_free(&shape);
    return ok;
}

bool foci_patches_outline(foci_multipolygon *out, const int *label, int wanted, const foci_grid *grid,
                          foci_error *err) {
    const size_t cells = grid->columns * grid->rows;
    signed char *class_of_cell = NULL;
    int *part = NULL;
    size_t parts = 0;
    bool ok = false;
    class_of_cell = foci_new_array(cells, sizeof *class_of_cell, err);
    if (!class_of_cell)
        goto done;
    part = foci_new_array(cells, sizeof *part, err);
    if (!part)
        goto done;
    for (size_t i = 0; i < cells; i++)
        class_of_cell[i] = label[i] == wanted ? 0 : -1;
    ok = foci_patches_label(part, &parts, class_of_cell, grid, err) &&
         foci_patches_outlines(out, part, parts, grid, err);
done:
    free(class_of_cell);
    free(part);
    return ok;
}

/* ---- widening ---- */

/* Raises out[i] to the largest of value[i - reach ... i + reach]. `queue` holds columns whose values fall: a column is
 * dropped when a later one is as large. */
static void raise_row(double *out, const double *value, size_t columns, size_t reach, size_t *queue) {
    size_t first = 0, end = 0, next = 0;
    for (size_t i = 0; i < columns; i++) {
        for (; next < columns && next <= i + reach; next++) {
            while (end > first && value[queue[end - 1]] <= value[next])
                end--;
            queue[end++] = next;
        }
        while (queue[first] + reach < i)
            first++;
        out[i] = fmax(out[i], value[queue[first]]);
    }
}

/* Columns to either side that come within the radius, `rows` rows away; -1 for none. */
static double columns_within(double radius, double rows, double cell) {
    double across = fmax(0, rows - 0.5) * cell;
    return across > radius ? -1 : floor(sqrt(radius * radius - across * across) / cell + 0.5);
}

bool foci_patches_widen(double *out, const double *value, double radius, const foci_grid *grid, foci_error *err) {
    const size_t columns = grid->columns;
    size_t *queue = foci_new_array(columns, sizeof *queue, err);
    if (!queue)
        return false;
    for (size_t i = 0; i < columns * grid->rows; i++)
        out[i] = -INFINITY;
    for (size_t rows = 0; rows < grid->rows; rows++) {
        double most = columns_within(radius, (double)rows, grid->cell);
        if (most < 0)
            break;
        size_t reach = most < (double)columns ? (size_t)most : columns;
        for (size_t row = 0; row < grid->rows; row++) {
            if (row >= rows)
                raise_row(out + row * columns, value + (row - rows) * columns, columns, reach, queue);
            if (rows > 0 && row + rows < grid->rows)
                raise_row(out + row * columns, value + (row + rows) * columns, columns, reach, queue);
        }
    }
    free(queue);
    return true;
}

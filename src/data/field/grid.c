#include "fieldfoci/grid.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/room.h"

#define CHOSEN_MOST 250000.0  /* cells of a grid whose cell size is chosen here */
#define LEAST_SHARE 1e-9      /* less is rounding */
#define WORTH_SAYING 1e9      /* bytes */
#define SPACING_PER_CELL 15.0 /* cells between neighbouring stops */

/* The steps ..., 0.5, 1, 2, 5, 10, 20, ... with step 0 = 1. */
static double ladder_step(int index) {
    int decade = index >= 0 ? index / 3 : -((2 - index) / 3);
    int within = index - 3 * decade;
    double step = within == 0 ? 1 : within == 1 ? 2 : 5;
    return decade >= 0 ? step * pow(10, decade) : step / pow(10, -decade);
}

/* The largest step not above `size`. */
static int ladder_below(double size) {
    int index = 3 * (int)floor(log10(size)) - 3;
    while (ladder_step(index + 1) <= size * (1 + 1e-12))
        index++;
    return index;
}

typedef struct {
    double west, north, columns, rows; /* counts as numbers: they may be too large for a size_t */
} layout;

static layout layout_over(const foci_box *box, double cell) {
    layout l = {.west = floor(box->west / cell) * cell, .north = ceil(box->north / cell) * cell};
    l.columns = fmax(1, ceil((box->east - l.west) / cell - LEAST_SHARE));
    l.rows = fmax(1, ceil((l.north - box->south) / cell - LEAST_SHARE));
    return l;
}

static double cells_over(const foci_box *box, double cell) {
    layout l = layout_over(box, cell);
    return isfinite(l.west) && isfinite(l.north) ? l.columns * l.rows : INFINITY;
}

static double step_within(const foci_box *box, int index, double most) {
    while (cells_over(box, ladder_step(index)) > most)
        index++;
    return ladder_step(index);
}

static double choose_cell(const foci_box *box, double area, double spacing) {
    if (!(spacing > 0) || !isfinite(spacing))
        spacing = sqrt(area) / 10;
    return step_within(box, ladder_below(spacing / SPACING_PER_CELL), CHOSEN_MOST);
}

/* "4.7 GB" */
static void memory_words(char words[32], double bytes) {
    snprintf(words, 32, "%.3g %s", bytes / (bytes < 1e12 ? 1e9 : 1e12), bytes < 1e12 ? "GB" : "TB");
}

static bool too_many(const foci_box *box, double cell, double bytes, double room, foci_error *err) {
    char need[32], have[32];
    const double cells = cells_over(box, cell), most = fmax(fmin(FOCI_GRID_MOST, room / bytes), 1);
    memory_words(need, cells * bytes);
    memory_words(have, room);
    return foci_fail(err, FOCI_BAD_SETTING, "{cell}", 0,
                     "cells of %g m would be %.3g million over the field's box and take about %s of memory (%s are "
                     "free, and %g million cells are the most); cells of %g m would do",
                     cell, cells / 1e6, need, have, FOCI_GRID_MOST / 1e6, step_within(box, ladder_below(cell), most));
}

bool foci_grid_fits(const foci_multipolygon *field, double cell, double bytes, const foci_execution *how,
                    foci_error *err) {
    if (!(cell > 0) || !isfinite(cell))
        return foci_fail(err, FOCI_BAD_SETTING, "{cell}", 0, "%g is not a size for a cell; give meters above 0", cell);
    const foci_box box = foci_multipolygon_box(field);
    const double cells = cells_over(&box, cell), room = foci_memory_room();
    if (cells > FOCI_GRID_MOST || cells * bytes > room)
        return too_many(&box, cell, bytes, room, err);
    if (cells * bytes > WORTH_SAYING) {
        char need[32], text[160];
        memory_words(need, cells * bytes);
        snprintf(text, sizeof text, "cells of %g m are %.3g million over the field's box and take about %s of memory",
                 cell, cells / 1e6, need);
        foci_execution_say(how, text);
    }
    return true;
}

/* How the shares come about: every piece of an edge within one cell covers, to its east, a strip as high as the piece.
 * Going round a ring the strips cancel outside and add up to 1 inside, so the running sum along a row is each cell's
 * exact share, of concave rings and holes too. Columns count from the west, rows from the north, as real numbers. */
typedef struct {
    const foci_grid *grid;
    double sign; /* of this ring: its strips count as covered or, for a hole, as taken out */
} cover;

static double clamp(double value, double most) {
    return value < 0 ? 0 : value > most ? most : value;
}

static size_t index_within(double value, size_t count) {
    size_t index = (size_t)value;
    return index < count ? index : count - 1;
}

/* A piece within one cell: `height` is signed, `middle` is the column of its middle. */
static void add_piece(const cover *c, double *row, size_t column, double middle, double height) {
    double west_part = middle - (double)column;
    row[column] += c->sign * height * (1 - west_part);
    if (column + 1 < c->grid->columns)
        row[column + 1] += c->sign * height * west_part;
}

/* A piece within one row, from column x0 to x1, cut at the borders of the cells. */
static void add_strip(const cover *c, size_t row_index, double x0, double x1, double height) {
    double *row = &c->grid->share[row_index * c->grid->columns];
    double low = fmin(x0, x1), high = fmax(x0, x1);
    size_t first = index_within(low, c->grid->columns), last = index_within(high, c->grid->columns);
    if (first == last) {
        add_piece(c, row, first, (low + high) / 2, height);
        return;
    }
    for (size_t column = first; column <= last; column++) {
        double from = fmax(low, (double)column), to = column == last ? high : (double)column + 1;
        add_piece(c, row, column, (from + to) / 2, height * (to - from) / (high - low));
    }
}

/* One edge, cut at the borders of the rows. */
static void add_edge(const cover *c, foci_point a, foci_point b) {
    if (a.y == b.y)
        return;
    double sign = a.y < b.y ? 1 : -1;
    foci_point top = a.y < b.y ? a : b, bottom = a.y < b.y ? b : a;
    double slope = (bottom.x - top.x) / (bottom.y - top.y);
    size_t first = index_within(top.y, c->grid->rows), last = index_within(bottom.y, c->grid->rows);
    double x = top.x, y = top.y;
    double least = fmin(top.x, bottom.x), most = fmax(top.x, bottom.x);
    for (size_t row = first; row <= last; row++) {
        double y_next = row == last ? bottom.y : (double)row + 1;
        double x_next = row == last ? bottom.x : fmin(most, fmax(least, top.x + (y_next - top.y) * slope));
        add_strip(c, row, x, x_next, sign * (y_next - y));
        x = x_next;
        y = y_next;
    }
}

static foci_point in_cells(const foci_grid *grid, foci_point place) {
    return (foci_point){clamp((place.x - grid->west) / grid->cell, (double)grid->columns),
                        clamp((grid->north - place.y) / grid->cell, (double)grid->rows)};
}

/* Twice the signed area, in cells: positive where the ring runs clockwise as seen on a map. */
static double turning(const foci_grid *grid, const foci_ring *ring) {
    double twice = 0;
    foci_point o = in_cells(grid, ring->points[0]);
    for (size_t i = 1; i + 1 < ring->count; i++) {
        foci_point a = in_cells(grid, ring->points[i]), b = in_cells(grid, ring->points[i + 1]);
        twice += (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
    }
    return twice;
}

static void add_ring(const foci_grid *grid, const foci_ring *ring, bool outer) {
    if (ring->count < 3)
        return;
    /* South-going edges add strips: right for an outer ring that runs against the clock, else the sign is turned. */
    cover c = {grid, (turning(grid, ring) < 0) == outer ? 1 : -1};
    foci_point a = in_cells(grid, ring->points[ring->count - 1]);
    for (size_t i = 0; i < ring->count; i++) {
        foci_point b = in_cells(grid, ring->points[i]);
        add_edge(&c, a, b);
        a = b;
    }
}

/* From strips to shares; a place covered twice counts once. */
static size_t sum_rows(foci_grid *grid) {
    size_t cells = 0;
    for (size_t row = 0; row < grid->rows; row++) {
        double covered = 0;
        for (size_t i = row * grid->columns; i < (row + 1) * grid->columns; i++) {
            covered += grid->share[i];
            grid->share[i] = covered < LEAST_SHARE ? 0 : covered > 1 - LEAST_SHARE ? 1 : covered;
            cells += grid->share[i] > 0;
        }
    }
    return cells;
}

static bool fill_shares(foci_grid *grid, const foci_multipolygon *field, foci_error *err) {
    grid->share = foci_new_array(grid->columns * grid->rows, sizeof *grid->share, err);
    if (!grid->share)
        return false;
    for (size_t p = 0; p < field->count; p++)
        for (size_t r = 0; r < field->polygons[p].count; r++)
            add_ring(grid, &field->polygons[p].rings[r], r == 0);
    grid->cells = sum_rows(grid);
    return true;
}

bool foci_grid_over_field(foci_grid *out, const foci_multipolygon *field, double cell, double spacing,
                          foci_error *err) {
    double area = foci_multipolygon_area(field);
    if (!(area > 0) || !isfinite(area))
        return foci_fail(err, FOCI_BAD_INPUT, NULL, 0, "the field has no area; check its boundary");
    foci_box box = foci_multipolygon_box(field);
    if (cell == 0)
        cell = choose_cell(&box, area, spacing);
    else if (!foci_grid_fits(field, cell, FOCI_GRID_BYTES, NULL, err))
        return false;
    layout l = layout_over(&box, cell);
    foci_grid grid = {.west = l.west, .north = l.north, .cell = cell};
    grid.columns = (size_t)l.columns;
    grid.rows = (size_t)l.rows;
    if (!fill_shares(&grid, field, err))
        return false;
    if (grid.cells == 0) {
        foci_grid_free(&grid);
        return foci_fail(err, FOCI_BAD_SETTING, "{cell}", 0, "cells of %g m are too large for a field of %.3g ha", cell,
                         area / 1e4);
    }
    *out = grid;
    return true;
}

foci_point foci_grid_centre(const foci_grid *grid, size_t index) {
    size_t row = index / grid->columns, column = index % grid->columns;
    return (foci_point){grid->west + ((double)column + 0.5) * grid->cell,
                        grid->north - ((double)row + 0.5) * grid->cell};
}

size_t foci_grid_find(const foci_grid *grid, foci_point place) {
    double x = (place.x - grid->west) / grid->cell, y = (grid->north - place.y) / grid->cell;
    if (!(x >= 0 && x <= (double)grid->columns && y >= 0 && y <= (double)grid->rows))
        return (size_t)-1;
    return index_within(y, grid->rows) * grid->columns + index_within(x, grid->columns);
}

void foci_grid_free(foci_grid *grid) {
    free(grid->share);
    *grid = (foci_grid){0};
}

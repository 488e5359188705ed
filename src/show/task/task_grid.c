#include "show/task/task_grid.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/frame.h"
#include "base/memory.h"
#include "base/text.h"

void foci_task_degree(double latitude, double *north, double *east) {
    const double a = 6378137, e2 = 0.00669437999014;
    double sine = sin(latitude * FOCI_DEGREE), cosine = cos(latitude * FOCI_DEGREE);
    double w2 = 1 - e2 * sine * sine;
    *north = FOCI_DEGREE * a * (1 - e2) / (w2 * sqrt(w2)); /* of the meridian */
    *east = FOCI_DEGREE * a * cosine / sqrt(w2);           /* of the parallel */
}

/* ---- size and place ---- */

static void widen(foci_box *box, const foci_multipolygon *shape) {
    if (shape->count == 0)
        return;
    foci_box other = foci_multipolygon_box(shape);
    box->west = fmin(box->west, other.west);
    box->south = fmin(box->south, other.south);
    box->east = fmax(box->east, other.east);
    box->north = fmax(box->north, other.north);
}

/* As the file will hold it: 15 decimals of a degree, without an exponent. */
static double as_written(double degrees) {
    char text[32];
    snprintf(text, sizeof text, "%.15f", degrees);
    return foci_number_parse(text, &degrees) ? degrees : NAN;
}

/* The last cell is left off where no more than a thousandth of it would be needed: the grid keeps within its limit. */
static size_t count_cells(double extent, double step) {
    return (size_t)fmax(1, ceil(extent / step - 1e-3));
}

static bool size_cells(foci_task_grid *grid, const foci_box *box, foci_error *err) {
    double north = 0, east = 0;
    foci_task_degree((box->south + box->north) / 2, &north, &east);
    double width = (box->east - box->west) * east, height = (box->north - box->south) * north;
    grid->cell = fmax(FOCI_TASK_CELL_LEAST, fmax(width, height) / FOCI_TASK_GRID_MOST);
    if (!(grid->cell <= FOCI_TASK_CELL_MOST))
        return foci_fail(
            err, FOCI_BAD_INPUT, NULL, 0,
            "the field is %.0f by %.0f m: cells of a grid of %d by %d would pass %g m; use {layout} polygons", width,
            height, FOCI_TASK_GRID_MOST, FOCI_TASK_GRID_MOST, FOCI_TASK_CELL_MOST);
    grid->east_step = as_written(grid->cell / east);
    grid->north_step = as_written(grid->cell / north);
    return true;
}

/* Begins this share of a cell west and south of the box; false where more cells would be needed than are allowed. */
static bool place_grid(foci_task_grid *grid, const foci_box *box, double west_share, double south_share) {
    grid->west = round((box->west - west_share * grid->east_step) * 1e9) / 1e9;
    grid->south = round((box->south - south_share * grid->north_step) * 1e9) / 1e9;
    grid->columns = count_cells(box->east - grid->west, grid->east_step);
    grid->rows = count_cells(box->north - grid->south, grid->north_step);
    return grid->columns <= FOCI_TASK_GRID_MOST && grid->rows <= FOCI_TASK_GRID_MOST;
}

/* ---- filling, row by row: even-odd between the crossings of all rings with the line of the row's centres ---- */

static int compare_numbers(const void *a, const void *b) {
    double first = *(const double *)a, second = *(const double *)b;
    return (first > second) - (first < second);
}

static size_t count_points(const foci_multipolygon *shape) {
    size_t count = 0;
    for (size_t p = 0; p < shape->count; p++)
        for (size_t r = 0; r < shape->polygons[p].count; r++)
            count += shape->polygons[p].rings[r].count;
    return count;
}

static size_t cross_ring(double *crossings, const foci_ring *ring, double y) {
    size_t count = 0;
    for (size_t i = 0; i < ring->count; i++) {
        foci_point low = ring->points[i], high = ring->points[(i + 1) % ring->count];
        if (low.y > high.y) { /* a shared side gives the same number in both zones */
            foci_point other = low;
            low = high;
            high = other;
        }
        if (low.y <= y && y < high.y)
            crossings[count++] = low.x + (y - low.y) * (high.x - low.x) / (high.y - low.y);
    }
    return count;
}

/* The first column whose centre is at or east of x. */
static size_t first_column(const foci_task_grid *grid, double x) {
    double column = ceil((x - grid->west) / grid->east_step - 0.5);
    return (size_t)fmax(0, fmin(column, (double)grid->columns));
}

static void fill_zone(foci_task_grid *grid, const foci_task_zone *zone, double *crossings) {
    for (size_t row = 0; row < grid->rows; row++) {
        double y = grid->south + ((double)row + 0.5) * grid->north_step;
        size_t count = 0;
        for (size_t p = 0; p < zone->lonlat.count; p++)
            for (size_t r = 0; r < zone->lonlat.polygons[p].count; r++)
                count += cross_ring(crossings + count, &zone->lonlat.polygons[p].rings[r], y);
        qsort(crossings, count, sizeof *crossings, compare_numbers);
        for (size_t i = 0; i + 1 < count; i += 2)
            for (size_t column = first_column(grid, crossings[i]); column < first_column(grid, crossings[i + 1]);
                 column++)
                grid->codes[row * grid->columns + column] = (unsigned char)FOCI_TASK_CODE(zone->code);
    }
}

static void fill_zones(foci_task_grid *grid, const foci_task *task, double *crossings) {
    memset(grid->codes, FOCI_TASK_OUTSIDE, grid->columns * grid->rows);
    for (int code = 0; code < FOCI_ZONE_END; code++)
        fill_zone(grid, &task->zones[code], crossings);
}

/* ---- the place where the cells' areas agree best with the outlines' ---- */

enum { SHIFTS = 5 }; /* tried along each axis, within a cell */

/* The largest share by which a zone's cells miss its area. */
static double misfit(const foci_task_grid *grid, const foci_task *task) {
    double most = 0;
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        double area = task->zones[code].area_ha;
        if (area > 0)
            most = fmax(most, fabs(foci_task_grid_area(grid, FOCI_TASK_CODE(code)) / area - 1));
    }
    return most;
}

/* Zones run along the cells for long ways, where half a cell too much or too little adds up. */
static void fit_grid(foci_task_grid *grid, const foci_task *task, const foci_box *box, double *crossings) {
    double least = INFINITY, west = 0, south = 0;
    for (int i = 0; i < SHIFTS; i++)
        for (int k = 0; k < SHIFTS; k++) {
            double south_share = (double)i / SHIFTS, west_share = (double)k / SHIFTS;
            if (!place_grid(grid, box, west_share, south_share))
                continue;
            fill_zones(grid, task, crossings);
            double off = misfit(grid, task);
            if (off < least) {
                least = off;
                west = west_share;
                south = south_share;
            }
        }
    (void)place_grid(grid, box, west, south); /* one of those that fitted */
    fill_zones(grid, task, crossings);
}

bool foci_task_grid_make(foci_task_grid *out, const foci_task *task, foci_error *err) {
    foci_task_grid grid = {0};
    double *crossings = NULL;
    bool ok = false;
    size_t most = 0;
    foci_box box = foci_multipolygon_box(&task->boundary);
    for (int code = 0; code < FOCI_ZONE_END; code++) {
        size_t count = count_points(&task->zones[code].lonlat);
        most = count > most ? count : most;
        widen(&box, &task->zones[code].lonlat);
    }
    if (!size_cells(&grid, &box, err))
        return false;
    crossings = foci_new_array(most, sizeof *crossings, err);
    grid.codes = foci_new_array((size_t)FOCI_TASK_GRID_MOST * FOCI_TASK_GRID_MOST, 1, err);
    if (!crossings || !grid.codes)
        goto done;
    fit_grid(&grid, task, &box, crossings);
    *out = grid;
    grid = (foci_task_grid){0};
    ok = true;
done:
    free(crossings);
    foci_task_grid_free(&grid);
    return ok;
}

double foci_task_grid_area(const foci_task_grid *grid, int code) {
    double area = 0;
    for (size_t row = 0; row < grid->rows; row++) {
        double north = 0, east = 0;
        foci_task_degree(grid->south + ((double)row + 0.5) * grid->north_step, &north, &east);
        for (size_t column = 0; column < grid->columns; column++)
            if (grid->codes[row * grid->columns + column] == code)
                area += grid->north_step * north * grid->east_step * east;
    }
    return area / 1e4;
}

void foci_task_grid_free(foci_task_grid *grid) {
    free(grid->codes);
    *grid = (foci_task_grid){0};
}

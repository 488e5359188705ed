/* The invented field of sample_round.h: a pond, one or two round pockets of disease, and the surface over them. */
#ifndef FOCI_TESTS_SAMPLE_FIELD_H
#define FOCI_TESTS_SAMPLE_FIELD_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "fieldfoci/survey.h"

#define SAMPLE_CELL 5.0      /* metres */
#define SAMPLE_EAST 500000.0 /* the field's middle lies on the zone's central meridian ... */
#define SAMPLE_NORTH 3900100.0
#define SAMPLE_LATITUDE 35.24397941987083 /* ... so that degrees follow from the radii of curvature there (WGS84) */
#define SAMPLE_PER_RADIAN_NORTH (0.9996 * 6356683.067869824)
#define SAMPLE_PER_RADIAN_EAST (0.9996 * 5214854.247878698)
#define SAMPLE_THRESHOLD 10.0 /* percent */
#define SAMPLE_DEVIATION 4.0
#define SAMPLE_DIG_CHANCE 0.2

typedef struct {
    size_t columns, rows; /* of the grid */
    size_t stops_across, stops_down;
    size_t pockets; /* 0, 1 or 2 */
    double height;  /* of the first pocket, percent */
} sample_plan;

static inline foci_point sample_lonlat(foci_point place) {
    const double degree = 57.29577951308232;
    return (foci_point){-81 + (place.x - SAMPLE_EAST) / SAMPLE_PER_RADIAN_EAST * degree,
                        SAMPLE_LATITUDE + (place.y - SAMPLE_NORTH) / SAMPLE_PER_RADIAN_NORTH * degree};
}

static inline double sample_width(const sample_plan *plan) {
    return SAMPLE_CELL * (double)plan->columns;
}

static inline double sample_depth(const sample_plan *plan) {
    return SAMPLE_CELL * (double)plan->rows;
}

/* A place from shares of the field's width and depth, counted from the south-west corner. */
static inline foci_point sample_place(const sample_plan *plan, double across, double up) {
    return (foci_point){SAMPLE_EAST + (across - 0.5) * sample_width(plan),
                        SAMPLE_NORTH + (up - 0.5) * sample_depth(plan)};
}

static inline foci_point sample_pocket(const sample_plan *plan, size_t which) {
    return which == 0 ? sample_place(plan, 0.28, 0.62) : sample_place(plan, 0.74, 0.42);
}

/* True severity of the invented field, percent. */
static inline double sample_severity(const sample_plan *plan, foci_point place) {
    const double size = fmin(sample_width(plan), sample_depth(plan)) / 200;
    const double heights[] = {plan->height, 24}, widths[] = {27 * size, 19 * size};
    double severity = plan->height > 0 ? 0.4 + 2.2 * (place.y - SAMPLE_NORTH + 100) / 200 : 0;
    for (size_t i = 0; i < plan->pockets; i++) {
        foci_point middle = sample_pocket(plan, i);
        double distance = hypot(place.x - middle.x, (place.y - middle.y) * 1.25);
        severity += heights[i] * exp(-distance * distance / (2 * widths[i] * widths[i]));
    }
    return fmax(severity, 0);
}

static inline bool sample_ring(foci_ring *ring, const foci_point *points, size_t count, bool reversed,
                               foci_error *err) {
    ring->points = foci_new_array(count, sizeof *ring->points, err);
    if (!ring->points)
        return false;
    ring->count = count;
    for (size_t i = 0; i < count; i++)
        ring->points[i] = points[reversed ? count - 1 - i : i];
    return true;
}

static inline bool sample_degrees(foci_multipolygon *out, const foci_multipolygon *shape, foci_error *err) {
    if (!foci_multipolygon_copy(out, shape, err))
        return false;
    for (size_t i = 0; i < out->count; i++)
        for (size_t j = 0; j < out->polygons[i].count; j++)
            for (size_t k = 0; k < out->polygons[i].rings[j].count; k++) {
                foci_point *point = &out->polygons[i].rings[j].points[k];
                *point = sample_lonlat(*point);
            }
    return true;
}

/* Room for one polygon of `rings` rings. */
static inline bool sample_polygon(foci_multipolygon *shape, size_t rings, foci_error *err) {
    shape->polygons = foci_new_array(1, sizeof *shape->polygons, err);
    if (!shape->polygons)
        return false;
    shape->count = 1;
    shape->polygons[0].rings = foci_new_array(rings, sizeof *shape->polygons[0].rings, err);
    if (!shape->polygons[0].rings)
        return false;
    shape->polygons[0].count = rings;
    return true;
}

static inline double sample_hectares(const foci_multipolygon *shape) {
    return foci_multipolygon_area(shape) / (0.9996 * 0.9996) / 10000;
}

static inline bool sample_field(foci_field *field, const sample_plan *plan, foci_error *err) {
    const double shares[][2] = {{0.012, 0.03}, {0.985, 0.015}, {0.99, 0.74}, {0.83, 0.98}, {0.025, 0.95}};
    foci_point outer[5], pond[12];
    for (size_t i = 0; i < 5; i++)
        outer[i] = sample_place(plan, shares[i][0], shares[i][1]);
    const double radius = 0.1 * fmin(sample_width(plan), sample_depth(plan));
    for (size_t i = 0; i < 12; i++) {
        pond[i] = sample_place(plan, 0.5, 0.3);
        pond[i].x += 1.4 * radius * cos(-(double)i * 0.5235987755982988);
        pond[i].y += radius * sin(-(double)i * 0.5235987755982988);
    }
    field->name = foci_copy_text("North Forty", err);
    field->input.file = foci_copy_text("field.geojson", err);
    field->input.layer = foci_copy_text("field", err);
    field->input.crs = foci_copy_text("EPSG:4326", err);
    if (!field->name || !field->input.file || !field->input.layer || !field->input.crs)
        return false;
    memset(field->input.sha256, 'f', 64);
    field->input.rows = 1;
    if (!sample_polygon(&field->shape, 2, err) ||
        !sample_ring(&field->shape.polygons[0].rings[0], outer, 5, false, err) ||
        !sample_ring(&field->shape.polygons[0].rings[1], pond, 12, false, err) ||
        !sample_degrees(&field->lonlat, &field->shape, err))
        return false;
    field->area_ha = sample_hectares(&field->shape);
    field->centre = sample_lonlat((foci_point){SAMPLE_EAST, SAMPLE_NORTH});
    snprintf(field->work_crs, sizeof field->work_crs, "EPSG:32617");
    return true;
}

static inline bool sample_grid(foci_grid *grid, const sample_plan *plan, const foci_multipolygon *field,
                               foci_error *err) {
    grid->cell = SAMPLE_CELL;
    grid->columns = plan->columns;
    grid->rows = plan->rows;
    grid->west = SAMPLE_EAST - sample_width(plan) / 2;
    grid->north = SAMPLE_NORTH + sample_depth(plan) / 2;
    grid->share = foci_new_array(plan->columns * plan->rows, sizeof *grid->share, err);
    if (!grid->share)
        return false;
    for (size_t cell = 0; cell < plan->columns * plan->rows; cell++) {
        foci_point corner = {grid->west + SAMPLE_CELL * (double)(cell % plan->columns),
                             grid->north - SAMPLE_CELL * (double)(cell / plan->columns)};
        for (size_t part = 0; part < 16; part++) {
            foci_point place = {corner.x + SAMPLE_CELL * ((double)(part % 4) + 0.5) / 4,
                                corner.y - SAMPLE_CELL * ((double)(part / 4) + 0.5) / 4};
            grid->share[cell] += foci_multipolygon_contains(field, place) ? 1.0 / 16 : 0;
        }
        grid->cells += grid->share[cell] > 0;
    }
    return true;
}

static inline foci_point sample_centre(const foci_grid *grid, size_t cell) {
    return (foci_point){grid->west + grid->cell * ((double)(cell % grid->columns) + 0.5),
                        grid->north - grid->cell * ((double)(cell / grid->columns) + 0.5)};
}

static inline bool sample_surface(foci_surface *surface, const sample_plan *plan, const foci_grid *grid,
                                  foci_error *err) {
    const size_t count = grid->columns * grid->rows;
    double **layers[] = {&surface->estimate, &surface->deviation, &surface->low, &surface->high, &surface->chance};
    for (size_t i = 0; i < 5; i++)
        if (!(*layers[i] = foci_new_array(count, sizeof(double), err)))
            return false;
    double weight = 0;
    surface->min = INFINITY;
    surface->max = -INFINITY;
    for (size_t cell = 0; cell < count; cell++) {
        if (grid->share[cell] <= 0) {
            for (size_t i = 0; i < 5; i++)
                (*layers[i])[cell] = NAN;
            continue;
        }
        double severity = sample_severity(plan, sample_centre(grid, cell));
        surface->estimate[cell] = severity;
        surface->deviation[cell] = SAMPLE_DEVIATION;
        surface->low[cell] = fmax(0, severity - 1.6448536269514722 * SAMPLE_DEVIATION);
        surface->high[cell] = fmin(100, severity + 1.6448536269514722 * SAMPLE_DEVIATION);
        surface->chance[cell] = 0.5 * erfc((SAMPLE_THRESHOLD - severity) / SAMPLE_DEVIATION * 0.7071067811865476);
        surface->mean += grid->share[cell] * severity;
        weight += grid->share[cell];
        surface->min = fmin(surface->min, severity);
        surface->max = fmax(surface->max, severity);
    }
    surface->mean /= weight;
    return true;
}

#endif

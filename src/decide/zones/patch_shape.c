#include "decide/zones/patch_shape.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/overlay.h"

bool foci_patch_clip(foci_multipolygon *out, const foci_polygon *outline, bool on_edge, const foci_field *field,
                     foci_error *err) {
    foci_polygon part = *outline; /* borrowed */
    const foci_multipolygon patch = {1, &part};
    return on_edge ? foci_overlay_intersection(out, &patch, &field->shape, err)
                   : foci_multipolygon_copy(out, &patch, err);
}

static int compare_numbers(const void *left, const void *right) {
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Where the level line at `y` passes the polygon's rings; returns how often. */
static size_t find_crossings(double *x, const foci_polygon *polygon, double y) {
    size_t count = 0;
    for (size_t r = 0; r < polygon->count; r++) {
        const foci_ring *ring = &polygon->rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const foci_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            if ((a.y > y) != (b.y > y))
                x[count++] = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
        }
    }
    return count;
}

static const foci_polygon *largest_part(const foci_multipolygon *shape) {
    const foci_polygon *largest = shape->polygons;
    double most = 0;
    for (size_t i = 0; i < shape->count; i++) {
        foci_polygon part = shape->polygons[i]; /* borrowed */
        const double area = foci_multipolygon_area(&(foci_multipolygon){1, &part});
        if (area > most) {
            most = area;
            largest = &shape->polygons[i];
        }
    }
    return largest;
}

bool foci_patch_inside(foci_point *out, const foci_multipolygon *shape, foci_error *err) {
    static const double levels[] = {1.0 / 2, 1.0 / 3, 2.0 / 3};
    const foci_polygon *part = largest_part(shape);
    foci_polygon borrowed = *part;
    const foci_box box = foci_multipolygon_box(&(foci_multipolygon){1, &borrowed});
    size_t corners = 0;
    double widest = -1;
    for (size_t r = 0; r < part->count; r++)
        corners += part->rings[r].count;
    double *x = foci_new_array(corners, sizeof *x, err);
    if (!x)
        return false;
    for (size_t k = 0; k < sizeof levels / sizeof *levels; k++) {
        const double y = box.south + levels[k] * (box.north - box.south);
        const size_t count = find_crossings(x, part, y);
        qsort(x, count, sizeof *x, compare_numbers);
        for (size_t i = 0; i + 1 < count; i += 2) {
            if (x[i + 1] - x[i] <= widest)
                continue;
            widest = x[i + 1] - x[i];
            *out = (foci_point){(x[i] + x[i + 1]) / 2, y};
        }
    }
    free(x);
    return true;
}

double foci_patch_scale(const foci_field *field) {
    const double plane = foci_multipolygon_area(&field->shape);
    return plane > 0 ? fmax(1, 1e4 * field->area_ha / plane) : 1;
}

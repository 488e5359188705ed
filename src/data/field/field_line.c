#include "data/field/field_line.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "fieldfoci/words.h"

/* Of a line's length: less than a fifth of a square's side may be missing (our choice, no source). */
#define MOST_MISSING 0.05

static double distance(foci_point from, foci_point to, bool geographic) {
    return geographic ? foci_geodesic_distance(from, to) : hypot(to.x - from.x, to.y - from.y);
}

static double length_of(const foci_polygon *lines, bool geographic) {
    double length = 0;
    for (size_t i = 0; i < lines->count; i++)
        for (size_t k = 1; k < lines->rings[i].count; k++)
            length += distance(lines->rings[i].points[k - 1], lines->rings[i].points[k], geographic);
    return length;
}

/* From each piece's end to the start of the next, and back to the first. */
static double missing_of(const foci_polygon *lines, bool geographic) {
    double missing = 0;
    for (size_t i = 0; i < lines->count; i++) {
        const foci_ring *piece = &lines->rings[i], *next = &lines->rings[(i + 1) % lines->count];
        missing += distance(piece->points[piece->count - 1], next->points[0], geographic);
    }
    return missing;
}

/* The pieces' points, one after the other, into one ring. */
static bool make_area(foci_multipolygon *area, const foci_polygon *lines, foci_error *err) {
    size_t count = 0;
    for (size_t i = 0; i < lines->count; i++)
        count += lines->rings[i].count;
    foci_polygon *polygon = foci_new_array(1, sizeof *polygon, err);
    foci_ring *ring = polygon ? foci_new_array(1, sizeof *ring, err) : NULL;
    foci_point *points = ring ? foci_new_array(count, sizeof *points, err) : NULL;
    if (!points) {
        free(ring);
        free(polygon);
        return false;
    }
    *ring = (foci_ring){0, points};
    for (size_t i = 0; i < lines->count; i++)
        for (size_t k = 0; k < lines->rings[i].count; k++) {
            const foci_point point = lines->rings[i].points[k], last = points[ring->count ? ring->count - 1 : 0];
            if (ring->count == 0 || point.x != last.x || point.y != last.y)
                points[ring->count++] = point;
        }
    while (ring->count > 1 && points[ring->count - 1].x == points[0].x && points[ring->count - 1].y == points[0].y)
        ring->count--;
    *polygon = (foci_polygon){1, ring};
    *area = (foci_multipolygon){1, polygon};
    return true;
}

static bool close_line(foci_table *table, size_t row, const char *file, bool geographic, foci_error *err) {
    foci_shape *shape = &table->shapes[row];
    const double length = length_of(&shape->lines, geographic), missing = missing_of(&shape->lines, geographic);
    char gap[FOCI_WORDS_SIZE];
    foci_multipolygon area = {0};
    foci_words_length(gap, missing, FOCI_ACRES);
    if (!(missing <= MOST_MISSING * length))
        return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(table, row),
                         "the boundary is a line that is not closed: %s are missing between its ends; close it into a "
                         "polygon and save it again",
                         gap);
    if (!make_area(&area, &shape->lines, err))
        return false;
    if (area.polygons->rings->count < 3) {
        foci_multipolygon_free(&area);
        return foci_fail(err, FOCI_BAD_INPUT, file, foci_table_row(table, row),
                         "the boundary is a line without three corners; draw it as one closed polygon and save it "
                         "again");
    }
    foci_shape_free(shape);
    *shape = (foci_shape){.kind = FOCI_SHAPE_AREA, .area = area};
    if (missing == 0)
        return foci_notes_add(&table->notes, err, "the boundary is a closed line, taken for the edge of the field");
    return foci_notes_add(&table->notes, err,
                          "the boundary is a line, closed over the %s between its ends (%.2g %% of its length)", gap,
                          100 * missing / length);
}

bool foci_field_lines_close(foci_table *table, const char *file, bool geographic, foci_error *err) {
    for (size_t i = 0; i < table->row_count; i++)
        if (table->shapes[i].kind == FOCI_SHAPE_LINE && table->shapes[i].lines.count > 0 &&
            !close_line(table, i, file, geographic, err))
            return false;
    return true;
}

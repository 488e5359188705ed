#include "decide/zones/lanes.h"

#include <math.h>
#include <stdlib.h>

#include "base/frame.h"
#include "base/memory.h"
#include "decide/zones/patches.h"

#define RUN_STEPS 5       /* at least, of the shortest run */
#define RIM 0.1           /* of a swath: an outermost lane that the field reaches less far goes with the next */
#define MOST_STEPS 2e7    /* of all lanes together: some 1.5 GB */
#define BEYOND 1.0        /* metres by which the lanes reach over the field, so that rounding opens no gap */
#define LEAST_EXCESS 1e-9 /* of a lane or a step: less is rounding */

/* ---- the frame ---- */

static double dot(foci_point a, foci_point b) {
    return a.x * b.x + a.y * b.y;
}

static foci_box reach_of(const foci_multipolygon *shape, foci_point across, foci_point along) {
    foci_box reach = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t p = 0; p < shape->count; p++) {
        const foci_ring *outer = &shape->polygons[p].rings[0];
        for (size_t i = 0; i < outer->count; i++) {
            double x = dot(outer->points[i], across), y = dot(outer->points[i], along);
            reach = (foci_box){fmin(reach.west, x), fmin(reach.south, y), fmax(reach.east, x), fmax(reach.north, y)};
        }
    }
    return reach;
}

static double count_over(double length, double piece) {
    return fmax(1, ceil(length / piece - LEAST_EXCESS));
}

/* Lanes from the one that holds the field's left side to the one that holds its right side. */
static double lay_across(foci_lanes *lanes, const foci_zones_options *options) {
    const double swath = lanes->swath;
    lanes->first = lanes->reach.west;
    if (options->has_lane_through) {
        double side = dot(options->lane_through, lanes->across) - swath / 2;
        lanes->first = side - ceil((side - lanes->reach.west) / swath) * swath;
    }
    double count = count_over(lanes->reach.east - lanes->first, swath);
    if (count > 1 && lanes->first + swath - lanes->reach.west < RIM * swath) {
        lanes->first += swath;
        count--;
    }
    if (count > 1 && lanes->reach.east - (lanes->first + (count - 1) * swath) < RIM * swath)
        count--;
    return count;
}

static bool lay_frame(foci_lanes *lanes, const foci_zones_options *options, const foci_grid *grid,
                      const foci_field *field, foci_error *err) {
    const foci_frame rows = foci_frame_make(NULL, 0, options->row_heading);
    lanes->along = (foci_point){rows.east, rows.north};
    lanes->across = (foci_point){rows.north, -rows.east};
    lanes->reach = reach_of(&field->shape, lanes->across, lanes->along);
    lanes->swath = options->swath;
    lanes->start = lanes->reach.south;
    double least = options->least_run > 0 ? fmax(RUN_STEPS, count_over(options->least_run, grid->cell)) : 1;
    lanes->step = options->least_run > 0 ? options->least_run / least : grid->cell;
    double columns = lay_across(lanes, options);
    double steps = fmax(least, count_over(lanes->reach.north - lanes->reach.south, lanes->step));
    if (!(columns * steps <= MOST_STEPS))
        return foci_fail(
            err, FOCI_BAD_SETTING, "{swath}", 0,
            "lanes of %g m in steps of %g m would be %.3g million pieces; give a larger swath or least run",
            lanes->swath, lanes->step, columns * steps / 1e6);
    lanes->least = (size_t)least;
    lanes->lattice = (foci_grid){.north = steps, .cell = 1, .columns = (size_t)columns, .rows = (size_t)steps};
    return true;
}

static size_t index_within(double value, size_t count) {
    if (!(value > 0))
        return 0;
    return value < (double)count ? (size_t)value : count - 1;
}

/* ---- what lies under the steps: each cell is cut along the lanes and then along their steps ---- */

#define CORNERS_MOST 8 /* four of a square, and four cuts */

/* A convex piece of a cell in lattice units, from lane 0's left side and the bottom step's end. */
typedef struct {
    size_t count;
    foci_point corners[CORNERS_MOST];
} piece;

/* A corner too many could only come of rounding, and has no area. */
static void add_corner(piece *p, foci_point corner) {
    if (p->count < CORNERS_MOST)
        p->corners[p->count++] = corner;
}

static double level_of(foci_point corner, bool along) {
    return along ? corner.y : corner.x;
}

/* What lies below `limit` goes to `low`, the rest to `high`. */
static void split(piece *low, piece *high, const piece *whole, bool along, double limit) {
    *low = *high = (piece){0};
    for (size_t i = 0; i < whole->count; i++) {
        foci_point here = whole->corners[i], next = whole->corners[(i + 1) % whole->count];
        double from = level_of(here, along) - limit, to = level_of(next, along) - limit;
        add_corner(from < 0 ? low : high, here);
        if ((from < 0) == (to < 0))
            continue;
        double part = from / (from - to);
        foci_point cut = {here.x + part * (next.x - here.x), here.y + part * (next.y - here.y)};
        add_corner(low, cut);
        add_corner(high, cut);
    }
}

static double piece_area(const piece *p) {
    double area = 0;
    for (size_t i = 2; i < p->count; i++) {
        foci_point a = p->corners[0], b = p->corners[i - 1], c = p->corners[i];
        area += (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
    }
    return area / 2;
}

/* First and last of `count` lanes or steps that a piece touches; what lies outside of all goes with the outermost. */
static void find_range(size_t *first, size_t *last, const piece *p, bool along, size_t count) {
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < p->count; i++) {
        low = fmin(low, level_of(p->corners[i], along));
        high = fmax(high, level_of(p->corners[i], along));
    }
    *first = index_within(low, count);
    *last = index_within(high, count);
}

/* Per square metre of the field in one cell. */
static foci_lane_step cell_densities(const foci_lane_layers *layers, size_t cell) {
    const double severity = layers->surface->estimate[cell];
    const bool wanted = layers->code[cell] == FOCI_ZONE_TREAT;
    return (foci_lane_step){.area = 1,
                            .treat = layers->treat[cell],
                            .dig = layers->dig[cell],
                            .chance = layers->surface->chance ? layers->surface->chance[cell] : NAN,
                            .severity = severity,
                            .wanted = wanted,
                            .wanted_severity = wanted ? severity : 0};
}

static void add_to_step(foci_lane_step *step, const foci_lane_step *density, double area) {
    step->area += area;
    step->treat += area * density->treat;
    step->dig += area * density->dig;
    step->chance += area * density->chance;
    step->severity += area * density->severity;
    step->wanted += area * density->wanted;
    step->wanted_severity += area * density->wanted_severity;
}

/* The part of a cell in one lane; `scale`: square metres of the field per square lattice unit of the cell. */
static void add_strip(foci_lanes *lanes, size_t lane, const piece *strip, double scale, const foci_lane_step *density) {
    const size_t columns = lanes->lattice.columns, rows = lanes->lattice.rows;
    size_t first, last;
    piece rest = *strip;
    find_range(&first, &last, strip, true, rows);
    for (size_t k = first; k <= last; k++) {
        piece part = rest, above;
        if (k < last) {
            split(&part, &above, &rest, true, (double)(k + 1));
            rest = above;
        }
        double area = piece_area(&part);
        if (area > LEAST_EXCESS)
            add_to_step(&lanes->steps[(rows - 1 - k) * columns + lane], density, area * scale);
    }
}

static foci_point place_in_lattice(const foci_lanes *lanes, foci_point place) {
    return (foci_point){(dot(place, lanes->across) - lanes->first) / lanes->swath,
                        (dot(place, lanes->along) - lanes->start) / lanes->step};
}

static void add_cell(foci_lanes *lanes, const foci_grid *grid, const foci_lane_layers *layers, size_t cell) {
    const double half = grid->cell / 2, scale = grid->share[cell] * lanes->swath * lanes->step;
    const foci_lane_step density = cell_densities(layers, cell);
    const foci_point middle = foci_grid_centre(grid, cell);
    piece rest = {4,
                  {place_in_lattice(lanes, (foci_point){middle.x - half, middle.y - half}),
                   place_in_lattice(lanes, (foci_point){middle.x + half, middle.y - half}),
                   place_in_lattice(lanes, (foci_point){middle.x + half, middle.y + half}),
                   place_in_lattice(lanes, (foci_point){middle.x - half, middle.y + half})}};
    size_t first, last;
    find_range(&first, &last, &rest, false, lanes->lattice.columns);
    for (size_t k = first; k <= last; k++) {
        piece strip = rest, beside;
        if (k < last) {
            split(&strip, &beside, &rest, false, (double)(k + 1));
            rest = beside;
        }
        add_strip(lanes, k, &strip, scale, &density);
    }
}

bool foci_lanes_lay(foci_lanes *out, const foci_zones_options *options, const foci_grid *grid, const foci_field *field,
                    const foci_lane_layers *layers, foci_error *err) {
    foci_lanes lanes = {0};
    if (!lay_frame(&lanes, options, grid, field, err))
        return false;
    const size_t pieces = lanes.lattice.columns * lanes.lattice.rows;
    lanes.steps = foci_new_array(pieces, sizeof *lanes.steps, err);
    if (!lanes.steps)
        return false;
    lanes.code = foci_new_array(pieces, sizeof *lanes.code, err);
    if (!lanes.code) {
        foci_lanes_free(&lanes);
        return false;
    }
    for (size_t i = 0; i < grid->columns * grid->rows; i++)
        if (grid->share[i] > 0)
            add_cell(&lanes, grid, layers, i);
    *out = lanes;
    return true;
}

/* ---- out again ---- */

foci_zone_code foci_lanes_code_at(const foci_lanes *lanes, foci_point place) {
    const size_t columns = lanes->lattice.columns, rows = lanes->lattice.rows;
    foci_point at = place_in_lattice(lanes, place);
    size_t row = rows - 1 - index_within(at.y, rows);
    return (foci_zone_code)lanes->code[row * columns + index_within(at.x, columns)];
}

static int label_at(const foci_grid *lattice, const int *label, size_t column, size_t row) {
    return column < lattice->columns && row < lattice->rows ? label[row * lattice->columns + column] : -1;
}

/* Whether the parts round a lattice corner meet there along one straight line only. */
static bool is_straight(const foci_grid *lattice, const int *label, foci_point corner) {
    size_t east = (size_t)corner.x, south = lattice->rows - (size_t)corner.y;
    int north_west = label_at(lattice, label, east - 1, south - 1),
        north_east = label_at(lattice, label, east, south - 1);
    int south_west = label_at(lattice, label, east - 1, south), south_east = label_at(lattice, label, east, south);
    return (north_west == north_east && south_west == south_east) ||
           (north_west == south_west && north_east == south_east);
}

static foci_point corner_in_plane(const foci_lanes *lanes, foci_point corner) {
    double x = lanes->first + corner.x * lanes->swath, y = lanes->start + corner.y * lanes->step;
    if (corner.x <= 0)
        x = fmin(x, lanes->reach.west - BEYOND);
    if (corner.x >= (double)lanes->lattice.columns)
        x = fmax(x, lanes->reach.east + BEYOND);
    if (corner.y <= 0)
        y = fmin(y, lanes->reach.south - BEYOND);
    if (corner.y >= (double)lanes->lattice.rows)
        y = fmax(y, lanes->reach.north + BEYOND);
    return (foci_point){x * lanes->across.x + y * lanes->along.x, x * lanes->across.y + y * lanes->along.y};
}

static void place_ring(foci_ring *ring, const foci_lanes *lanes, const int *label) {
    size_t kept = 0;
    for (size_t i = 0; i < ring->count; i++)
        if (!is_straight(&lanes->lattice, label, ring->points[i]))
            ring->points[kept++] = corner_in_plane(lanes, ring->points[i]);
    ring->count = kept;
}

bool foci_lanes_outlines(foci_multipolygon *out, signed char **code, const foci_lanes *lanes, foci_error *err) {
    const size_t pieces = lanes->lattice.columns * lanes->lattice.rows;
    foci_multipolygon outlines = {0};
    signed char *part_code = NULL;
    size_t parts = 0;
    bool ok = false;
    int *label = foci_new_array(pieces, sizeof *label, err);
    if (!label)
        goto done;
    if (!foci_patches_label(label, &parts, lanes->code, &lanes->lattice, err))
        goto done;
    part_code = foci_new_array(parts, sizeof *part_code, err);
    if (!part_code)
        goto done;
    if (!foci_patches_outlines(&outlines, label, parts, &lanes->lattice, err))
        goto done;
    for (size_t i = 0; i < pieces; i++)
        part_code[label[i]] = lanes->code[i];
    for (size_t p = 0; p < outlines.count; p++)
        for (size_t r = 0; r < outlines.polygons[p].count; r++)
            place_ring(&outlines.polygons[p].rings[r], lanes, label);

    *out = outlines;
    outlines = (foci_multipolygon){0};
    *code = part_code;
    part_code = NULL;
    ok = true;
done:
    free(label);
    free(part_code);
    foci_multipolygon_free(&outlines);
    return ok;
}

void foci_lanes_free(foci_lanes *lanes) {
    free(lanes->steps);
    free(lanes->code);
    *lanes = (foci_lanes){0};
}

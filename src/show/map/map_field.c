#include "show/map/map_field.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "show/map/map_marks.h"

#define INK 0x1A1A1A
#define LINE 2.0       /* width of the line of a level, pixels */
#define MESH_WHITE 1.6 /* of the white on either side of a line of the hatching */
#define PARTS 3        /* samples per pixel each way, so that the edges of the classes are smooth */

/* How finely the ground is worked: dots per pixel, and samples per dot, each way. */
typedef struct {
    int density, parts;
} fineness;

bool foci_map_shape_add(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape,
                        foci_error *err) {
    for (size_t i = 0; i < shape->count; i++)
        for (size_t j = 0; j < shape->polygons[i].count; j++) {
            const foci_ring *ring = &shape->polygons[i].rings[j];
            foci_point *pixels = foci_new_array(ring->count, sizeof *pixels, err);
            if (!pixels)
                return false;
            for (size_t k = 0; k < ring->count; k++)
                pixels[k] = foci_map_view_pixel(view, ring->points[k]);
            foci_canvas_line(canvas, pixels, ring->count, true);
            free(pixels);
        }
    return true;
}

/* The layer between the centres of the four cells round a place, bilinear; cells without a value are passed over. NaN
 * where none of the four has one. */
static double layer_at(const foci_grid *grid, const double *layer, foci_point place) {
    const double column = (place.x - grid->west) / grid->cell - 0.5, row = (grid->north - place.y) / grid->cell - 0.5;
    const double left = floor(column), top = floor(row);
    double sum = 0, weights = 0;
    for (int corner = 0; corner < 4; corner++) {
        const int right = corner % 2, down = corner / 2;
        const double c = left + right, r = top + down;
        if (c < 0 || r < 0 || c >= (double)grid->columns || r >= (double)grid->rows)
            continue;
        const double value = layer[(size_t)r * grid->columns + (size_t)c];
        if (isnan(value))
            continue;
        const double weight = (1 - fabs(column - c)) * (1 - fabs(row - r));
        sum += weight * value;
        weights += weight;
    }
    return weights > 0 ? sum / weights : NAN;
}

/* The mean colour of a dot's samples, the dot's corner being at (x, y); white where no sample has one. */
static uint32_t dot_colour(const foci_map_view *view, const foci_map_paint *paint, const fineness *fine, double x,
                           double y) {
    unsigned red = 0, green = 0, blue = 0, count = 0;
    for (int part = 0; part < fine->parts * fine->parts; part++) {
        const int right = part % fine->parts, down = part / fine->parts, all = fine->parts * fine->density;
        const foci_point pixel = {x + (right + 0.5) / all, y + (down + 0.5) / all};
        const foci_point place = foci_map_view_place(view, pixel);
        uint32_t colour = 0;
        if (!paint->at(&colour, paint->what, place, pixel))
            continue;
        red += colour >> 16 & 0xFF;
        green += colour >> 8 & 0xFF;
        blue += colour & 0xFF;
        count++;
    }
    if (count == 0)
        return 0xFFFFFF;
    return (red + count / 2) / count << 16 | (green + count / 2) / count << 8 | (blue + count / 2) / count;
}

bool foci_map_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                          const foci_map_paint *paint, foci_error *err) {
    const int density = foci_canvas_density(canvas);
    const fineness fine = {density, PARTS / density > 1 ? PARTS / density : 1};
    const double left = floor(view->x), top = floor(view->y);
    const int width = density * (int)(ceil(view->x + view->width) - left);
    const int height = density * (int)(ceil(view->y + view->height) - top);
    if (foci_canvas_is_mute(canvas))
        return true;
    uint32_t *dots = foci_new_array((size_t)width * (size_t)height, sizeof *dots, err);
    if (!dots)
        return false;
    for (int row = 0; row < height; row++)
        for (int column = 0; column < width; column++)
            dots[(size_t)row * (size_t)width + (size_t)column] =
                dot_colour(view, paint, &fine, left + (double)column / density, top + (double)row / density);
    const bool ok = foci_map_shape_add(canvas, view, field, err);
    if (ok) {
        foci_canvas_clip(canvas);
        foci_canvas_image(canvas, dots, width, height, (int)left, (int)top);
        foci_canvas_unclip(canvas);
    }
    free(dots);
    return ok && foci_map_boundary_draw(canvas, view, field, err);
}

bool foci_map_boundary_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                            foci_error *err) {
    if (!foci_map_shape_add(canvas, view, field, err))
        return false;
    foci_canvas_stroke(canvas, INK, 3);
    return true;
}

/* A layer in the colours of its legend. */
typedef struct {
    const foci_grid *grid;
    const double *layer;
    const foci_map_legend *legend;
    const double *edges;
    double level;            /* of a line; NaN: none */
    double width;            /* of the line, metres */
    double even;             /* what all of the ground is drawn as; NaN: its own value */
    const foci_photo *photo; /* seen through it */
    const bool *unspoken;    /* cells that no stop speaks for; NULL: none */
} layer_paint;

static double from_line(double across) {
    const double part = across - FOCI_MESH * floor(across / FOCI_MESH);
    return fabs(part - FOCI_MESH / 2);
}

/* Lines both ways: the classes of a comparison of seasons are hatched one way only. */
uint32_t foci_map_mesh_at(uint32_t ground, double x, double y) {
    const double nearest = fmin(from_line((x + y) * M_SQRT1_2), from_line((x - y) * M_SQRT1_2));
    return nearest < FOCI_MESH_LINE / 2 ? INK : nearest < FOCI_MESH_LINE / 2 + MESH_WHITE ? 0xFFFFFF : ground;
}

static bool is_unspoken(const layer_paint *paint, foci_point place) {
    const size_t cell = paint->unspoken ? foci_grid_find(paint->grid, place) : (size_t)-1;
    return cell != (size_t)-1 && paint->unspoken[cell];
}

/* Whether the layer passes the level within a line's width north or east of the place. */
static bool is_on_line(const layer_paint *paint, foci_point place, double value) {
    const double north = layer_at(paint->grid, paint->layer, (foci_point){place.x, place.y + paint->width});
    const double east = layer_at(paint->grid, paint->layer, (foci_point){place.x + paint->width, place.y});
    const bool over = value >= paint->level;
    return (!isnan(north) && (north >= paint->level) != over) || (!isnan(east) && (east >= paint->level) != over);
}

static bool layer_colour(uint32_t *colour, const void *what, foci_point place, foci_point pixel) {
    const layer_paint *paint = what;
    const double own = layer_at(paint->grid, paint->layer, place), value = isnan(paint->even) ? own : paint->even;
    if (isnan(own))
        return false;
    if (!isnan(paint->level) && is_on_line(paint, place, value))
        *colour = INK;
    else
        *colour = foci_map_over_photo(paint->legend->colours[foci_map_legend_class(paint->legend, paint->edges, value)],
                                      paint->photo, place);
    if (is_unspoken(paint, place))
        *colour = foci_map_mesh_at(*colour, pixel.x, pixel.y);
    return true;
}

/* Of chances the mean over the field: where scores do not differ, what varies is the last digit. */
static double mean_of(const foci_grid *grid, const double *layer) {
    double sum = 0, all = 0;
    for (size_t cell = 0; cell < grid->columns * grid->rows; cell++) {
        if (!(grid->share[cell] > 0) || isnan(layer[cell]))
            continue;
        sum += grid->share[cell] * layer[cell];
        all += grid->share[cell];
    }
    return all > 0 ? sum / all : NAN;
}

double foci_map_even(const foci_round *round, const foci_map_legend *legend) {
    if (round->readings.count == 0 || round->readings.spread.min < round->readings.spread.max || !legend->layer(round))
        return NAN;
    if (legend == &foci_map_legends[FOCI_LEGEND_SEVERITY])
        return round->readings.spread.min;
    return round->stops.kind == FOCI_READING_VALUE ? mean_of(&round->grid, legend->layer(round)) : NAN;
}

bool foci_map_field_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round,
                         const foci_map_legend *legend, const double *edges, foci_error *err) {
    return foci_map_level_draw(canvas, view, round, legend, edges, NAN, err);
}

bool foci_map_level_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round,
                         const foci_map_legend *legend, const double *edges, double level, foci_error *err) {
    static const foci_photo none = {0};
    const layer_paint layer = {.grid = &round->grid,
                               .layer = legend->layer(round),
                               .legend = legend,
                               .edges = edges,
                               .level = level,
                               .width = LINE / view->scale,
                               .even = foci_map_even(round, legend),
                               .photo = legend == &foci_map_legends[FOCI_LEGEND_SEVERITY] ? &round->photo : &none,
                               .unspoken = round->unspoken};
    if (!layer.layer)
        return foci_map_boundary_draw(canvas, view, &round->field.shape, err);
    return foci_map_ground_draw(canvas, view, &round->field.shape, &(foci_map_paint){layer_colour, &layer}, err);
}

static foci_point towards(foci_point from, foci_point to, double most) {
    const double length = hypot(to.x - from.x, to.y - from.y), part = length > 0 ? fmin(0.5, most / length) : 0;
    return (foci_point){from.x + part * (to.x - from.x), from.y + part * (to.y - from.y)};
}

/* Adds the rings with each corner cut by `cut` metres, half a side at most: the steps of the cells become slopes
 * through the middles of their sides. */
static bool add_outline(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape, double cut,
                        foci_error *err) {
    for (size_t i = 0; i < shape->count; i++)
        for (size_t j = 0; j < shape->polygons[i].count; j++) {
            const foci_ring *ring = &shape->polygons[i].rings[j];
            foci_point *pixels = foci_new_array(2 * ring->count, sizeof *pixels, err);
            if (!pixels)
                return false;
            for (size_t k = 0; k < ring->count; k++) {
                const foci_point before = ring->points[(k + ring->count - 1) % ring->count];
                const foci_point after = ring->points[(k + 1) % ring->count];
                pixels[2 * k] = foci_map_view_pixel(view, towards(ring->points[k], before, cut));
                pixels[2 * k + 1] = foci_map_view_pixel(view, towards(ring->points[k], after, cut));
            }
            foci_canvas_line(canvas, pixels, 2 * ring->count, true);
            free(pixels);
        }
    return true;
}

bool foci_map_outline_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape, double cell,
                           double width, foci_error *err) {
    const foci_box box = foci_multipolygon_box(shape);
    const double side = fmin(box.east - box.west, box.north - box.south) * view->scale;
    /* A shape of few pixels would vanish under its own outline. */
    const double line = fmin(width, fmax(2, side / 8));
    if (!add_outline(canvas, view, shape, cell / 2, err))
        return false;
    foci_canvas_stroke_on_white(canvas, INK, line, line / 2);
    return true;
}

bool foci_map_hotspots_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round, double width,
                            foci_error *err) {
    for (size_t i = 0; i < round->hotspots.count; i++)
        if (!foci_map_outline_draw(canvas, view, &round->hotspots.items[i].shape, round->grid.cell, width, err))
            return false;
    return true;
}

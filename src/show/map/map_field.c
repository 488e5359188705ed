#include "show/map/map_field.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "show/map/map_marks.h"

#define INK 0x1A1A1A
#define LINE 2.0       /* width of the line of a level, pixels */
#define MESH_WHITE 1.6 /* of the white on either side of a line of the hatching */
#define PARTS 3        /* samples per pixel each way, so that the edges of the classes are smooth */
#define BLOCK_MOST 36  /* cells that are looked at together */
#define SQUARE 16      /* dots that are looked at together, each way; a power of two */
#define FEW 4          /* samples that are sooner taken than asked about together */

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

bool foci_map_block_find(foci_map_block *out, const foci_grid *grid, foci_point place, double reach, double far) {
    const double east = (place.x - grid->west) / grid->cell - 0.5, south = (grid->north - place.y) / grid->cell - 0.5;
    const double left = floor(east - reach / grid->cell), right = floor(east + far / grid->cell) + 1;
    const double top = floor(south - far / grid->cell), bottom = floor(south + reach / grid->cell) + 1;
    const double columns = (double)grid->columns, rows = (double)grid->rows;
    if ((right - left + 1) * (bottom - top + 1) > BLOCK_MOST)
        return false;
    out->corner = right - left < 2 && bottom - top < 2;
    out->cut = left < 0 || top < 0 || right >= columns || bottom >= rows;
    out->left = (size_t)fmax(0, left);
    out->top = (size_t)fmax(0, top);
    out->right = (size_t)fmax(0, fmin(right + 1, columns));
    out->bottom = (size_t)fmax(0, fmin(bottom + 1, rows));
    return true;
}

/* The layer between the centres of the four cells round a place, bilinear; cells without a value are passed over. NaN
 * where none of the four has one. */
static double layer_at(const foci_grid *grid, const double *layer, foci_point place) {
    const double column = (place.x - grid->west) / grid->cell - 0.5, row = (grid->north - place.y) / grid->cell - 0.5;
    const double left = floor(column), top = floor(row);
    double sum = 0, weights = 0;
    if (left >= 0 && top >= 0 && left + 1 < (double)grid->columns && top + 1 < (double)grid->rows) {
        const double *north = layer + (size_t)top * grid->columns + (size_t)left, *south = north + grid->columns;
        const double a = north[0], b = north[1], c = south[0], d = south[1];
        if (!isnan(a + b + c + d)) { /* nearly everywhere: the same sum at one go */
            const double west = 1 - fabs(column - left), east = 1 - fabs(column - (left + 1));
            const double upper = 1 - fabs(row - top), lower = 1 - fabs(row - (top + 1));
            const double wa = west * upper, wb = east * upper, wc = west * lower, wd = east * lower;
            return (wa * a + wb * b + wc * c + wd * d) / (wa + wb + wc + wd);
        }
    }
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

/* A picture of the ground while it is worked. */
typedef struct {
    const foci_map_view *view;
    const foci_map_paint *paint;
    uint32_t *dots;
    int width, height;  /* dots */
    double left, top;   /* where it begins on the sheet, pixels */
    double reach;       /* how far a square reaches to each side of the ground, in halves of its own side */
    int density, parts; /* dots per pixel, and samples per dot, each way */
} picture;

/* The mean colour of a dot's samples; `ground`: what all of them have under the hatching, NULL: each its own. */
static uint32_t dot_colour(const picture *made, int column, int row, const uint32_t *ground) {
    const double x = made->left + (double)column / made->density, y = made->top + (double)row / made->density;
    unsigned red = 0, green = 0, blue = 0, count = 0;
    for (int part = 0; part < made->parts * made->parts; part++) {
        const int right = part % made->parts, down = part / made->parts, all = made->parts * made->density;
        const foci_point pixel = {x + (right + 0.5) / all, y + (down + 0.5) / all};
        uint32_t colour = 0;
        if (ground)
            colour = foci_map_mesh_at(*ground, pixel.x, pixel.y);
        else if (!made->paint->at(&colour, made->paint->what, foci_map_view_place(made->view, pixel), pixel))
            continue;
        red += colour >> 16 & 0xFF;
        green += colour >> 8 & 0xFF;
        blue += colour & 0xFF;
        count++;
    }
    if (count == 0)
        return FOCI_MAP_BARE;
    return (red + count / 2) / count << 16 | (green + count / 2) / count << 8 | (blue + count / 2) / count;
}

/* A square of dots: at one go where its ground has one colour, else quarter by quarter, down to the single dot. */
static void square_work(const picture *made, int column, int row, int side) {
    if (column >= made->width || row >= made->height)
        return;
    const double half = 0.5 * side / made->density;
    const foci_point middle = {made->left + (double)column / made->density + half,
                               made->top + (double)row / made->density + half};
    foci_map_even_ground ground = {0};
    const bool few = side * side * made->parts * made->parts <= FEW;
    const bool even = !few && made->paint->even(&ground, made->paint->what, foci_map_view_place(made->view, middle),
                                                half * made->reach / made->view->scale);
    if (even || few || side == 1) {
        const uint32_t *known = even ? &ground.colour : NULL;
        for (int y = row; y < row + side && y < made->height; y++)
            for (int x = column; x < column + side && x < made->width; x++)
                made->dots[(size_t)y * (size_t)made->width + (size_t)x] =
                    even && !ground.meshed ? ground.colour : dot_colour(made, x, y, known);
    } else {
        for (int quarter = 0; quarter < 4; quarter++)
            square_work(made, column + quarter % 2 * side / 2, row + quarter / 2 * side / 2, side / 2);
    }
}

bool foci_map_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                          const foci_map_paint *paint, foci_error *err) {
    const int density = foci_canvas_density(canvas);
    picture made = {.view = view, .paint = paint, .left = floor(view->x), .top = floor(view->y), .density = density};
    made.reach = fabs(view->cosine) + fabs(view->sine);
    made.parts = PARTS / density > 1 ? PARTS / density : 1;
    made.width = density * (int)(ceil(view->x + view->width) - made.left);
    made.height = density * (int)(ceil(view->y + view->height) - made.top);
    if (foci_canvas_is_mute(canvas))
        return true;
    made.dots = foci_new_array((size_t)made.width * (size_t)made.height, sizeof *made.dots, err);
    if (!made.dots)
        return false;
    for (int row = 0; row < made.height; row += SQUARE)
        for (int column = 0; column < made.width; column += SQUARE)
            square_work(&made, column, row, SQUARE);
    const bool ok = foci_map_shape_add(canvas, view, field, err);
    if (ok) {
        foci_canvas_clip(canvas);
        foci_canvas_image(canvas, made.dots, made.width, made.height, (int)made.left, (int)made.top);
        foci_canvas_unclip(canvas);
    }
    free(made.dots);
    return ok && foci_map_boundary_draw(canvas, view, field, err);
}

bool foci_map_boundary_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                            foci_error *err) {
    if (!foci_map_shape_add(canvas, view, field, err))
        return false;
    foci_canvas_stroke(canvas, INK, 3);
    return true;
}

/* A layer while it is drawn. */
typedef struct {
    foci_map_layer is;
    double width; /* of the line of the level, metres */
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

static const foci_photo *photo_under(const layer_paint *paint) {
    static const foci_photo none = {0};
    return paint->is.photo ? paint->is.photo : &none;
}

static bool is_unspoken(const layer_paint *paint, foci_point place) {
    const size_t cell = paint->is.unspoken ? foci_grid_find(paint->is.grid, place) : (size_t)-1;
    return cell != (size_t)-1 && paint->is.unspoken[cell];
}

/* Whether the layer passes the level within a line's width north or east of the place. */
static bool is_on_line(const layer_paint *paint, foci_point place, double value) {
    const double north = layer_at(paint->is.grid, paint->is.values, (foci_point){place.x, place.y + paint->width});
    const double east = layer_at(paint->is.grid, paint->is.values, (foci_point){place.x + paint->width, place.y});
    const bool over = value >= paint->is.level;
    return (!isnan(north) && (north >= paint->is.level) != over) || (!isnan(east) && (east >= paint->is.level) != over);
}

static bool layer_colour(uint32_t *colour, const void *what, foci_point place, foci_point pixel) {
    const layer_paint *paint = what;
    const double own = layer_at(paint->is.grid, paint->is.values, place),
                 value = isnan(paint->is.even) ? own : paint->is.even;
    if (isnan(own))
        return false;
    if (!isnan(paint->is.level) && is_on_line(paint, place, value))
        *colour = INK;
    else
        *colour = foci_map_over_photo(
            paint->is.legend->colours[foci_map_legend_class(paint->is.legend, paint->is.edges, value)],
            photo_under(paint), place);
    if (is_unspoken(paint, place))
        *colour = foci_map_mesh_at(*colour, pixel.x, pixel.y);
    return true;
}

/* Values of a piece of ground. */
typedef struct {
    double least, most;
} span;

static void span_take(span *values, double value) {
    if (value < values->least) /* never of NaN */
        values->least = value;
    if (value > values->most)
        values->most = value;
}

/* Whether they are of one class, whose colour is then `*colour`, all on one side of the level. */
static bool has_one_colour(uint32_t *colour, const layer_paint *paint, span values) {
    span_take(&values, paint->is.even);
    const double rounding = 1e-9 * fmax(fabs(values.least), fabs(values.most));
    const double least = values.least - rounding, most = values.most + rounding;
    const size_t class = foci_map_legend_class(paint->is.legend, paint->is.edges, least);
    *colour = paint->is.legend->colours[class];
    return foci_map_legend_class(paint->is.legend, paint->is.edges, most) == class &&
           (isnan(paint->is.level) || (least >= paint->is.level) == (most >= paint->is.level));
}

/* Surely one colour where the values round the ground are of one class: what is drawn between them is too. Between four
 * centres that all have values those at the ground's own corners tell more: nothing between them is beyond them. The
 * line of the level looks a little farther to the north and the east. White where there is no value. Over a photo no
 * two dots are alike. */
static bool layer_even(foci_map_even_ground *ground, const void *what, foci_point place, double reach) {
    const layer_paint *paint = what;
    const double far = isnan(paint->is.level) ? reach : reach + paint->width;
    span values = {INFINITY, -INFINITY}, corners = {INFINITY, -INFINITY};
    foci_map_block block = {0};
    if (photo_under(paint)->dots || !foci_map_block_find(&block, paint->is.grid, place, reach, far))
        return false;
    bool bare = block.cut;
    size_t unspoken = 0, cells = 0;
    for (size_t row = block.top; row < block.bottom; row++)
        for (size_t cell = row * paint->is.grid->columns + block.left;
             cell < row * paint->is.grid->columns + block.right; cell++) {
            unspoken += paint->is.unspoken && paint->is.unspoken[cell];
            cells++;
            span_take(&values, paint->is.values[cell]);
            bare = bare || isnan(paint->is.values[cell]);
        }
    ground->meshed = unspoken > 0;
    if (ground->meshed && (unspoken < cells || bare)) /* hatched in part */
        return false;
    ground->colour = FOCI_MAP_BARE;
    if (values.least > values.most)
        return true;
    if (bare && !block.corner) /* part of the ground may have no value */
        return false;
    if (has_one_colour(&ground->colour, paint, values))
        return true;
    if (bare || !block.corner)
        return false;
    for (int i = 0; i < 4; i++)
        span_take(&corners, layer_at(paint->is.grid, paint->is.values,
                                     (foci_point){place.x + (i % 2 ? far : -reach), place.y + (i / 2 ? far : -reach)}));
    return has_one_colour(&ground->colour, paint, corners);
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

double foci_map_even(const foci_survey *round, const foci_map_legend *legend) {
    if (round->readings.count == 0 || round->readings.spread.min < round->readings.spread.max || !legend->layer(round))
        return NAN;
    if (legend == &foci_map_legends[FOCI_LEGEND_SEVERITY])
        return round->readings.spread.min;
    return round->stops.kind == FOCI_READING_VALUE ? mean_of(&round->grid, legend->layer(round)) : NAN;
}

bool foci_map_field_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                         const foci_map_legend *legend, const double *edges, foci_error *err) {
    return foci_map_level_draw(canvas, view, round, legend, edges, NAN, err);
}

bool foci_map_level_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                         const foci_map_legend *legend, const double *edges, double level, foci_error *err) {
    const foci_map_layer layer = {.grid = &round->grid,
                                  .values = legend->layer(round),
                                  .legend = legend,
                                  .edges = edges,
                                  .level = level,
                                  .even = foci_map_even(round, legend),
                                  .photo = legend == &foci_map_legends[FOCI_LEGEND_SEVERITY] ? &round->photo : NULL,
                                  .unspoken = round->unspoken};
    return foci_map_layer_draw(canvas, view, &round->field.shape, &layer, err);
}

static bool is_any(const bool *marked, size_t count) {
    return marked && memchr(marked, true, count * sizeof *marked);
}

bool foci_map_layer_draw(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *field,
                         const foci_map_layer *layer, foci_error *err) {
    layer_paint paint = {.is = *layer, .width = LINE / view->scale};
    if (!layer->values)
        return foci_map_boundary_draw(canvas, view, field, err);
    if (!is_any(layer->unspoken, layer->grid->columns * layer->grid->rows))
        paint.is.unspoken = NULL; /* no sample need look its cell up */
    return foci_map_ground_draw(canvas, view, field, &(foci_map_paint){layer_colour, layer_even, &paint}, err);
}

static foci_point towards(foci_point from, foci_point to, double most) {
    const double length = hypot(to.x - from.x, to.y - from.y), part = length > 0 ? fmin(0.5, most / length) : 0;
    return (foci_point){from.x + part * (to.x - from.x), from.y + part * (to.y - from.y)};
}

void foci_map_corner_cut(foci_point out[2], const foci_ring *ring, size_t corner, double cut) {
    const foci_point at = ring->points[corner];
    out[0] = towards(at, ring->points[(corner + ring->count - 1) % ring->count], cut);
    out[1] = towards(at, ring->points[(corner + 1) % ring->count], cut);
}

/* Adds the rings with their corners cut. */
static bool add_outline(foci_canvas *canvas, const foci_map_view *view, const foci_multipolygon *shape, double cut,
                        foci_error *err) {
    for (size_t i = 0; i < shape->count; i++)
        for (size_t j = 0; j < shape->polygons[i].count; j++) {
            const foci_ring *ring = &shape->polygons[i].rings[j];
            foci_point *pixels = foci_new_array(2 * ring->count, sizeof *pixels, err);
            if (!pixels)
                return false;
            for (size_t k = 0; k < ring->count; k++) {
                foci_map_corner_cut(&pixels[2 * k], ring, k, cut);
                pixels[2 * k] = foci_map_view_pixel(view, pixels[2 * k]);
                pixels[2 * k + 1] = foci_map_view_pixel(view, pixels[2 * k + 1]);
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

bool foci_map_hotspots_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, double width,
                            foci_error *err) {
    for (size_t i = 0; i < round->hotspots.count; i++)
        if (!foci_map_outline_draw(canvas, view, &round->hotspots.items[i].shape, round->grid.cell, width, err))
            return false;
    return true;
}

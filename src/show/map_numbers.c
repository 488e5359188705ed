#include "show/map_field.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"

#define INK 0x1A1A1A
#define RADIUS 21.0    /* of the disc that holds a number, pixels */
#define STOP_ROOM 13.0 /* a stop's symbol with its white edge */
#define STEPS 28       /* places tried across and down a hotspot */
#define TURNS 16       /* directions tried round it */

/* What is on the sheet already. */
typedef struct {
    const foci_map_view *view;
    const foci_round *round;
    foci_box frame;
    foci_point *numbers;
    size_t count;
} placing;

/* How badly a disc at `middle` covers what is there; less is better. */
static double cost_of(const placing *at, foci_point middle) {
    double cost = 0;
    if (middle.x < at->frame.west + RADIUS || middle.x > at->frame.east - RADIUS ||
        middle.y < at->frame.north + RADIUS || middle.y > at->frame.south - RADIUS)
        cost += 1000;
    for (size_t i = 0; i < at->round->readings.count; i++) {
        const foci_point stop = foci_map_view_pixel(at->view, at->round->readings.places[i]);
        const double gap = hypot(stop.x - middle.x, stop.y - middle.y) - RADIUS - STOP_ROOM;
        if (gap < 0)
            cost += 3 - gap / 4;
    }
    for (size_t i = 0; i < at->count; i++) {
        const double gap = hypot(at->numbers[i].x - middle.x, at->numbers[i].y - middle.y) - 2 * RADIUS - 6;
        if (gap < 0)
            cost += 100 - gap;
    }
    return cost;
}

/* The hotspot's box in pixels, south being the larger y. */
static foci_box pixel_box(const foci_map_view *view, const foci_multipolygon *shape) {
    const foci_box box = foci_multipolygon_box(shape);
    const foci_point high = foci_map_view_pixel(view, (foci_point){box.west, box.north});
    const foci_point low = foci_map_view_pixel(view, (foci_point){box.east, box.south});
    return (foci_box){high.x, low.y, low.x, high.y};
}

static foci_point place_of(const foci_map_view *view, foci_point pixel) {
    return (foci_point){view->west + (pixel.x - view->x) / view->scale,
                        view->north - (pixel.y - view->y) / view->scale};
}

/* The best place inside the hotspot where the whole disc fits; cost infinity where there is none. */
static double best_inside(foci_point *best, const placing *at, const foci_hotspot *spot) {
    const foci_box box = pixel_box(at->view, &spot->shape);
    const foci_point middle = {(box.west + box.east) / 2, (box.north + box.south) / 2};
    double least = INFINITY;
    for (int i = 0; i < STEPS * STEPS; i++) {
        const int across = i % STEPS, down = i / STEPS;
        const foci_point pixel = {box.west + (across + 0.5) / STEPS * (box.east - box.west),
                                  box.north + (down + 0.5) / STEPS * (box.south - box.north)};
        const foci_point place = place_of(at->view, pixel);
        if (!foci_multipolygon_contains(&spot->shape, place) ||
            foci_multipolygon_edge_distance(&spot->shape, place) * at->view->scale < RADIUS + 6)
            continue;
        const double cost = cost_of(at, pixel) + hypot(pixel.x - middle.x, pixel.y - middle.y) / 200;
        if (cost < least) {
            least = cost;
            *best = pixel;
        }
    }
    return least;
}

/* The best place round the hotspot, near its edge. */
static double best_outside(foci_point *best, const placing *at, const foci_hotspot *spot) {
    const foci_box box = pixel_box(at->view, &spot->shape);
    double least = INFINITY;
    for (int i = 0; i < 3 * TURNS; i++) {
        const int lap = i / TURNS;
        const double turn = 2 * M_PI * (i % TURNS) / TURNS, away = RADIUS + 14 + 16 * lap;
        const foci_point pixel = {(box.west + box.east) / 2 + cos(turn) * ((box.east - box.west) / 2 + away),
                                  (box.north + box.south) / 2 + sin(turn) * ((box.south - box.north) / 2 + away)};
        const double cost = cost_of(at, pixel) + 2 + lap;
        if (cost < least) {
            least = cost;
            *best = pixel;
        }
    }
    return least;
}

/* The corner of the hotspot's outlines that is nearest to a pixel. */
static foci_point nearest_corner(const foci_map_view *view, const foci_multipolygon *shape, foci_point from) {
    foci_point nearest = from;
    double least = INFINITY;
    for (size_t i = 0; i < shape->count; i++)
        for (size_t k = 0; k < shape->polygons[i].rings[0].count; k++) {
            const foci_point corner = foci_map_view_pixel(view, shape->polygons[i].rings[0].points[k]);
            const double distance = hypot(corner.x - from.x, corner.y - from.y);
            if (distance >= least)
                continue;
            least = distance;
            nearest = corner;
        }
    return nearest;
}

static void draw_number(foci_canvas *canvas, foci_point middle, int number) {
    char text[16];
    snprintf(text, sizeof text, "%d", number);
    const foci_lettering bold = {
        .size = number < 100 ? 28 : 20, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    foci_canvas_circle(canvas, middle, RADIUS);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_circle(canvas, middle, RADIUS);
    foci_canvas_stroke(canvas, INK, 3);
    const foci_point extent = foci_canvas_measure(canvas, &bold, text);
    foci_canvas_text(canvas, middle.x, middle.y - extent.y / 2, &bold, text);
}

bool foci_map_numbers_draw(foci_canvas *canvas, const foci_map_view *view, const foci_round *round, foci_box frame,
                           foci_error *err) {
    placing at = {view, round, frame, foci_new_array(round->hotspots.count, sizeof(foci_point), err), 0};
    if (!at.numbers)
        return false;
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        foci_point inside = {0}, outside = {0};
        const double cost_inside = best_inside(&inside, &at, spot), cost_outside = best_outside(&outside, &at, spot);
        foci_point middle = inside;
        if (cost_outside < cost_inside) {
            const foci_point ends[] = {outside, nearest_corner(view, &spot->shape, outside)};
            foci_canvas_line(canvas, ends, 2, false);
            foci_canvas_stroke_on_white(canvas, INK, 3, 2);
            middle = outside;
        }
        draw_number(canvas, middle, spot->id);
        at.numbers[at.count++] = middle;
    }
    free(at.numbers);
    return true;
}

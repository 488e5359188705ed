#include "show/map_room.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"

#define INK 0x1A1A1A
#define RADIUS 21.0    /* of the disc that holds a number, pixels */
#define NUMBER_GAP 6.0 /* between two numbers */
#define NUMBER_WEIGHT 100.0
#define STEPS 28 /* places tried across and down a hotspot */
#define TURNS 16 /* directions tried round it */

/* The best place inside the hotspot where the whole disc fits; cost infinity where there is none. */
static double best_inside(foci_point *best, const foci_map_view *view, const foci_map_room *room,
                          const foci_multipolygon *shape) {
    const foci_box box = foci_map_view_box(view, shape);
    const foci_point middle = {(box.west + box.east) / 2, (box.north + box.south) / 2};
    double least = INFINITY;
    for (int i = 0; i < STEPS * STEPS; i++) {
        const int across = i % STEPS, down = i / STEPS;
        const foci_point pixel = {box.west + (across + 0.5) / STEPS * (box.east - box.west),
                                  box.north + (down + 0.5) / STEPS * (box.south - box.north)};
        const foci_point place = foci_map_view_place(view, pixel);
        if (!foci_multipolygon_contains(shape, place) ||
            foci_multipolygon_edge_distance(shape, place) * view->scale < RADIUS + 6)
            continue;
        const double cost =
            foci_map_room_cost(room, pixel, RADIUS) + hypot(pixel.x - middle.x, pixel.y - middle.y) / 200;
        if (cost < least) {
            least = cost;
            *best = pixel;
        }
    }
    return least;
}

/* The best place round the hotspot, near its edge. */
static double best_outside(foci_point *best, const foci_map_view *view, const foci_map_room *room,
                           const foci_multipolygon *shape) {
    const foci_box box = foci_map_view_box(view, shape);
    double least = INFINITY;
    for (int i = 0; i < 3 * TURNS; i++) {
        const int lap = i / TURNS;
        const double turn = 2 * M_PI * (i % TURNS) / TURNS, away = RADIUS + 14 + 16 * lap;
        const foci_point pixel = {(box.west + box.east) / 2 + cos(turn) * ((box.east - box.west) / 2 + away),
                                  (box.north + box.south) / 2 + sin(turn) * ((box.south - box.north) / 2 + away)};
        const double cost = foci_map_room_cost(room, pixel, RADIUS) + 2 + lap;
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

bool foci_map_shapes_number(foci_canvas *canvas, const foci_map_view *view, const foci_map_numbered *items,
                            size_t count, foci_map_room *room, foci_error *err) {
    for (size_t i = 0; i < count; i++) {
        foci_point inside = {0}, outside = {0};
        const double cost_inside = best_inside(&inside, view, room, items[i].shape);
        const double cost_outside = best_outside(&outside, view, room, items[i].shape);
        foci_point middle = inside;
        if (cost_outside < cost_inside) {
            const foci_point ends[] = {outside, nearest_corner(view, items[i].shape, outside)};
            foci_canvas_line(canvas, ends, 2, false);
            foci_canvas_stroke_on_white(canvas, INK, 3, 2);
            middle = outside;
        }
        draw_number(canvas, middle, items[i].number);
        if (!foci_map_room_take(room, middle, RADIUS + NUMBER_GAP, NUMBER_WEIGHT, err))
            return false;
    }
    return true;
}

bool foci_map_numbers_draw(foci_canvas *canvas, const foci_map_view *view, const foci_hotspots *hotspots,
                           foci_map_room *room, foci_error *err) {
    foci_map_numbered *items = foci_new_array(hotspots->count, sizeof *items, err);
    if (!items)
        return false;
    for (size_t i = 0; i < hotspots->count; i++)
        items[i] = (foci_map_numbered){hotspots->items[i].id, &hotspots->items[i].shape};
    const bool ok = foci_map_shapes_number(canvas, view, items, hotspots->count, room, err);
    free(items);
    return ok;
}

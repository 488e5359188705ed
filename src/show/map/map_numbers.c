/* The numbers of hotspots: large discs. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "show/map/map_labels.h"

#define INK 0x1A1A1A
#define RING 1.5     /* half the line of a disc */
#define GAP 3.0      /* between a number and what else there is */
#define LEADER 3.5   /* half a line that leads to a shape, with its white */
#define STEPS 28     /* places tried across and down a shape */
#define TURNS 24     /* directions tried round it */
#define LAPS 7       /* distances tried */
#define EDGE 6.0     /* between a disc inside and the shape's outline */
#define SPARED 200.0 /* how far from the middle a number goes rather than stand where another wants to, pixels */
#define SPARED_ROOM 16.0

static const double radii[] = {21, 15}; /* of a disc; the smaller one where the larger finds no room */

static double cost_of(foci_point pixel, double radius, foci_point middle, const foci_point *spared, size_t count) {
    double cost = hypot(pixel.x - middle.x, pixel.y - middle.y);
    for (size_t i = 0; i < count; i++)
        if (hypot(spared[i].x - pixel.x, spared[i].y - pixel.y) < radius + SPARED_ROOM)
            cost += SPARED;
    return cost;
}

/* The best place inside the shape where the whole disc fits. */
static bool place_inside(foci_map_label *label, double radius, const foci_map_view *view,
                         const foci_multipolygon *shape, const foci_point *spared, size_t spared_count,
                         const foci_map_room *room) {
    const foci_box box = foci_map_view_box(view, shape);
    const foci_point middle = {(box.west + box.east) / 2, (box.north + box.south) / 2};
    double least = INFINITY;
    for (int i = 0; i < STEPS * STEPS; i++) {
        const int across = i % STEPS, down = i / STEPS;
        const foci_point pixel = {box.west + (across + 0.5) / STEPS * (box.east - box.west),
                                  box.north + (down + 0.5) / STEPS * (box.south - box.north)};
        const foci_point place = foci_map_view_place(view, pixel);
        const foci_map_taken disc = foci_map_disc(pixel, radius + RING + GAP);
        const double cost = cost_of(pixel, radius, middle, spared, spared_count);
        if (cost >= least || !foci_multipolygon_contains(shape, place) ||
            foci_multipolygon_edge_distance(shape, place) * view->scale < radius + EDGE ||
            !foci_map_room_is_free(room, &disc))
            continue;
        least = cost;
        label->middle = pixel;
    }
    return isfinite(least);
}

/* A line from the disc to that corner of the shape's outlines which is nearest among those it can reach. */
static bool lead(foci_map_label *label, double radius, const foci_map_view *view, const foci_multipolygon *shape,
                 const foci_map_room *room) {
    double least = INFINITY;
    for (size_t i = 0; i < shape->count; i++)
        for (size_t k = 0; k < shape->polygons[i].rings[0].count; k++) {
            const foci_point corner = foci_map_view_pixel(view, shape->polygons[i].rings[0].points[k]);
            const double x = corner.x - label->middle.x, y = corner.y - label->middle.y, away = hypot(x, y);
            if (away >= least || away <= radius)
                continue;
            const foci_point from = {label->middle.x + x / away * radius, label->middle.y + y / away * radius};
            const foci_map_taken line = foci_map_line(from, corner, LEADER);
            if (!foci_map_room_is_free(room, &line))
                continue;
            least = away;
            label->led = true;
            label->from = from;
            label->to = corner;
        }
    return isfinite(least);
}

/* Round the shape, as near as there is room. */
static bool place_outside(foci_map_label *label, double radius, const foci_map_view *view,
                          const foci_multipolygon *shape, const foci_point *spared, size_t spared_count,
                          const foci_map_room *room) {
    const foci_box box = foci_map_view_box(view, shape);
    const foci_point middle = {(box.west + box.east) / 2, (box.north + box.south) / 2};
    for (int lap = 0; lap < LAPS; lap++) {
        foci_map_label best = {0};
        double least = INFINITY;
        for (int i = 0; i < TURNS; i++) {
            const double turn = 2 * M_PI * i / TURNS, away = radius + 14 + 16 * lap;
            foci_map_label tried = *label;
            tried.middle = (foci_point){middle.x + cos(turn) * ((box.east - box.west) / 2 + away),
                                        middle.y + sin(turn) * ((box.south - box.north) / 2 + away)};
            const foci_map_taken disc = foci_map_disc(tried.middle, radius + RING + GAP);
            const double cost = cost_of(tried.middle, radius, middle, spared, spared_count);
            if (cost >= least || !foci_map_room_is_free(room, &disc) || !lead(&tried, radius, view, shape, room))
                continue;
            least = cost;
            best = tried;
        }
        if (isfinite(least)) {
            *label = best;
            return true;
        }
    }
    return false;
}

bool foci_map_numbers_place(foci_map_label *labels, const foci_map_view *view, const foci_map_numbered *items,
                            size_t count, const foci_point *spared, size_t spared_count, foci_map_room *room,
                            foci_error *err) {
    for (size_t i = 0; i < count; i++) {
        foci_map_label *label = &labels[i];
        *label = (foci_map_label){.number = items[i].number};
        for (size_t r = 0; r < sizeof radii / sizeof *radii && !label->shown; r++) {
            label->width = label->height = 2 * radii[r];
            label->shown = place_inside(label, radii[r], view, items[i].shape, spared, spared_count, room) ||
                           place_outside(label, radii[r], view, items[i].shape, spared, spared_count, room);
        }
        if (!label->shown)
            continue;
        if (!foci_map_room_take(room, foci_map_disc(label->middle, label->width / 2 + RING + GAP), err) ||
            (label->led && !foci_map_room_take(room, foci_map_line(label->from, label->to, LEADER), err)))
            return false;
    }
    return true;
}

void foci_map_numbers_draw(foci_canvas *canvas, const foci_map_label *labels, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const foci_map_label *label = &labels[i];
        const double radius = label->width / 2;
        char text[16];
        if (!label->shown)
            continue;
        if (label->led) {
            foci_canvas_line(canvas, (const foci_point[]){label->from, label->to}, 2, false);
            foci_canvas_stroke_on_white(canvas, INK, 3, 2);
        }
        snprintf(text, sizeof text, "%d", label->number);
        const foci_lettering bold = {.size = radius * (label->number < 100 ? 1.33 : 0.95),
                                     .bold = true,
                                     .colour = INK,
                                     .align = FOCI_ALIGN_MIDDLE};
        foci_canvas_circle(canvas, label->middle, radius);
        foci_canvas_fill(canvas, 0xFFFFFF);
        foci_canvas_circle(canvas, label->middle, radius);
        foci_canvas_stroke(canvas, INK, 2 * RING);
        const foci_point extent = foci_canvas_measure(canvas, &bold, text);
        foci_canvas_text(canvas, label->middle.x, label->middle.y - extent.y / 2, &bold, text);
    }
}

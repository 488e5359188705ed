#include "show/map/map_view.h"

#include <math.h>

#include "base/frame.h"

#define WORTH_TURNING 1.5

/* Clockwise; a turn of 0 leaves a place as it is, to the last digit. */
static foci_point turned(foci_point place, double cosine, double sine) {
    return (foci_point){place.x * cosine + place.y * sine, place.y * cosine - place.x * sine};
}

static foci_box turned_box(const foci_multipolygon *shape, double cosine, double sine) {
    foci_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < shape->count; i++)
        for (size_t k = 0; k < shape->polygons[i].rings[0].count; k++) {
            const foci_point place = turned(shape->polygons[i].rings[0].points[k], cosine, sine);
            box.west = fmin(box.west, place.x);
            box.east = fmax(box.east, place.x);
            box.south = fmin(box.south, place.y);
            box.north = fmax(box.north, place.y);
        }
    return box;
}

static double scale_of(const foci_multipolygon *shape, double turn, double width, double height) {
    const foci_box box = turned_box(shape, cos(turn * FOCI_DEGREE), sin(turn * FOCI_DEGREE));
    return fmin(width / fmax(box.east - box.west, 1e-6), height / fmax(box.north - box.south, 1e-6));
}

/* The best of the turns from `first` in steps up to `last`. */
static double best_turn(const foci_multipolygon *shape, double first, double last, double step, double width,
                        double height) {
    double best = first, largest = -INFINITY;
    for (int i = 0; first + i * step <= last + 1e-9; i++) {
        const double turn = first + i * step, scale = scale_of(shape, turn, width, height);
        if (scale > largest * (1 + 1e-9)) {
            largest = scale;
            best = turn;
        }
    }
    return best;
}

double foci_map_turn(const foci_multipolygon *shape, double width, double height) {
    const double coarse = best_turn(shape, -89, 90, 1, width, height);
    const double best = best_turn(shape, fmax(coarse - 1, -89.95), fmin(coarse + 1, 90), 0.05, width, height);
    return scale_of(shape, best, width, height) >= WORTH_TURNING * scale_of(shape, 0, width, height) ? best : 0;
}

foci_map_view foci_map_view_fit(const foci_multipolygon *shape, double turn, double x, double y, double width,
                                double height, double room) {
    foci_map_view view = {.cosine = cos(turn * FOCI_DEGREE), .sine = sin(turn * FOCI_DEGREE)};
    const foci_box box = turned_box(shape, view.cosine, view.sine);
    const double east = fmax(box.east - box.west, 1e-6), north = fmax(box.north - box.south, 1e-6);
    view.west = box.west;
    view.north = box.north;
    view.scale = fmin((width - 2 * room) / east, (height - 2 * room) / north);
    view.width = east * view.scale;
    view.height = north * view.scale;
    view.x = x + (width - view.width) / 2;
    view.y = y + (height - view.height) / 2;
    return view;
}

foci_point foci_map_view_pixel(const foci_map_view *view, foci_point place) {
    const foci_point at = turned(place, view->cosine, view->sine);
    return (foci_point){view->x + (at.x - view->west) * view->scale, view->y + (view->north - at.y) * view->scale};
}

foci_point foci_map_view_place(const foci_map_view *view, foci_point pixel) {
    const foci_point at = {view->west + (pixel.x - view->x) / view->scale,
                           view->north - (pixel.y - view->y) / view->scale};
    return turned(at, view->cosine, -view->sine);
}

foci_box foci_map_view_box(const foci_map_view *view, const foci_multipolygon *shape) {
    const foci_box box = turned_box(shape, view->cosine, view->sine);
    return (foci_box){
        view->x + (box.west - view->west) * view->scale, view->y + (view->north - box.south) * view->scale,
        view->x + (box.east - view->west) * view->scale, view->y + (view->north - box.north) * view->scale};
}

double foci_map_view_turn(const foci_map_view *view) {
    return atan2(view->sine, view->cosine) / FOCI_DEGREE;
}

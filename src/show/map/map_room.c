#include "show/map/map_room.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

foci_map_taken foci_map_disc(foci_point middle, double radius) {
    return (foci_map_taken){.from = middle, .to = middle, .radius = radius};
}

foci_map_taken foci_map_box(foci_point middle, double width, double height, double radius) {
    return (foci_map_taken){.from = {middle.x - width / 2, middle.y - height / 2},
                            .to = {middle.x + width / 2, middle.y + height / 2},
                            .radius = radius};
}

foci_map_taken foci_map_line(foci_point from, foci_point to, double radius) {
    return (foci_map_taken){.line = true, .from = from, .to = to, .radius = radius};
}

/* ---- distances; 0 where the two meet ---- */

static double point_to_line(foci_point point, const foci_map_taken *line) {
    const double x = line->to.x - line->from.x, y = line->to.y - line->from.y, squares = x * x + y * y;
    double part = squares > 0 ? ((point.x - line->from.x) * x + (point.y - line->from.y) * y) / squares : 0;
    part = fmin(1, fmax(0, part));
    return hypot(line->from.x + part * x - point.x, line->from.y + part * y - point.y);
}

static double point_to_box(foci_point point, const foci_map_taken *box) {
    return hypot(fmax(0, fmax(box->from.x - point.x, point.x - box->to.x)),
                 fmax(0, fmax(box->from.y - point.y, point.y - box->to.y)));
}

static double box_to_box(const foci_map_taken *a, const foci_map_taken *b) {
    return hypot(fmax(0, fmax(a->from.x - b->to.x, b->from.x - a->to.x)),
                 fmax(0, fmax(a->from.y - b->to.y, b->from.y - a->to.y)));
}

/* Which side of the line from o to a the point b is on. */
static double side(foci_point o, foci_point a, foci_point b) {
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

static bool cross(const foci_map_taken *a, const foci_map_taken *b) {
    return side(a->from, a->to, b->from) * side(a->from, a->to, b->to) < 0 &&
           side(b->from, b->to, a->from) * side(b->from, b->to, a->to) < 0;
}

static double line_to_line(const foci_map_taken *a, const foci_map_taken *b) {
    if (cross(a, b))
        return 0;
    return fmin(fmin(point_to_line(a->from, b), point_to_line(a->to, b)),
                fmin(point_to_line(b->from, a), point_to_line(b->to, a)));
}

static double line_to_box(const foci_map_taken *line, const foci_map_taken *box) {
    const foci_point corners[] = {box->from, {box->to.x, box->from.y}, box->to, {box->from.x, box->to.y}};
    double least = fmin(point_to_box(line->from, box), point_to_box(line->to, box));
    for (int i = 0; i < 4; i++) {
        const foci_map_taken edge = foci_map_line(corners[i], corners[(i + 1) % 4], 0);
        least = fmin(least, line_to_line(line, &edge));
    }
    return least;
}

double foci_map_gap(const foci_map_taken *a, const foci_map_taken *b) {
    const double between = a->line && b->line ? line_to_line(a, b)
                           : a->line          ? line_to_box(a, b)
                           : b->line          ? line_to_box(b, a)
                                              : box_to_box(a, b);
    return between - a->radius - b->radius;
}

/* ---- the room ---- */

bool foci_map_room_take(foci_map_room *room, foci_map_taken thing, foci_error *err) {
    if (!foci_grow_array((void **)&room->items, &room->capacity, room->count + 1, sizeof *room->items, err))
        return false;
    room->items[room->count++] = thing;
    return true;
}

static bool is_inside(const foci_box *frame, const foci_map_taken *thing) {
    return fmin(thing->from.x, thing->to.x) - thing->radius >= frame->west &&
           fmax(thing->from.x, thing->to.x) + thing->radius <= frame->east &&
           fmin(thing->from.y, thing->to.y) - thing->radius >= frame->north &&
           fmax(thing->from.y, thing->to.y) + thing->radius <= frame->south;
}

bool foci_map_room_is_free(const foci_map_room *room, const foci_map_taken *thing) {
    if (!is_inside(&room->frame, thing))
        return false;
    for (size_t i = 0; i < room->count; i++)
        if (foci_map_gap(&room->items[i], thing) < 0)
            return false;
    return true;
}

void foci_map_room_free(foci_map_room *room) {
    free(room->items);
    *room = (foci_map_room){0};
}

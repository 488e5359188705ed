#include "show/map_room.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define STOP_ROOM 13.0 /* a stop's symbol with its white edge */
#define STOP_WEIGHT 3.0
#define OUTSIDE 1000.0 /* the cost of leaving the frame */

bool foci_map_room_take(foci_map_room *room, foci_point middle, double radius, double weight, foci_error *err) {
    if (!foci_grow_array((void **)&room->items, &room->capacity, room->count + 1, sizeof *room->items, err))
        return false;
    room->items[room->count++] = (foci_map_taken){middle, radius, weight};
    return true;
}

bool foci_map_room_take_stops(foci_map_room *room, const foci_map_view *view, const foci_readings *readings,
                              foci_error *err) {
    for (size_t i = 0; i < readings->count; i++)
        if (!foci_map_room_take(room, foci_map_view_pixel(view, readings->places[i]), STOP_ROOM, STOP_WEIGHT, err))
            return false;
    return true;
}

double foci_map_room_cost(const foci_map_room *room, foci_point middle, double radius) {
    double cost = 0;
    if (middle.x < room->frame.west + radius || middle.x > room->frame.east - radius ||
        middle.y < room->frame.north + radius || middle.y > room->frame.south - radius)
        cost += OUTSIDE;
    for (size_t i = 0; i < room->count; i++) {
        const foci_map_taken *item = &room->items[i];
        const double gap = hypot(item->middle.x - middle.x, item->middle.y - middle.y) - radius - item->radius;
        if (gap < 0)
            cost += item->weight * (1 - gap / 12);
    }
    return cost;
}

void foci_map_room_free(foci_map_room *room) {
    free(room->items);
    *room = (foci_map_room){0};
}

/* What stands on a map already, so that what is added hides as little of it as may be. */
#ifndef FOCI_SHOW_MAP_ROOM_H
#define FOCI_SHOW_MAP_ROOM_H

#include "show/map_field.h"

typedef struct {
    foci_point middle; /* pixels */
    double radius;
    double weight; /* how bad it is to cover it */
} foci_map_taken;

struct foci_map_room {
    foci_box frame; /* pixels, south being the larger y: nothing is put outside it */
    size_t count, capacity;
    foci_map_taken *items; /* owned */
};

bool foci_map_room_take(foci_map_room *room, foci_point middle, double radius, double weight,
                        foci_error *err) FOCI_MUST_CHECK;

/* Takes the room of the symbols of all stops that are read. */
bool foci_map_room_take_stops(foci_map_room *room, const foci_map_view *view, const foci_readings *readings,
                              foci_error *err) FOCI_MUST_CHECK;

/* How badly a disc covers what is there; 0: not at all. */
double foci_map_room_cost(const foci_map_room *room, foci_point middle, double radius);

void foci_map_room_free(foci_map_room *room);

#endif

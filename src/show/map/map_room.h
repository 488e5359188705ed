/* What stands on a map already: what is added covers none of it. */
#ifndef FOCI_SHOW_MAP_ROOM_H
#define FOCI_SHOW_MAP_ROOM_H

#include "fieldfoci/geometry.h"

/* A box, a disc (a box without size) or a line, with free room round it; pixels. */
typedef struct {
    bool line;
    foci_point from, to; /* ends of the line, or two corners of the box, the first with the lesser x and y */
    double radius;       /* of the room round it */
} foci_map_taken;

foci_map_taken foci_map_disc(foci_point middle, double radius);
foci_map_taken foci_map_box(foci_point middle, double width, double height, double radius);
foci_map_taken foci_map_line(foci_point from, foci_point to, double radius);

/* Pixels between two things; below 0 where one covers part of the other. */
double foci_map_gap(const foci_map_taken *a, const foci_map_taken *b);

typedef struct {
    foci_box frame; /* pixels, south being the larger y: nothing is put outside it */
    size_t count, capacity;
    foci_map_taken *items; /* owned */
} foci_map_room;

bool foci_map_room_take(foci_map_room *room, foci_map_taken thing, foci_error *err) FOCI_MUST_CHECK;

/* Whether the thing would stand inside the frame and cover nothing. */
bool foci_map_room_is_free(const foci_map_room *room, const foci_map_taken *thing);

void foci_map_room_free(foci_map_room *room);

#endif

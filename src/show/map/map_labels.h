/* The numbers on a map: hotspots' in discs, dig-checks' in boxes. First each is given its place, where it covers no
 * stop and none of the others, nor does the line that leads from it; then all are drawn. One that finds no room is left
 * out: the files have it. */
#ifndef FOCI_SHOW_MAP_LABELS_H
#define FOCI_SHOW_MAP_LABELS_H

#include "fieldfoci/dig_points.h"
#include "show/draw/canvas.h"
#include "show/map/map_room.h"
#include "show/map/map_view.h"

typedef struct {
    int number;
    const foci_multipolygon *shape; /* metres; borrowed */
} foci_map_numbered;

/* Pixels. */
typedef struct {
    int number;
    bool shown;
    foci_point middle;
    double width, height; /* of the box, or across the disc */
    bool led;             /* a line goes from its edge to what it speaks of */
    foci_point from, to;  /* of that line, `to` being the end at the place */
    bool marked;          /* a small square stands on the place */
} foci_map_label;

/* Of shapes that are as large as they are drawn. Where it can be chosen a number avoids the `spared` places, where
 * others would like to stand. What is placed takes its room. */
bool foci_map_numbers_place(foci_map_label *labels, const foci_map_view *view, const foci_map_numbered *items,
                            size_t count, const foci_point *spared, size_t spared_count, foci_map_room *room,
                            foci_error *err) FOCI_MUST_CHECK;
void foci_map_numbers_draw(foci_canvas *canvas, const foci_map_label *labels, size_t count);

/* On its place where it can be, else beside it. More than FOCI_DIGS_NUMBERED nobody can read: then they are small boxes
 * without numbers. */
enum { FOCI_DIGS_NUMBERED = 60 };
bool foci_map_digs_place(foci_map_label *labels, foci_canvas *canvas, const foci_map_view *view,
                         const foci_dig_points *digs, foci_map_room *room, foci_error *err) FOCI_MUST_CHECK;
void foci_map_digs_draw(foci_canvas *canvas, const foci_map_label *labels, size_t count);

#endif

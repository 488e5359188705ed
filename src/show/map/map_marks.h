/* What people know the field by, on the map: the photo under it, marks with their names. */
#ifndef FOCI_SHOW_MAP_MARKS_H
#define FOCI_SHOW_MAP_MARKS_H

#include "fieldfoci/survey.h"
#include "show/draw/canvas.h"
#include "show/map/map_room.h"
#include "show/map/map_view.h"

/* The round's photo all over the frame (pixels, south being the larger y), paler than it is; nothing without one. */
bool foci_map_photo_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_box frame,
                         foci_error *err) FOCI_MUST_CHECK;

/* The photo as it is, over the whole view. */
bool foci_map_photo_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                                foci_error *err) FOCI_MUST_CHECK;

/* A color of the ground as it is seen over the photo at this place; the color itself without one. */
uint32_t foci_map_over_photo(uint32_t color, const foci_photo *photo, foci_point place);

/* The round's marks and its gate within the frame: small triangles, lines, outlines. */
bool foci_map_marks_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_box frame,
                         foci_error *err) FOCI_MUST_CHECK;

/* Their names, each where it covers nothing that stands there; one that finds no room is left out. */
bool foci_map_marks_name(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_map_room *room,
                         foci_error *err) FOCI_MUST_CHECK;

#endif

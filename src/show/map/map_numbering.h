/* The numbers of a round's hotspots and dig-checks on one map: hotspots first, then dig-checks. */
#ifndef FOCI_SHOW_MAP_NUMBERING_H
#define FOCI_SHOW_MAP_NUMBERING_H

#include "fieldfoci/survey.h"
#include "show/map/map_labels.h"

/* {0} is none. */
typedef struct {
    size_t hotspots, digs;
    foci_map_label *labels;   /* of both, as they were placed; owned */
    foci_map_numbered *items; /* the hotspots; owned */
    foci_point *spared;       /* where dig-checks would like to stand; owned */
} foci_map_numbering;

/* Gives all their places inside the frame (pixels, south being the larger y), none on a stop, and draws them; the names
 * of marks in the room that is left. `edges`: the breaks of severity, which the stops are drawn by; NULL: on this map
 * no stops are drawn. */
bool foci_map_numbering_draw(foci_map_numbering *all, foci_canvas *canvas, const foci_map_view *view,
                             const foci_survey *round, const double *edges, foci_box frame,
                             foci_error *err) FOCI_MUST_CHECK;

void foci_map_numbering_free(foci_map_numbering *all);

#endif

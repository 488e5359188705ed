#include "show/map/map_numbering.h"

#include <stdlib.h>

#include "base/memory.h"
#include "show/map/map_marks.h"
#include "show/map/map_symbols.h"

void foci_map_numbering_free(foci_map_numbering *all) {
    free(all->labels);
    free(all->items);
    free(all->spared);
    *all = (foci_map_numbering){0};
}

static bool open_numbering(foci_map_numbering *all, const foci_map_view *view, const foci_survey *round,
                           foci_error *err) {
    all->hotspots = round->hotspots.count;
    all->digs = round->digs.count;
    if (!(all->labels = foci_new_array(all->hotspots + all->digs, sizeof *all->labels, err)) ||
        !(all->items = foci_new_array(all->hotspots, sizeof *all->items, err)) ||
        !(all->spared = foci_new_array(all->digs, sizeof *all->spared, err)))
        return false;
    for (size_t i = 0; i < all->hotspots; i++)
        all->items[i] = (foci_map_numbered){round->hotspots.items[i].id, &round->hotspots.items[i].shape};
    for (size_t i = 0; i < all->digs; i++)
        all->spared[i] = foci_map_view_pixel(view, round->digs.items[i].place);
    return true;
}

static bool place_numbers(foci_map_numbering *all, foci_canvas *canvas, const foci_map_view *view,
                          const foci_survey *round, const double *edges, foci_box frame, foci_error *err) {
    foci_map_room room = {.frame = frame};
    const bool ok =
        (!edges || foci_map_stops_take(&room, view, round, edges, err)) &&
        foci_map_numbers_place(all->labels, view, all->items, all->hotspots, all->spared, all->digs, &room, err) &&
        foci_map_digs_place(all->labels + all->hotspots, canvas, view, &round->digs, &room, err) &&
        foci_map_marks_name(canvas, view, round, &room, err);
    foci_map_room_free(&room);
    return ok;
}

bool foci_map_numbering_draw(foci_map_numbering *all, foci_canvas *canvas, const foci_map_view *view,
                             const foci_survey *round, const double *edges, foci_box frame, foci_error *err) {
    if (!open_numbering(all, view, round, err) || !place_numbers(all, canvas, view, round, edges, frame, err))
        return false;
    foci_map_digs_draw(canvas, all->labels + all->hotspots, all->digs);
    foci_map_numbers_draw(canvas, all->labels, all->hotspots);
    return true;
}

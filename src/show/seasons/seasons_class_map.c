#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "show/draw/sheet.h"
#include "show/map/map_labels.h"
#include "show/map/map_symbols.h"
#include "show/seasons/seasons_looks.h"
#include "show/seasons/seasons_maps.h"

enum { NUMBERS_MOST = 12 };

typedef struct {
    const foci_grid *grid;
    const int *code;
} class_paint;

/* The class that weighs most among the four cells whose centres are round the place, so that the steps of the cells
 * become slopes. */
static bool class_colour(uint32_t *colour, const void *what, foci_point place, foci_point pixel) {
    const class_paint *paint = what;
    const foci_grid *grid = paint->grid;
    const double column = (place.x - grid->west) / grid->cell - 0.5, row = (grid->north - place.y) / grid->cell - 0.5;
    const double left = floor(column), top = floor(row);
    double weights[FOCI_CLASS_END] = {0};
    int best = -1;
    for (int corner = 0; corner < 4; corner++) {
        const int right = corner % 2, down = corner / 2;
        const double c = left + right, r = top + down;
        if (c < 0 || r < 0 || c >= (double)grid->columns || r >= (double)grid->rows)
            continue;
        const int code = paint->code[(size_t)r * grid->columns + (size_t)c];
        if (code < 0)
            continue;
        weights[code] += (1 - fabs(column - c)) * (1 - fabs(row - r));
        if (best < 0 || weights[code] > weights[best])
            best = code;
    }
    if (best < 0)
        return false;
    *colour = foci_class_look_at(foci_class_look_of((foci_class)best), pixel.x, pixel.y);
    return true;
}

/* A marked class has more than one colour. */
static bool class_even(foci_map_even_ground *ground, const void *what, foci_point place, double reach) {
    const class_paint *paint = what;
    foci_map_block block = {0};
    int only = -1;
    if (!foci_map_block_find(&block, paint->grid, place, reach, reach))
        return false;
    bool bare = block.cut;
    for (size_t row = block.top; row < block.bottom; row++)
        for (size_t column = block.left; column < block.right; column++) {
            const int code = paint->code[row * paint->grid->columns + column];
            if (code >= 0 && only >= 0 && code != only)
                return false;
            only = code >= 0 ? code : only;
            bare = bare || code < 0;
        }
    if (bare && only >= 0 && !block.corner) /* part of the ground may have no class */
        return false;
    const foci_class_look *look = only < 0 ? NULL : foci_class_look_of((foci_class)only);
    ground->colour = look ? look->colour : FOCI_MAP_BARE;
    return !look || look->mark == FOCI_MARK_NONE;
}

bool foci_seasons_class_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_seasons *seasons,
                                    foci_error *err) {
    const class_paint classes = {&seasons->grid, seasons->persistence.class_code};
    return foci_map_ground_draw(canvas, view, &seasons->rounds[seasons->count - 1].field.shape,
                                &(foci_map_paint){class_colour, class_even, &classes}, err);
}

static bool outlines_draw(foci_canvas *canvas, const foci_map_view *view, const foci_seasons *seasons,
                          foci_error *err) {
    for (size_t i = seasons->places.count; i-- > 0;) {
        const foci_class_place *place = &seasons->places.items[i];
        const double width = place->code == FOCI_CLASS_ALWAYS ? 5 : 2.5;
        if (place->id > 0 && !foci_map_outline_draw(canvas, view, &place->shape, seasons->grid.cell, width, err))
            return false;
    }
    return true;
}

/* The largest places, by the numbers of the list in the report. */
static bool numbers_draw(foci_canvas *canvas, const foci_map_view *view, const foci_seasons *seasons, foci_box frame,
                         foci_error *err) {
    foci_map_numbered items[NUMBERS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < seasons->places.count; i++) {
        const foci_class_place *place = &seasons->places.items[i];
        if (place->id > 0 && place->id <= NUMBERS_MOST)
            items[count++] = (foci_map_numbered){place->id, &place->shape};
    }
    foci_map_label labels[NUMBERS_MOST];
    foci_map_room room = {.frame = frame};
    const bool ok = foci_map_numbers_place(labels, view, items, count, NULL, 0, &room, err);
    if (ok)
        foci_map_numbers_draw(canvas, labels, count);
    foci_map_room_free(&room);
    return ok;
}

bool foci_seasons_class_map_draw(foci_canvas *canvas, const foci_seasons *seasons, foci_box frame, foci_error *err) {
    const foci_field *field = &seasons->rounds[seasons->count - 1].field;
    const foci_map_view view =
        foci_map_view_fit(&field->shape, foci_seasons_turn(seasons), frame.west, frame.north, frame.east - frame.west,
                          frame.south - frame.north - FOCI_CLASS_MAP_UNDER, 8);
    const foci_box map = {frame.west, frame.south - FOCI_CLASS_MAP_UNDER, frame.east, frame.north};
    double convergence = 0;
    if (!foci_meridian_convergence(&convergence, field->work_crs, field->centre, err))
        return false;
    if (!foci_seasons_class_ground_draw(canvas, &view, seasons, err) || !outlines_draw(canvas, &view, seasons, err) ||
        !numbers_draw(canvas, &view, seasons, map, err))
        return false;
    foci_map_scale_draw(canvas, frame.west, frame.south - 46, 300, view.scale, foci_words_comparison_measures(seasons));
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 22}, 20,
                        foci_map_view_turn(&view) - convergence);
    return true;
}

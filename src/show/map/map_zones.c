#include "show/map/map_zones.h"

#include <math.h>
#include <stdio.h>

#include "decide/words/survey_words.h"

#define INK 0x1A1A1A
#define SWATCH 46.0
#define ROW 26.0
#define LETTERS 22.0

/* Close dark lines on a color, or wide ones the other way on white; no lines: white. */
typedef struct {
    uint32_t ground;
    double apart, line; /* from line to line, and across one, pixels; apart 0: none */
    bool rising;        /* from the lower left to the upper right */
    double outline;
} hatching;

static const hatching looks[FOCI_ZONE_END] = {
    [FOCI_ZONE_LEAVE] = {0xFFFFFF, 0, 0, false, 1.5},
    [FOCI_ZONE_DIG] = {0xFFFFFF, 15, 1.8, false, 2},
    [FOCI_ZONE_TREAT] = {0xE08A4C, 9, 3, true, 4},
};

static const foci_zone_code order[] = {FOCI_ZONE_TREAT, FOCI_ZONE_DIG, FOCI_ZONE_LEAVE};

/* Fills and hatches what lies inside the clip and the box (pixels, south being the larger y). */
static void hatch(foci_canvas *canvas, const hatching *look, foci_box box) {
    foci_canvas_rectangle(canvas, box.west, box.north, box.east - box.west, box.south - box.north);
    foci_canvas_fill(canvas, look->ground);
    if (!(look->apart > 0))
        return;
    /* Lines x + y or x - y = c keep their places on the page, so that all parts of a zone look alike. */
    const double step = look->apart * M_SQRT2;
    const double least = look->rising ? box.west + box.north : box.west - box.south;
    const double most = look->rising ? box.east + box.south : box.east - box.north;
    const int first = (int)floor(least / step), last = (int)ceil(most / step);
    for (int i = first; i <= last; i++) {
        const double c = i * step;
        const foci_point ends[] = {{look->rising ? c - box.south : c + box.south, box.south},
                                   {look->rising ? c - box.north : c + box.north, box.north}};
        foci_canvas_line(canvas, ends, 2, false);
    }
    foci_canvas_stroke(canvas, INK, look->line);
}

static bool zone_draw(foci_canvas *canvas, const foci_map_view *view, const foci_zone *zone, const hatching *look,
                      foci_error *err) {
    if (zone->shape.count == 0)
        return true;
    if (!foci_map_shape_add(canvas, view, &zone->shape, err))
        return false;
    foci_canvas_clip(canvas);
    hatch(canvas, look, foci_map_view_box(view, &zone->shape));
    foci_canvas_unclip(canvas);
    if (!foci_map_shape_add(canvas, view, &zone->shape, err))
        return false;
    foci_canvas_stroke(canvas, INK, look->outline);
    return true;
}

bool foci_map_zones_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                                foci_error *err) {
    for (size_t i = sizeof order / sizeof *order; round->has_zones && i-- > 0;) {
        const bool bare = order[i] == FOCI_ZONE_LEAVE && round->photo.dots; /* its ground is the photo */
        if (!bare && !zone_draw(canvas, view, &round->zones.items[order[i]], &looks[order[i]], err))
            return false;
    }
    return foci_map_boundary_draw(canvas, view, &round->field.shape, err);
}

double foci_map_zones_row_draw(foci_canvas *canvas, double x, double y, double width, const foci_survey *round) {
    const foci_lettering plain = {.size = LETTERS, .colour = INK};
    char area[FOCI_WORDS_SIZE], words[2 * FOCI_WORDS_SIZE];
    const double top = y, left = x;
    for (size_t i = 0; round->has_zones && i < sizeof order / sizeof *order; i++) {
        const foci_zone *zone = &round->zones.items[order[i]];
        if (!(zone->area_ha > 0))
            continue;
        foci_words_area(area, zone->area_ha, foci_words_measures(round));
        snprintf(words, sizeof words, "%s: %s", foci_words_zone(round, order[i]), area);
        const foci_point extent = foci_canvas_measure(canvas, &plain, words);
        if (x > left && x + SWATCH + 12 + extent.x > left + width) {
            x = left;
            y += ROW + 10;
        }
        foci_canvas_rectangle(canvas, x, y, SWATCH, ROW);
        foci_canvas_clip(canvas);
        hatch(canvas, &looks[order[i]], (foci_box){x, y + ROW, x + SWATCH, y});
        foci_canvas_unclip(canvas);
        foci_canvas_rectangle(canvas, x, y, SWATCH, ROW);
        foci_canvas_stroke(canvas, INK, looks[order[i]].outline);
        foci_canvas_text(canvas, x + SWATCH + 12, y + (ROW - extent.y) / 2, &plain, words);
        x += SWATCH + 12 + extent.x + 28;
    }
    return x > left || y > top ? y + ROW - top : 0;
}

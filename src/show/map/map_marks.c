#include "show/map/map_marks.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"

#define INK 0x1A1A1A
#define ROAD 0x3D4A57   /* of lines and outlines: dark, and no color of a legend */
#define PALE 0.3        /* white in the photo round the field */
#define THROUGH 0.32    /* of the photo that is seen through the map's colors */
#define LINE 3.0        /* width of a line; outlines are thinner */
#define HALO 1.6        /* white, on either side */
#define SIGN 8.0        /* from the middle of a point's triangle to its tip */
#define LETTERS 17.0    /* size of a name's */
#define GAP 5.0         /* between a name and what it names */
#define LETTERS_MOST 30 /* of a name: a longer one ends in an ellipsis */

/* ---- the photo ---- */

static uint32_t mixed(uint32_t a, uint32_t b, double of_b) {
    uint32_t out = 0;
    for (int shift = 0; shift <= 16; shift += 8) {
        const double part = (1 - of_b) * (a >> shift & 0xFF) + of_b * (b >> shift & 0xFF);
        out |= (uint32_t)lround(part) << shift;
    }
    return out;
}

/* The photo's light and shade about its own mean are laid over the color: its own colors never pass for a class, and on
 * the whole a class keeps the color of the legend. */
uint32_t foci_map_over_photo(uint32_t color, const foci_photo *photo, foci_point place) {
    uint32_t under = 0, out = 0;
    if (!foci_photo_at(&under, photo, place))
        return color;
    const double shade = THROUGH * (foci_photo_gray(under) - photo->lightness);
    for (int shift = 0; shift <= 16; shift += 8)
        out |= (uint32_t)lround(fmin(255, fmax(0, (color >> shift & 0xFF) + shade))) << shift;
    return out;
}

/* The photo all over the frame, with so much white in it. */
static bool photo_draw(foci_canvas *canvas, const foci_map_view *view, const foci_photo *photo, foci_box frame,
                       double white, foci_error *err) {
    const int density = foci_canvas_density(canvas), left = (int)ceil(frame.west), top = (int)ceil(frame.north);
    const int width = density * ((int)floor(frame.east) - left), height = density * ((int)floor(frame.south) - top);
    if (!photo->dots || foci_canvas_is_mute(canvas) || width <= 0 || height <= 0)
        return true;
    uint32_t *dots = foci_new_array((size_t)width * (size_t)height, sizeof *dots, err);
    if (!dots)
        return false;
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            const foci_point pixel = {left + (x + 0.5) / density, top + (y + 0.5) / density};
            uint32_t color = 0;
            const bool shown = foci_photo_at(&color, photo, foci_map_view_place(view, pixel));
            dots[(size_t)y * (size_t)width + (size_t)x] = shown ? mixed(color, 0xFFFFFF, white) : 0xFFFFFF;
        }
    foci_canvas_image(canvas, dots, width, height, left, top);
    free(dots);
    return true;
}

bool foci_map_photo_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_box frame,
                         foci_error *err) {
    return photo_draw(canvas, view, &round->photo, frame, PALE, err);
}

bool foci_map_photo_ground_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round,
                                foci_error *err) {
    const foci_box frame = {view->x, ceil(view->y + view->height), ceil(view->x + view->width), view->y};
    return photo_draw(canvas, view, &round->photo, frame, 0, err);
}

/* ---- marks ---- */

static void sign_draw(foci_canvas *canvas, foci_point at) {
    const foci_point tips[] = {
        {at.x, at.y - SIGN}, {at.x + 0.87 * SIGN, at.y + 0.5 * SIGN}, {at.x - 0.87 * SIGN, at.y + 0.5 * SIGN}};
    foci_canvas_line(canvas, tips, 3, true);
    foci_canvas_stroke(canvas, 0xFFFFFF, 2 * HALO + 2);
    foci_canvas_line(canvas, tips, 3, true);
    foci_canvas_fill(canvas, ROAD);
}

static bool line_add(foci_canvas *canvas, const foci_map_view *view, const foci_ring *part, bool closed,
                     foci_error *err) {
    foci_point *pixels = foci_new_array(part->count, sizeof *pixels, err);
    if (!pixels)
        return false;
    for (size_t i = 0; i < part->count; i++)
        pixels[i] = foci_map_view_pixel(view, part->points[i]);
    foci_canvas_line(canvas, pixels, part->count, closed);
    free(pixels);
    return true;
}

static bool mark_draw(foci_canvas *canvas, const foci_map_view *view, const foci_mark *mark, foci_error *err) {
    if (mark->kind == FOCI_MARK_POINT) {
        sign_draw(canvas, foci_map_view_pixel(view, mark->parts[0].points[0]));
        return true;
    }
    for (size_t i = 0; i < mark->count; i++)
        if (!line_add(canvas, view, &mark->parts[i], mark->kind == FOCI_MARK_AREA, err))
            return false;
    foci_canvas_stroke_on_white(canvas, ROAD, mark->kind == FOCI_MARK_LINE ? LINE : LINE / 2, HALO);
    return true;
}

bool foci_map_marks_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_box frame,
                         foci_error *err) {
    bool ok = true;
    foci_canvas_rectangle(canvas, frame.west, frame.north, frame.east - frame.west, frame.south - frame.north);
    foci_canvas_clip(canvas);
    for (size_t i = 0; ok && i < round->marks.count; i++)
        ok = mark_draw(canvas, view, &round->marks.items[i], err);
    if (round->digs.at_gate)
        sign_draw(canvas, foci_map_view_pixel(view, round->digs.start));
    foci_canvas_unclip(canvas);
    return ok;
}

/* ---- names ---- */

/* A place that the name may stand at, and how far the mark reaches round it; the middle of the longest line's middle
 * stretch, a corner, a point. */
static foci_point anchor_of(const foci_map_view *view, const foci_mark *mark) {
    const foci_ring *longest = &mark->parts[0];
    for (size_t i = 1; i < mark->count; i++)
        if (mark->parts[i].count > longest->count)
            longest = &mark->parts[i];
    const size_t middle = longest->count / 2;
    const foci_point here = foci_map_view_pixel(view, longest->points[middle]);
    if (mark->kind != FOCI_MARK_LINE || middle == 0)
        return here;
    const foci_point before = foci_map_view_pixel(view, longest->points[middle - 1]);
    return (foci_point){(here.x + before.x) / 2, (here.y + before.y) / 2};
}

/* Right of it, left, above, below, then farther off. */
static bool name_draw(foci_canvas *canvas, foci_point at, const char *name, foci_map_room *room, foci_error *err) {
    static const double ways[][2] = {{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {1, 1}, {-1, -1}, {-1, 1}};
    foci_lettering letters = {
        .size = LETTERS, .bold = true, .colour = INK, .width = LETTERS * LETTERS_MOST / 2, .lines = 1};
    const foci_point extent = foci_canvas_measure(canvas, &letters, name);
    for (int i = 0; i < 24; i++) {
        const int lap = i / 8;
        const double *way = ways[i % 8], away = SIGN + GAP + LETTERS * lap;
        const foci_point middle = {at.x + way[0] * (extent.x / 2 + away), at.y + way[1] * (extent.y / 2 + away)};
        const foci_map_taken box = foci_map_box(middle, extent.x, extent.y, 2);
        if (!foci_map_room_is_free(room, &box))
            continue;
        foci_canvas_rectangle(canvas, middle.x - extent.x / 2 - 3, middle.y - extent.y / 2, extent.x + 6, extent.y);
        foci_canvas_fill(canvas, 0xFFFFFF);
        foci_canvas_text(canvas, middle.x - extent.x / 2, middle.y - extent.y / 2, &letters, name);
        return foci_map_room_take(room, box, err);
    }
    return true;
}

static bool is_in(foci_box frame, foci_point pixel) {
    return pixel.x > frame.west && pixel.x < frame.east && pixel.y > frame.north && pixel.y < frame.south;
}

bool foci_map_marks_name(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, foci_map_room *room,
                         foci_error *err) {
    for (size_t i = 0; i < round->marks.count; i++) {
        const foci_mark *mark = &round->marks.items[i];
        const foci_point at = anchor_of(view, mark);
        if (*mark->name && is_in(room->frame, at) && !name_draw(canvas, at, mark->name, room, err))
            return false;
    }
    return !round->digs.at_gate || name_draw(canvas, foci_map_view_pixel(view, round->digs.start), "gate", room, err);
}

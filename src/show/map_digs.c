/* The dig-checks on the map: boxes with the number of the visit, so that neither stops (round) nor hotspots (a large
 * disc) are taken for them, in grey and from afar too. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "show/map_room.h"
#include "show/map_symbols.h"

#define INK 0x1A1A1A
#define LETTERS 19.0    /* size of a number */
#define HEIGHT 25.0     /* of a box */
#define EDGE 2.6        /* of its line */
#define HALO 2.0        /* white, round it */
#define MARK 8.0        /* side of the square on a place whose box stands beside it */
#define BOX_WEIGHT 12.0 /* how bad it is to cover one */
#define MARK_WEIGHT 3.0
#define TURNS 16        /* directions tried round a place */
#define LAPS 2          /* distances tried */
#define NUMBERS_MOST 60 /* more numbers than these nobody can read: then small boxes */

static bool is_numbered(const foci_dig_points *digs) {
    return digs->count <= NUMBERS_MOST;
}

/* Width of the box of a visit. */
static double box_width(foci_canvas *canvas, int visit) {
    const foci_lettering bold = {.size = LETTERS, .bold = true};
    char text[16];
    snprintf(text, sizeof text, "%d", visit);
    return fmax(HEIGHT, foci_canvas_measure(canvas, &bold, text).x + 9);
}

static void box_draw(foci_canvas *canvas, foci_point middle, double width, double height) {
    const double x = middle.x - width / 2, y = middle.y - height / 2;
    foci_canvas_rectangle(canvas, x - HALO, y - HALO, width + 2 * HALO, height + 2 * HALO);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_rectangle(canvas, x + EDGE / 2, y + EDGE / 2, width - EDGE, height - EDGE);
    foci_canvas_stroke(canvas, INK, EDGE);
}

void foci_map_dig_draw(foci_canvas *canvas, foci_point middle, int visit) {
    const foci_lettering bold = {.size = LETTERS, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    char text[16];
    if (visit == 0) {
        box_draw(canvas, middle, HEIGHT / 2, HEIGHT / 2);
        return;
    }
    snprintf(text, sizeof text, "%d", visit);
    box_draw(canvas, middle, box_width(canvas, visit), HEIGHT);
    foci_canvas_text(canvas, middle.x, middle.y - foci_canvas_measure(canvas, &bold, text).y / 2, &bold, text);
}

/* Where a box of this radius hides least: on its place, or beside it. */
static foci_point best_middle(const foci_map_room *room, foci_point place, double radius) {
    foci_point best = place;
    double least = foci_map_room_cost(room, place, radius);
    for (int i = 0; i < LAPS * TURNS; i++) {
        const int lap = i / TURNS;
        const double turn = 2 * M_PI * (i % TURNS) / TURNS, away = HEIGHT * (1.1 + 0.6 * lap);
        const foci_point middle = {place.x + away * cos(turn), place.y + away * sin(turn)};
        const double cost = foci_map_room_cost(room, middle, radius) + 2 + lap;
        if (cost < least) {
            least = cost;
            best = middle;
        }
    }
    return best;
}

/* The place, and a line from it to its box. */
static void leader_draw(foci_canvas *canvas, foci_point place, foci_point middle) {
    const foci_point ends[] = {place, middle};
    foci_canvas_line(canvas, ends, 2, false);
    foci_canvas_stroke_on_white(canvas, INK, EDGE, HALO);
    foci_canvas_rectangle(canvas, place.x - MARK / 2 - HALO, place.y - MARK / 2 - HALO, MARK + 2 * HALO,
                          MARK + 2 * HALO);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_rectangle(canvas, place.x - MARK / 2, place.y - MARK / 2, MARK, MARK);
    foci_canvas_fill(canvas, INK);
}

static void small_boxes_draw(foci_canvas *canvas, const foci_map_view *view, const foci_dig_points *digs) {
    for (size_t i = 0; i < digs->count; i++)
        foci_map_dig_draw(canvas, foci_map_view_pixel(view, digs->items[i].place), 0);
}

/* Finds each box its middle, and draws the lines; the boxes come on top of them all. */
static bool leaders_draw(foci_point *middles, foci_canvas *canvas, const foci_map_view *view,
                         const foci_dig_points *digs, foci_map_room *room, foci_error *err) {
    const double radius = box_width(canvas, (int)digs->count) / 2;
    for (size_t i = 0; i < digs->count; i++) {
        const foci_point place = foci_map_view_pixel(view, digs->items[i].place);
        middles[i] = best_middle(room, place, radius);
        if (!foci_map_room_take(room, middles[i], radius + HALO, BOX_WEIGHT, err))
            return false;
        if (middles[i].x == place.x && middles[i].y == place.y)
            continue;
        leader_draw(canvas, place, middles[i]);
        if (!foci_map_room_take(room, place, MARK, MARK_WEIGHT, err))
            return false;
    }
    return true;
}

bool foci_map_digs_draw(foci_canvas *canvas, const foci_map_view *view, const foci_dig_points *digs,
                        foci_map_room *room, foci_error *err) {
    if (!is_numbered(digs)) {
        small_boxes_draw(canvas, view, digs);
        return true;
    }
    foci_point *middles = foci_new_array(digs->count, sizeof *middles, err);
    const bool ok = middles && leaders_draw(middles, canvas, view, digs, room, err);
    for (size_t i = 0; ok && i < digs->count; i++)
        foci_map_dig_draw(canvas, middles[i], digs->items[i].visit);
    free(middles);
    return ok;
}

double foci_map_digs_key_draw(foci_canvas *canvas, double x, double y, double width, const foci_dig_points *digs) {
    const foci_lettering plain = {.size = 21, .colour = INK, .width = width - 38, .lines = 2};
    if (digs->count == 0)
        return 0;
    foci_map_dig_draw(canvas, (foci_point){x + 15, y + 13}, is_numbered(digs) ? 1 : 0);
    return foci_canvas_text(canvas, x + 38, y, &plain,
                            is_numbered(digs) ? "dig and look here, in walking order (digs.gpx)"
                                              : "dig and look here; digs.gpx has the walking order");
}

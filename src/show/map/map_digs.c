/* The dig-checks on the map: boxes with the number of the visit, so that neither stops (round) nor hotspots (a large
 * disc) are taken for them, in gray and from afar too. */
#include <math.h>
#include <stdio.h>

#include "show/map/map_labels.h"
#include "decide/words/sheet_words.h"
#include "show/map/map_symbols.h"

#define INK 0x1A1A1A
#define LETTERS 0.76 /* size of a number, of a box's height */
#define HEIGHT 25.0  /* of a box */
#define SMALL 17.5   /* of one that finds no room else; its letters are the least there are */
#define EDGE 2.6     /* of its line */
#define HALO 2.0     /* white, round it */
#define MARK 8.0     /* side of the square on a place whose box stands beside it */
#define TURNS 48     /* directions tried round a place */
#define LAPS 14      /* distances tried */
#define REACH 20     /* where a stop stands on the place a line may end so many pixels before it */

static bool is_numbered(size_t count) {
    return count <= FOCI_DIGS_NUMBERED;
}

/* Width of the box of a visit. */
static double box_width(foci_canvas *canvas, int visit, double height) {
    const foci_lettering bold = {.size = LETTERS * height, .bold = true};
    char text[16];
    snprintf(text, sizeof text, "%d", visit);
    return fmax(height, foci_canvas_measure(canvas, &bold, text).x + 0.36 * height);
}

static void box_draw(foci_canvas *canvas, foci_point middle, double width, double height) {
    const double x = middle.x - width / 2, y = middle.y - height / 2;
    foci_canvas_rectangle(canvas, x - HALO, y - HALO, width + 2 * HALO, height + 2 * HALO);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_rectangle(canvas, x + EDGE / 2, y + EDGE / 2, width - EDGE, height - EDGE);
    foci_canvas_stroke(canvas, INK, EDGE);
}

static void numbered_draw(foci_canvas *canvas, foci_point middle, int visit, double height) {
    const foci_lettering bold = {.size = LETTERS * height, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    char text[16];
    snprintf(text, sizeof text, "%d", visit);
    box_draw(canvas, middle, box_width(canvas, visit, height), height);
    foci_canvas_text(canvas, middle.x, middle.y - foci_canvas_measure(canvas, &bold, text).y / 2, &bold, text);
}

void foci_map_dig_draw(foci_canvas *canvas, foci_point middle, int visit) {
    if (visit == 0)
        box_draw(canvas, middle, HEIGHT / 2, HEIGHT / 2);
    else
        numbered_draw(canvas, middle, visit, HEIGHT);
}

/* ---- finding room ---- */

static foci_map_taken room_of(const foci_map_label *label) {
    return foci_map_box(label->middle, label->width, label->height, HALO);
}

/* Where the line from `place` to the middle of the box leaves the box. */
static foci_point on_edge(const foci_map_label *label, foci_point place) {
    const double x = place.x - label->middle.x, y = place.y - label->middle.y;
    const double part =
        fmin(fabs(x) > 0 ? label->width / 2 / fabs(x) : INFINITY, fabs(y) > 0 ? label->height / 2 / fabs(y) : INFINITY);
    return (foci_point){label->middle.x + part * x, label->middle.y + part * y};
}

/* A line from the box towards the place: all the way to a mark on it, or as far as it covers no stop. */
static bool lead(foci_map_label *label, foci_point place, const foci_map_room *room) {
    const foci_map_taken mark = foci_map_box(place, MARK, MARK, HALO);
    label->led = true;
    label->from = on_edge(label, place);
    const double x = label->from.x - place.x, y = label->from.y - place.y, away = hypot(x, y);
    for (int short_of = 0; short_of <= REACH && short_of < away - HALO; short_of++) {
        label->to = (foci_point){place.x + x / away * short_of, place.y + y / away * short_of};
        const foci_map_taken line = foci_map_line(label->from, label->to, EDGE / 2 + HALO);
        if (!foci_map_room_is_free(room, &line))
            continue;
        label->marked = short_of == 0 && foci_map_room_is_free(room, &mark);
        return true;
    }
    return false;
}

/* Beside its place, as near as there is room. */
static bool place_beside(foci_map_label *label, foci_point place, const foci_map_room *room) {
    for (int i = 0; i < LAPS * TURNS; i++) {
        const int lap = i / TURNS;
        const double turn = 2 * M_PI * (i % TURNS) / TURNS, away = HEIGHT * (1.1 + 0.3 * lap);
        label->middle = (foci_point){place.x + away * cos(turn), place.y + away * sin(turn)};
        const foci_map_taken box = room_of(label);
        if (foci_map_room_is_free(room, &box) && lead(label, place, room))
            return true;
    }
    return false;
}

static bool take(const foci_map_label *label, foci_map_room *room, foci_error *err) {
    return foci_map_room_take(room, room_of(label), err) &&
           (!label->led || foci_map_room_take(room, foci_map_line(label->from, label->to, EDGE / 2 + HALO), err)) &&
           (!label->marked || foci_map_room_take(room, foci_map_box(label->to, MARK, MARK, HALO), err));
}

/* On its place, in a box of this height. */
static bool place_there(foci_map_label *label, foci_canvas *canvas, double height, const foci_map_room *room) {
    label->height = height;
    label->width = label->number ? box_width(canvas, label->number, height) : height;
    const foci_map_taken box = room_of(label);
    return foci_map_room_is_free(room, &box);
}

/* Beside it, in a large box, else in a small one. */
static bool place_any(foci_map_label *label, foci_canvas *canvas, const foci_map_room *room) {
    static const double heights[] = {HEIGHT, SMALL};
    const foci_point place = label->middle;
    for (size_t i = 0; i < sizeof heights / sizeof *heights; i++) {
        label->height = heights[i];
        label->width = box_width(canvas, label->number, heights[i]);
        if (place_beside(label, place, room))
            return true;
    }
    return false;
}

bool foci_map_digs_place(foci_map_label *labels, foci_canvas *canvas, const foci_map_view *view,
                         const foci_dig_points *digs, foci_map_room *room, foci_error *err) {
    const bool numbered = is_numbered(digs->count);
    for (size_t i = 0; i < digs->count; i++) {
        foci_map_label *label = &labels[i];
        *label = (foci_map_label){.number = numbered ? digs->items[i].visit : 0,
                                  .middle = foci_map_view_pixel(view, digs->items[i].place)};
        label->shown = place_there(label, canvas, numbered ? HEIGHT : HEIGHT / 2, room) ||
                       (numbered && place_there(label, canvas, SMALL, room));
        if (label->shown && !take(label, room, err))
            return false;
    }
    for (size_t i = 0; numbered && i < digs->count; i++) {
        foci_map_label *label = &labels[i];
        if (label->shown)
            continue;
        label->shown = place_any(label, canvas, room);
        if (label->shown && !take(label, room, err))
            return false;
    }
    return true;
}

/* ---- drawing ---- */

void foci_map_digs_draw(foci_canvas *canvas, const foci_map_label *labels, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const foci_map_label *label = &labels[i];
        if (!label->shown)
            continue;
        if (label->led) {
            foci_canvas_line(canvas, (const foci_point[]){label->to, label->from}, 2, false);
            foci_canvas_stroke_on_white(canvas, INK, EDGE, HALO);
        }
        if (label->marked) {
            foci_canvas_rectangle(canvas, label->to.x - MARK / 2, label->to.y - MARK / 2, MARK, MARK);
            foci_canvas_stroke_on_white(canvas, INK, 0, HALO);
            foci_canvas_rectangle(canvas, label->to.x - MARK / 2, label->to.y - MARK / 2, MARK, MARK);
            foci_canvas_fill(canvas, INK);
        }
        if (label->number)
            numbered_draw(canvas, label->middle, label->number, label->height);
        else
            foci_map_dig_draw(canvas, label->middle, 0);
    }
}

static size_t unshown(const foci_map_label *labels, size_t count) {
    size_t missing = 0;
    for (size_t i = 0; i < count; i++)
        missing += !labels[i].shown;
    return missing;
}

double foci_map_digs_key_draw(foci_canvas *canvas, double x, double y, double width, const foci_map_label *labels,
                              size_t hotspots, size_t digs) {
    const size_t unnumbered = unshown(labels, hotspots), missing = digs ? unshown(labels + hotspots, digs) : 0;
    const foci_lettering plain = {
        .size = unnumbered ? 17 : 21, .colour = INK, .width = width - 38, .lines = unnumbered ? 3 : 2};
    char words[240];
    foci_words_digs_key(words, unnumbered, hotspots, missing, digs, is_numbered(digs));
    if (digs == 0)
        return unnumbered ? foci_canvas_text(canvas, x + 38, y, &plain, words) : 0;
    foci_map_dig_draw(canvas, (foci_point){x + 15, y + 13}, is_numbered(digs) ? 1 : 0);
    return foci_canvas_text(canvas, x + 38, y, &plain, words);
}

#include "show/map/map_symbols.h"

#include <math.h>
#include <stdio.h>

#include "base/frame.h"
#include "decide/words/survey_words.h"
#include "fieldfoci/plain_number.h"

#define INK 0x1A1A1A
#define EDGE 2.4 /* white, round a symbol */

static const double radii[FOCI_STOP_KINDS] = {7, 8, 6.5, 9.5, 12.5};

static void draw_cross(foci_canvas *canvas, foci_point middle, double reach) {
    const foci_point down[] = {{middle.x - reach, middle.y - reach}, {middle.x + reach, middle.y + reach}};
    const foci_point up[] = {{middle.x - reach, middle.y + reach}, {middle.x + reach, middle.y - reach}};
    foci_canvas_line(canvas, down, 2, false);
    foci_canvas_line(canvas, up, 2, false);
    foci_canvas_stroke_on_white(canvas, INK, 2.6, 2);
}

void foci_map_symbol_draw(foci_canvas *canvas, foci_point middle, int kind, double size) {
    const double radius = radii[kind] * size;
    if (kind == FOCI_STOP_EXCLUDED) {
        draw_cross(canvas, middle, radius * 0.8);
        return;
    }
    foci_canvas_circle(canvas, middle, radius + EDGE);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_circle(canvas, middle, kind == FOCI_STOP_NONE ? radius - 1.2 : radius);
    if (kind == FOCI_STOP_NONE)
        foci_canvas_stroke(canvas, INK, 2.6);
    else
        foci_canvas_fill(canvas, INK);
}

static int kind_of(double value, double none, const double *edges) {
    if (value <= none)
        return FOCI_STOP_NONE;
    return value < edges[2] ? FOCI_STOP_LITTLE : value < edges[3] ? FOCI_STOP_MORE : FOCI_STOP_MUCH;
}

/* Where stops are close together their symbols are smaller. */
static double size_of(const foci_map_view *view, const foci_survey *round) {
    const double spacing = round->readings.spacing * view->scale;
    return isnan(spacing) ? 1 : fmin(1, fmax(0.35, spacing / 46));
}

static bool is_excluded(const foci_stop *stop) {
    return !stop->used && stop->pooled_into == FOCI_NOT_POOLED;
}

static bool is_in(foci_box frame, foci_point pixel) {
    return pixel.x > frame.west && pixel.x < frame.east && pixel.y > frame.north && pixel.y < frame.south;
}

void foci_map_stops_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round, const double *edges,
                         foci_box frame) {
    const double size = size_of(view, round);
    for (size_t i = 0; i < round->stops.count; i++) {
        const foci_point pixel = foci_map_view_pixel(view, round->stops.items[i].place);
        if (is_excluded(&round->stops.items[i]) && is_in(frame, pixel))
            foci_map_symbol_draw(canvas, pixel, FOCI_STOP_EXCLUDED, size);
    }
    for (size_t i = 0; i < round->readings.count; i++)
        foci_map_symbol_draw(canvas, foci_map_view_pixel(view, round->readings.places[i]),
                             kind_of(round->readings.values[i], round->readings.none, edges), size);
}

bool foci_map_stops_take(foci_map_room *room, const foci_map_view *view, const foci_survey *round, const double *edges,
                         foci_error *err) {
    const double size = size_of(view, round);
    for (size_t i = 0; i < round->stops.count; i++) {
        const foci_point pixel = foci_map_view_pixel(view, round->stops.items[i].place);
        if (is_excluded(&round->stops.items[i]) && is_in(room->frame, pixel) &&
            !foci_map_room_take(room, foci_map_disc(pixel, radii[FOCI_STOP_EXCLUDED] * size + EDGE), err))
            return false;
    }
    for (size_t i = 0; i < round->readings.count; i++) {
        const double radius = radii[kind_of(round->readings.values[i], round->readings.none, edges)] * size + EDGE;
        if (!foci_map_room_take(room, foci_map_disc(foci_map_view_pixel(view, round->readings.places[i]), radius), err))
            return false;
    }
    return true;
}

static void key_words(char text[FOCI_WORDS_SIZE], int kind, const foci_survey *round, const double *edges) {
    const char *suffix = foci_words_suffix(round);
    switch (kind) {
    case FOCI_STOP_EXCLUDED:
        snprintf(text, FOCI_WORDS_SIZE, "left out");
        break;
    case FOCI_STOP_NONE:
        snprintf(text, FOCI_WORDS_SIZE, "none found");
        break;
    case FOCI_STOP_LITTLE:
        snprintf(text, FOCI_WORDS_SIZE, "below %s%s", foci_number_plain(edges[2], 3).text, suffix);
        break;
    case FOCI_STOP_MORE:
        snprintf(text, FOCI_WORDS_SIZE, "%s to %s%s", foci_number_plain(edges[2], 3).text,
                 foci_number_plain(edges[3], 3).text, suffix);
        break;
    default:
        snprintf(text, FOCI_WORDS_SIZE, "%s%s and over", foci_number_plain(edges[3], 3).text, suffix);
    }
}

double foci_map_key_draw(foci_canvas *canvas, double x, double y, double width, const foci_survey *round,
                         const double *edges) {
    static const int order[] = {FOCI_STOP_NONE, FOCI_STOP_LITTLE, FOCI_STOP_MORE, FOCI_STOP_MUCH, FOCI_STOP_EXCLUDED};
    const size_t count = sizeof order / sizeof *order - (foci_words_excluded(round) > 0 ? 0 : 1);
    foci_lettering plain = {.size = 22, .colour = INK}, bold = {.size = 22, .bold = true, .colour = INK};
    char words[FOCI_WORDS_SIZE];
    double taken = foci_canvas_measure(canvas, &bold, "Stops:").x;
    for (size_t i = 0; i < count; i++) {
        key_words(words, order[i], round, edges);
        taken += 34 + foci_canvas_measure(canvas, &plain, words).x;
    }
    const double gap = fmin(34, fmax(8, (width - taken) / (double)count));
    const double height = foci_canvas_text(canvas, x, y, &bold, "Stops:");
    x += foci_canvas_measure(canvas, &bold, "Stops:").x + gap;
    for (size_t i = 0; i < count; i++) {
        key_words(words, order[i], round, edges);
        foci_map_symbol_draw(canvas, (foci_point){x + 13, y + height / 2}, order[i], 1);
        foci_canvas_text(canvas, x + 34, y, &plain, words);
        x += 34 + foci_canvas_measure(canvas, &plain, words).x + gap;
    }
    return height;
}

/* The largest of 1, 2, 5 x 10^k not above `most`. */
static double round_length(double most) {
    const double power = pow(10, floor(log10(most)));
    return power * (most >= 5 * power ? 5 : most >= 2 * power ? 2 : 1);
}

/* A bar in two halves, dark and light, with its length written after it. */
static void draw_bar(foci_canvas *canvas, double x, double y, double length, double number, const char *unit) {
    const foci_lettering plain = {.size = 22, .colour = INK};
    char text[FOCI_WORDS_SIZE];
    foci_canvas_rectangle(canvas, x, y, length, 10);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_rectangle(canvas, x, y, length / 2, 10);
    foci_canvas_fill(canvas, INK);
    foci_canvas_rectangle(canvas, x, y, length, 10);
    foci_canvas_stroke(canvas, INK, 2);
    snprintf(text, sizeof text, "%g %s", number, unit);
    const double height = foci_canvas_measure(canvas, &plain, text).y;
    foci_canvas_text(canvas, x + length + 12, y + 5 - height / 2, &plain, text);
}

void foci_map_scale_draw(foci_canvas *canvas, double x, double y, double most, double scale, foci_measures measures) {
    const double feet = round_length(most / scale * FOCI_FEET_PER_METER), meters = round_length(most / scale);
    const bool swapped = measures == FOCI_HECTARES;
    draw_bar(canvas, x, swapped ? y + 28 : y, feet / FOCI_FEET_PER_METER * scale, feet, "feet");
    draw_bar(canvas, x, swapped ? y : y + 28, meters * scale, meters, "m");
}

void foci_map_north_draw(foci_canvas *canvas, foci_point middle, double reach, double turn) {
    static const double half[][2] = {{0, -1}, {0.42, 0.62}, {0, 0.3}}, other[][2] = {{0, -1}, {-0.42, 0.62}, {0, 0.3}};
    const foci_lettering bold = {.size = 26, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    const double angle = turn * FOCI_DEGREE;
    foci_point right[3], left[3];
    for (int i = 0; i < 3; i++) {
        right[i] = (foci_point){middle.x + reach * (half[i][0] * cos(angle) - half[i][1] * sin(angle)),
                                middle.y + reach * (half[i][0] * sin(angle) + half[i][1] * cos(angle))};
        left[i] = (foci_point){middle.x + reach * (other[i][0] * cos(angle) - other[i][1] * sin(angle)),
                               middle.y + reach * (other[i][0] * sin(angle) + other[i][1] * cos(angle))};
    }
    foci_canvas_line(canvas, right, 3, true);
    foci_canvas_fill(canvas, INK);
    foci_canvas_line(canvas, right, 3, true);
    foci_canvas_line(canvas, left, 3, true);
    foci_canvas_stroke(canvas, INK, 2.4);
    const double size = foci_canvas_measure(canvas, &bold, "N").y;
    const foci_point letter = {middle.x + (reach + 15) * sin(angle), middle.y - (reach + 15) * cos(angle)};
    foci_canvas_text(canvas, letter.x, letter.y - size / 2, &bold, "N");
}

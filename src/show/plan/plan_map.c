/* The walk on the sheet: numbers are those of the table to write on. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "data/places/projection.h"
#include "show/draw/sheet.h"
#include "show/map/map_field.h"
#include "show/map/map_room.h"
#include "show/map/map_symbols.h"
#include "show/plan/plan_sheet.h"

#define INK FOCI_SHEET_INK
#define WAY 0x6A6A6A
#define EDGE 26.0       /* free round the field */
#define UNDER 70.0      /* height of the strip with scale and north */
#define SCALE 300.0     /* most of the bars' length */
#define GATE_REACH 0.25 /* of the field, so far a gate is shown */
#define MANY 150        /* more stops than this have small numbers */
#define DIRECTIONS 12

typedef struct {
    foci_canvas *canvas;
    const foci_plan *plan;
    foci_map_view view;
    foci_map_room room;
    foci_point *pixels;
    double dot, letters; /* radius, size */
} picture;

static void way_draw(const picture *p) {
    const foci_point start = foci_map_view_pixel(&p->view, p->plan->layout.start);
    foci_point leg[2] = {start, start};
    for (size_t i = 0; i <= p->plan->layout.count; i++) {
        leg[0] = leg[1];
        leg[1] = i < p->plan->layout.count ? p->pixels[i] : start;
        foci_canvas_line(p->canvas, leg, 2, false);
        foci_canvas_stroke(p->canvas, WAY, 1.6);
    }
}

/* Numbers as on the map of a survey and its waypoints: those of the names, without letters and leading zeros. */
static void number_of(char text[16], const char *name) {
    const char *digits = name + strcspn(name, "0123456789");
    while (*digits == '0' && digits[1] >= '0' && digits[1] <= '9')
        digits++;
    snprintf(text, 16, "%.*s", (int)strspn(digits, "0123456789"), digits);
}

/* About its middle; the way that it covers gives way. */
static void word_draw(foci_canvas *canvas, foci_point middle, double width, double height,
                      const foci_lettering *lettering, const char *text) {
    foci_canvas_rectangle(canvas, middle.x - width / 2, middle.y - height / 2, width, height);
    foci_canvas_fill(canvas, 0xFFFFFF);
    foci_canvas_text(canvas, middle.x, middle.y - foci_canvas_measure(canvas, lettering, text).y / 2, lettering, text);
}

/* Beside its stop, where it covers nothing; left out where there is no such place. */
static bool number_draw(picture *p, size_t i, foci_error *err) {
    char text[16];
    number_of(text, p->plan->names[i]);
    const foci_lettering bold = {.size = p->letters, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    const foci_point extent = foci_canvas_measure(p->canvas, &bold, text), stop = p->pixels[i];
    const double width = extent.x, height = 0.74 * extent.y;
    for (int k = 0; k < DIRECTIONS; k++) {
        const double turn = 2 * M_PI * ((double)k / DIRECTIONS) - M_PI / 4;
        const foci_point middle = {stop.x + cos(turn) * (p->dot + 3 + width / 2),
                                   stop.y + sin(turn) * (p->dot + 2 + height / 2)};
        const foci_map_taken box = foci_map_box(middle, width, height, 0.5);
        if (!foci_map_room_is_free(&p->room, &box))
            continue;
        word_draw(p->canvas, middle, extent.x, height, &bold, text);
        return foci_map_room_take(&p->room, box, err);
    }
    return true;
}

static bool stops_draw(picture *p, foci_error *err) {
    const foci_layout *layout = &p->plan->layout;
    for (size_t i = 0; i < layout->count; i++)
        if (!foci_map_room_take(&p->room, foci_map_disc(p->pixels[i], p->dot), err))
            return false;
    for (size_t i = 0; i < layout->count; i++) {
        foci_canvas_circle(p->canvas, p->pixels[i], p->dot);
        foci_canvas_fill(p->canvas, layout->items[i].again != FOCI_OPEN ? INK : 0xFFFFFF);
        foci_canvas_circle(p->canvas, p->pixels[i], p->dot);
        foci_canvas_stroke(p->canvas, INK, 2.2);
    }
    for (size_t i = 0; i < layout->count; i++)
        if (!number_draw(p, i, err))
            return false;
    return true;
}

/* A gate far outside the field is not on the map: the way leads off it. */
static bool start_draw(picture *p, foci_error *err) {
    const foci_point at = foci_map_view_pixel(&p->view, p->plan->layout.start);
    const foci_lettering bold = {.size = 20, .bold = true, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    const char *word = p->plan->layout.at_gate ? "GATE" : "START";
    const foci_point extent = foci_canvas_measure(p->canvas, &bold, word);
    const foci_point triangle[] = {{at.x, at.y - 10}, {at.x + 10, at.y + 8}, {at.x - 10, at.y + 8}};
    const foci_map_taken mark = foci_map_disc(at, 11);
    if (!foci_map_room_is_free(&(foci_map_room){.frame = p->room.frame}, &mark))
        return true;
    foci_canvas_line(p->canvas, triangle, 3, true);
    foci_canvas_fill(p->canvas, INK);
    if (!foci_map_room_take(&p->room, mark, err))
        return false;
    for (int k = 0; k < DIRECTIONS; k++) {
        const double turn = 2 * M_PI * k / DIRECTIONS;
        const foci_point middle = {at.x + cos(turn) * (14 + extent.x / 2), at.y + sin(turn) * (12 + extent.y / 2)};
        const foci_map_taken box = foci_map_box(middle, extent.x, extent.y, 1);
        if (!foci_map_room_is_free(&p->room, &box))
            continue;
        word_draw(p->canvas, middle, extent.x, 0.74 * extent.y, &bold, word);
        return foci_map_room_take(&p->room, box, err);
    }
    return true;
}

static bool picture_draw(picture *p, foci_box frame, foci_error *err) {
    const foci_layout *layout = &p->plan->layout;
    if (!(p->pixels = foci_new_array(layout->count, sizeof *p->pixels, err)))
        return false;
    for (size_t i = 0; i < layout->count; i++)
        p->pixels[i] = foci_map_view_pixel(&p->view, layout->items[i].place);
    foci_canvas_rectangle(p->canvas, frame.west, frame.north, frame.east - frame.west, frame.south - frame.north);
    foci_canvas_clip(p->canvas);
    way_draw(p);
    foci_canvas_unclip(p->canvas);
    return foci_map_boundary_draw(p->canvas, &p->view, &p->plan->field.shape, err) && start_draw(p, err) &&
           stops_draw(p, err);
}

/* The field, and a gate near it. */
static bool shape_of(foci_multipolygon *out, foci_ring *ring, foci_polygon *polygon, foci_point *start,
                     const foci_plan *plan, foci_error *err) {
    const foci_multipolygon *field = &plan->field.shape;
    const foci_box box = foci_multipolygon_box(field);
    const double reach = GATE_REACH * hypot(box.east - box.west, box.north - box.south);
    const bool near = foci_multipolygon_edge_distance(field, *start) <= reach;
    out->count = field->count + near;
    if (!(out->polygons = foci_new_array(out->count, sizeof *out->polygons, err)))
        return false;
    memcpy(out->polygons, field->polygons, field->count * sizeof *field->polygons);
    *ring = (foci_ring){1, start};
    *polygon = (foci_polygon){1, ring};
    if (near)
        out->polygons[field->count] = *polygon;
    return true;
}

static void key_draw(foci_canvas *canvas, const foci_plan *plan, double x, double y) {
    const foci_lettering plain = {.size = 18, .colour = INK};
    if (!plan->pattern || !plan->pattern->again)
        return;
    foci_canvas_circle(canvas, (foci_point){x, y + 11}, 6);
    foci_canvas_fill(canvas, INK);
    foci_canvas_text(canvas, x + 14, y, &plain, "looked at before (its old name is in the note)");
}

double foci_plan_map_scale(const foci_plan *plan, double width, double height) {
    const foci_multipolygon *field = &plan->field.shape;
    const double turn = foci_map_turn(field, width - 2 * EDGE, height - UNDER - 2 * EDGE);
    return foci_map_view_fit(field, turn, 0, 0, width, height - UNDER, EDGE).scale;
}

bool foci_plan_map_draw(foci_canvas *canvas, const foci_plan *plan, foci_box frame, foci_error *err) {
    const double width = frame.east - frame.west, south = frame.south - UNDER, height = south - frame.north;
    const foci_box map = {frame.west, south, frame.east, frame.north};
    const bool many = plan->layout.count > MANY;
    foci_point start = plan->layout.start;
    foci_ring ring;
    foci_polygon polygon;
    foci_multipolygon shape = {0};
    if (!shape_of(&shape, &ring, &polygon, &start, plan, err))
        return false;
    const double turn = foci_map_turn(&shape, width - 2 * EDGE, height - 2 * EDGE);
    picture p = {.canvas = canvas,
                 .plan = plan,
                 .view = foci_map_view_fit(&shape, turn, frame.west, frame.north, width, height, EDGE),
                 .room = {.frame = map},
                 .dot = many ? 3.2 : 6,
                 .letters = many ? 13 : 19};
    double convergence = 0;
    bool ok = foci_meridian_convergence(&convergence, plan->field.work_crs, plan->field.centre, err) &&
              picture_draw(&p, map, err);
    free(p.pixels);
    free(shape.polygons);
    foci_map_room_free(&p.room);
    foci_map_scale_draw(canvas, frame.west, frame.south - 52, SCALE, p.view.scale, foci_paper_measures(plan->paper));
    key_draw(canvas, plan, frame.west + SCALE + 130, frame.south - 40);
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 22}, 20,
                        foci_map_view_turn(&p.view) - convergence);
    return ok;
}

#include "fieldfoci/map.h"

#include <math.h>
#include <stdlib.h>

#include "base/memory.h"
#include "base/text.h"
#include "data/places/projection.h"
#include "decide/words/survey_words.h"
#include "decide/words/sheet_words.h"
#include "fieldfoci/first_look.h"
#include "fieldfoci/plain_number.h"
#include "show/draw/sheet.h"
#include "show/map/map_symbols.h"

#define INK FOCI_SHEET_INK
#define WIDTH FOCI_SHEET_WIDTH
#define MARGIN FOCI_SHEET_MARGIN
#define UNDER 116.0 /* height of the strip below: key of the stops, scale, north */
#define SCALE 300.0 /* most of the bars' length */
#define EDGE 30.0   /* free round the field */
#define DOT 11.0    /* half of what a dot takes */
#define AWAY 18.0   /* of a name from its dot */
#define NAMED 5     /* stops with the highest readings, as in the table of check */
#define BODY_LEAST 560.0

typedef struct {
    const foci_survey *survey;
    const char *title;
    char *facts;
} dots_sheet;

/* Steps of severity: the threshold and twice that, or thirds of the highest reading. */
static void find_edges(double edges[5], const foci_survey *survey) {
    const double threshold = survey->used.surface.threshold;
    const double third = (survey->readings.spread.max - survey->readings.none) / 3;
    const double power = third > 0 ? pow(10, floor(log10(third))) : 1;
    const double step = threshold > 0 ? threshold : ceil(third / power * 2) / 2 * power;
    for (int i = 0; i < 5; i++)
        edges[i] = 0;
    edges[2] = threshold > 0 ? threshold : survey->readings.none + step;
    edges[3] = edges[2] + step;
}

/* ---- names of the highest ---- */

static bool overlap(foci_box a, foci_box b) {
    return a.west < b.east && b.west < a.east && a.north < b.south && b.north < a.south;
}

static bool is_free(foci_box box, foci_box frame, const foci_box *taken, size_t count) {
    bool is = box.west > frame.west && box.east < frame.east && box.north > frame.north && box.south < frame.south;
    for (size_t i = 0; is && i < count; i++)
        is = !overlap(box, taken[i]);
    return is;
}

/* Beside the dot where nothing is covered that was drawn before; false where there is no such place. */
static bool place_name(foci_box *out, foci_point dot, foci_point size, foci_box frame, const foci_box *taken,
                       size_t count) {
    const foci_point corners[] = {{dot.x + AWAY, dot.y - size.y / 2},
                                  {dot.x - AWAY - size.x, dot.y - size.y / 2},
                                  {dot.x - size.x / 2, dot.y - AWAY - size.y},
                                  {dot.x - size.x / 2, dot.y + AWAY}};
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++) {
        *out = (foci_box){corners[i].x, corners[i].y + size.y, corners[i].x + size.x, corners[i].y};
        if (is_free(*out, frame, taken, count))
            return true;
    }
    return false;
}

static bool name_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *survey, const foci_stop *stop,
                      foci_box frame, foci_box *taken, size_t *count, foci_error *err) {
    const foci_lettering bold = {.size = 20, .bold = true, .colour = INK};
    foci_text text = {0};
    bool ok = foci_text_add_name(&text, stop->name, err) &&
              foci_text_add(&text, err, ": %s%s", foci_number_plain(stop->value, 3).text, foci_words_suffix(survey));
    if (ok && place_name(&taken[*count], foci_map_view_pixel(view, stop->place),
                         foci_canvas_measure(canvas, &bold, text.text), frame, taken, *count)) {
        foci_canvas_text(canvas, taken[*count].west, taken[*count].north, &bold, text.text);
        ++*count;
    }
    foci_text_free(&text);
    return ok;
}

static bool names_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *survey, foci_box frame,
                       foci_error *err) {
    size_t *order = NULL, ranked = 0, count = 0;
    foci_box *taken = foci_new_array(survey->stops.count + NAMED, sizeof *taken, err);
    bool ok = taken && foci_stops_ranked(&order, &ranked, &survey->stops, false, err);
    for (size_t i = 0; ok && i < survey->stops.count; i++) {
        const foci_point dot = foci_map_view_pixel(view, survey->stops.items[i].place);
        if (isfinite(dot.x) && isfinite(dot.y))
            taken[count++] = (foci_box){dot.x - DOT, dot.y + DOT, dot.x + DOT, dot.y - DOT};
    }
    for (size_t i = 0; ok && i < ranked && i < NAMED; i++)
        ok = name_draw(canvas, view, survey, &survey->stops.items[order[i]], frame, taken, &count, err);
    free(order);
    free(taken);
    return ok;
}

/* ---- the sheet ---- */

static double head_draw(foci_canvas *canvas, const void *what) {
    const dots_sheet *sheet = what;
    const foci_lettering facts = {.size = 23, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 3};
    double y = 26;
    y += foci_sheet_headline_draw(canvas, y, sheet->title) + 4;
    y += foci_canvas_text(canvas, MARGIN, y, &facts, sheet->facts) + 12;
    foci_sheet_rule_draw(canvas, y);
    return y + 16;
}

static bool body_draw(foci_canvas *canvas, const void *what, foci_box frame, foci_error *err) {
    const foci_survey *survey = ((const dots_sheet *)what)->survey;
    const double width = frame.east - frame.west, south = frame.south - UNDER;
    const double turn = foci_map_turn(&survey->field.shape, width, south - frame.north);
    const foci_map_view view =
        foci_map_view_fit(&survey->field.shape, turn, frame.west, frame.north, width, south - frame.north, EDGE);
    const foci_box map = {frame.west, south, frame.east, frame.north};
    double edges[5], convergence = 0;
    find_edges(edges, survey);
    if (!foci_meridian_convergence(&convergence, survey->field.work_crs, survey->field.centre, err) ||
        !foci_map_boundary_draw(canvas, &view, &survey->field.shape, err))
        return false;
    foci_map_stops_draw(canvas, &view, survey, edges, map);
    if (!names_draw(canvas, &view, survey, map, err))
        return false;
    foci_map_key_draw(canvas, frame.west, south + 10, width, survey, edges);
    foci_map_scale_draw(canvas, frame.west, frame.south - 46, SCALE, view.scale, foci_words_measures(survey));
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 26}, 20,
                        foci_map_view_turn(&view) - convergence);
    return true;
}

bool foci_dot_map_write_png(const foci_survey *survey, const char *path, foci_error *err) {
    dots_sheet what = {survey, foci_dots_title, foci_words_facts(survey, err)};
    foci_small_print print = {0};
    const foci_sheet sheet = {.title = what.title,
                              .description = foci_dots_no_map,
                              .made = survey->made,
                              .paper = survey->paper,
                              .print = &print,
                              .body_least = BODY_LEAST,
                              .head = head_draw,
                              .body = body_draw,
                              .what = &what};
    bool ok = what.facts && foci_small_print_add(&print, FOCI_PRINT_CAUTIONS, foci_dots_no_map, err);
    for (size_t i = 0; ok && i < survey->findings.count; i++)
        ok = !survey->findings.items[i].trust ||
             foci_small_print_add(&print, FOCI_PRINT_WARNINGS, survey->findings.items[i].trust, err);
    ok = ok && foci_sheet_write_png(&sheet, path, err);
    foci_small_print_free(&print);
    free(what.facts);
    return ok;
}

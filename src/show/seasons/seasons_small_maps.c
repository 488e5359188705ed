#include "show/seasons/seasons_maps.h"

#include <math.h>
#include <stdio.h>

#include "decide/words/seasons_report_words.h"
#include "show/draw/sheet.h"
#include "fieldfoci/plain_number.h"

#define INK FOCI_SHEET_INK
#define GAP 18.0      /* between maps */
#define STRIP 88.0    /* height of the legend ... */
#define LINE_KEY 26.0 /* ... and of what it says of the line, where thresholds differ */
#define WIDE 235.0    /* from here on stops and threshold stand in one line */

void foci_seasons_breaks(double edges[FOCI_LEGEND_MOST], const foci_seasons *seasons) {
    const foci_survey *highest = &seasons->rounds[0];
    for (size_t s = 1; s < seasons->count; s++)
        if (seasons->rounds[s].surface.max > highest->surface.max)
            highest = &seasons->rounds[s];
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(edges, highest);
}

/* As the map of classes has it in the room that it has as a rule. */
double foci_seasons_turn(const foci_seasons *seasons) {
    return foci_map_turn(&seasons->rounds[0].field.shape, 880, 560);
}

/* ---- how the maps are laid out ---- */

typedef struct {
    size_t across, down;
    double width, height; /* of a map's room */
    double letters;       /* size of the season's label */
    double label;         /* height of its lines */
} layout;

static layout layout_of(size_t across, size_t count, double width, double height) {
    layout made = {.across = across, .down = (count + across - 1) / across};
    made.width = (width - GAP * (double)(across - 1)) / (double)across;
    made.letters = fmax(20, fmin(25, made.width / 9));
    made.label = (made.width < WIDE ? 3.4 : 2.5) * made.letters + 4;
    made.height = (height - GAP * (double)(made.down - 1)) / (double)made.down - made.label;
    return made;
}

static double scale_of(const layout *as, const foci_seasons *seasons) {
    return foci_map_view_fit(&seasons->rounds[0].field.shape, foci_seasons_turn(seasons), 0, 0, as->width, as->height,
                             0)
        .scale;
}

/* The number of maps in a row that lets them be largest; of equal ones the most. */
static layout best_layout(const foci_seasons *seasons, double width, double height) {
    layout best = {0};
    double largest = -INFINITY;
    for (size_t across = seasons->count; across > 0; across--) {
        const layout made = layout_of(across, seasons->count, width, height);
        const double scale = scale_of(&made, seasons);
        if (best.across == 0 || scale > largest + 1e-9) {
            best = made;
            largest = scale;
        }
    }
    return best;
}

static double strip_height(const foci_seasons *seasons) {
    return STRIP + (foci_words_thresholds_differ(seasons) ? LINE_KEY : 0);
}

double foci_seasons_small_maps_scale(const foci_seasons *seasons, double width, double height) {
    const layout as = best_layout(seasons, width, height - strip_height(seasons));
    return scale_of(&as, seasons);
}

/* ---- one map ---- */

static void dot_draw(foci_canvas *canvas, foci_point middle, double radius, bool over) {
    foci_canvas_circle(canvas, middle, radius + 1.1);
    foci_canvas_fill(canvas, over ? 0xFFFFFF : INK);
    foci_canvas_circle(canvas, middle, radius);
    foci_canvas_fill(canvas, over ? INK : 0xFFFFFF);
}

static double dot_radius(const foci_survey *round, double scale) {
    const double spacing = round->readings.spacing * scale;
    return isnan(spacing) ? 3 : fmax(1.3, fmin(4.5, spacing / 7));
}

static void stops_draw(foci_canvas *canvas, const foci_map_view *view, const foci_survey *round) {
    const double radius = dot_radius(round, view->scale);
    const foci_box box = foci_multipolygon_box(&round->field.shape);
    for (size_t i = 0; i < round->readings.count; i++) {
        const foci_point place = round->readings.places[i]; /* of another field, where a season is fenced off */
        if (place.x < box.west || place.x > box.east || place.y < box.south || place.y > box.north)
            continue;
        const bool over = round->readings.values[i] >= round->threshold;
        dot_draw(canvas, foci_map_view_pixel(view, round->readings.places[i]), over ? radius * 1.25 : radius, over);
    }
}

static void label_draw(foci_canvas *canvas, const foci_seasons *seasons, size_t which, const layout *as, double x,
                       double y) {
    const foci_survey *round = &seasons->rounds[which];
    const foci_lettering bold = {.size = as->letters, .bold = true, .colour = INK, .width = as->width, .lines = 1};
    foci_lettering plain = {
        .size = as->letters * 0.8, .colour = INK, .width = as->width, .lines = as->width < WIDE ? 2 : 1};
    char words[FOCI_WORDS_TITLE];
    foci_words_small_map(words, seasons, which);
    y += foci_canvas_text(canvas, x, y, &bold, words);
    foci_words_under_small_map(words, round, FOCI_UNDER_WHOLE);
    while (plain.size > 15 && foci_canvas_cuts(canvas, &plain, words))
        plain.size -= 0.5;
    if (foci_canvas_cuts(canvas, &plain, words))
        foci_words_under_small_map(words, round, FOCI_UNDER_SHORT);
    if (foci_canvas_cuts(canvas, &plain, words) && foci_words_thresholds_differ(seasons))
        foci_words_under_small_map(words, round, FOCI_UNDER_THRESHOLD);
    if (foci_canvas_cuts(canvas, &plain, words) || isnan(round->threshold))
        foci_words_under_small_map(words, round, FOCI_UNDER_STOPS);
    foci_canvas_text(canvas, x, y, &plain, words);
}

static bool map_draw(foci_canvas *canvas, const foci_seasons *seasons, size_t which, const layout *as, double x,
                     double y, const double *edges, foci_error *err) {
    const foci_survey *round = &seasons->rounds[which];
    foci_map_view view =
        foci_map_view_fit(&round->field.shape, foci_seasons_turn(seasons), x, y + as->label, as->width, as->height, 2);
    view.x = x + 2;
    view.y = y + as->label + 2;
    label_draw(canvas, seasons, which, as, x, y);
    /* Where all have one threshold it is a break of the colours, which the legend marks. */
    const double level = foci_words_thresholds_differ(seasons) ? round->threshold : NAN;
    if (!foci_map_level_draw(canvas, &view, round, &foci_map_legends[FOCI_LEGEND_SEVERITY], edges, level, err))
        return false;
    stops_draw(canvas, &view, round);
    return true;
}

/* ---- the legend they share ---- */

static void key_draw(foci_canvas *canvas, double x, double y, double width, bool differ) {
    const struct {
        bool over;
        const char *words;
    } keys[] = {{true, foci_words_stop_above(differ)}, {false, foci_seasons_stop_below}};
    const foci_lettering plain = {.size = 18, .colour = INK, .lines = 1, .width = width};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        dot_draw(canvas, (foci_point){x + 7, y + 12}, keys[i].over ? 5 : 4, keys[i].over);
        foci_canvas_text(canvas, x + 19, y, &plain, keys[i].words);
        x += 19 + foci_canvas_measure(canvas, &(foci_lettering){.size = 18}, keys[i].words).x + 22;
    }
}

/* Thresholds that differ are no place on the legend: each map shows its own. */
static void line_key_draw(foci_canvas *canvas, double x, double y, double width) {
    const foci_lettering plain = {.size = 18, .colour = INK, .lines = 1, .width = width - 30};
    const foci_point line[] = {{x, y + 12}, {x + 22, y + 12}};
    foci_canvas_line(canvas, line, 2, false);
    foci_canvas_stroke(canvas, INK, 2);
    foci_canvas_text(canvas, x + 30, y, &plain, foci_seasons_line_on_map);
}

/* The colours in one row, light to dark, with the breaks written where they part. */
static void strip_draw(foci_canvas *canvas, const foci_seasons *seasons, const double *edges, double x, double y,
                       double width) {
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    const foci_survey *round = &seasons->rounds[seasons->count - 1];
    const foci_lettering unit = {.size = 18, .colour = INK, .width = width, .lines = 1};
    const foci_lettering number = {.size = 18, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    const double part = width / (double)legend->classes;
    const bool differ = foci_words_thresholds_differ(seasons);
    char words[2 * FOCI_WORDS_SIZE];
    foci_words_measured_in(words, round);
    y += foci_canvas_text(canvas, x, y, &unit, words) + 2;
    for (size_t i = 0; i < legend->classes; i++) {
        foci_canvas_rectangle(canvas, x + part * (double)i, y, part, 18);
        foci_canvas_fill(canvas, legend->colours[i]);
    }
    foci_canvas_rectangle(canvas, x, y, width, 18);
    foci_canvas_stroke(canvas, INK, 1.5);
    for (size_t i = 0; i + 1 < legend->classes; i++) {
        const double at = x + part * (double)(i + 1);
        const bool threshold = !differ && edges[i] == round->threshold;
        const foci_point line[] = {{at, y - (threshold ? 3 : 0)}, {at, y + 18 + (threshold ? 4 : 0)}};
        foci_canvas_line(canvas, line, 2, false);
        foci_canvas_stroke(canvas, INK, threshold ? 4 : 1);
        snprintf(words, sizeof words, "%s%s", foci_number_plain(edges[i], 3).text, foci_words_suffix(round));
        foci_lettering as = number;
        as.bold = threshold;
        foci_canvas_text(canvas, at, y + 20, &as, words);
    }
    key_draw(canvas, x, y + 44, width, differ);
    if (differ)
        line_key_draw(canvas, x, y + 44 + LINE_KEY, width);
}

bool foci_seasons_small_maps_draw(double *height, foci_canvas *canvas, const foci_seasons *seasons, foci_box frame,
                                  foci_error *err) {
    double edges[FOCI_LEGEND_MOST];
    const double width = frame.east - frame.west, strip = fmin(width, 640);
    const layout as = best_layout(seasons, width, frame.south - frame.north - strip_height(seasons));
    const foci_map_view view = foci_map_view_fit(&seasons->rounds[0].field.shape, foci_seasons_turn(seasons), 0, 0,
                                                 as.width, fmax(20, as.height), 2);
    layout tight = as;
    tight.height = view.height + 4;
    tight.width = as.width;
    foci_seasons_breaks(edges, seasons);
    for (size_t s = 0; s < seasons->count; s++) {
        const size_t column = s % as.across, row = s / as.across;
        const double x = frame.west + (double)column * (as.width + GAP);
        const double y = frame.north + (double)row * (tight.height + as.label + GAP);
        if (!map_draw(canvas, seasons, s, &tight, x, y, edges, err))
            return false;
    }
    const double bottom = frame.north + (double)as.down * (tight.height + as.label + GAP) - GAP / 2;
    strip_draw(canvas, seasons, edges, frame.west + 2, bottom, strip - 4);
    *height = bottom + strip_height(seasons) - frame.north;
    return true;
}

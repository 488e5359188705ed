/* The survey's map on its page. */
#include "show/report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "show/map/map_marks.h"
#include "decide/words/report_words.h"
#include "decide/words/survey_words.h"
#include "show/report/report_viewer.h"

enum { NAMED_MOST = 3000, LAYERS = 4, GROUNDS = LAYERS + 1, SHAPES = 5, CORNERS_MOST = 20000 };

/* ---- grounds ---- */

/* The layers in the order of their switches; the bounds have the estimate's colors. */
enum { ESTIMATE, CHANCE, LOW, HIGH, PHOTO };

static const double *layer_of(const foci_survey *round, size_t which) {
    const double *const layers[LAYERS] = {[ESTIMATE] = round->surface.estimate,
                                          [CHANCE] = round->surface.chance,
                                          [LOW] = round->surface.low,
                                          [HIGH] = round->surface.high};
    return layers[which];
}

static const foci_map_legend *legend_of(size_t which) {
    return &foci_map_legends[which == CHANCE ? FOCI_LEGEND_CHANCE : FOCI_LEGEND_SEVERITY];
}

static bool draw_layer(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which,
                       foci_error *err) {
    const foci_survey *round = what;
    const foci_map_legend *legend = legend_of(which);
    double edges[FOCI_LEGEND_MOST];
    legend->breaks(edges, round);
    const foci_map_layer layer = {
        .grid = &round->grid,
        .values = layer_of(round, which),
        .legend = legend,
        .edges = edges,
        .level = NAN,
        .even = which == ESTIMATE || which == CHANCE ? foci_map_even(round, legend) : NAN,
        .unspoken = round->unspoken,
    };
    return foci_map_layer_draw(canvas, view, &round->field.shape, &layer, err);
}

static bool draw_photo(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which,
                       foci_error *err) {
    (void)which;
    return foci_map_photo_ground_draw(canvas, view, what, err);
}

static void add_classes(foci_html *html, const void *what, size_t which) {
    const foci_survey *round = what;
    const foci_map_legend *legend = legend_of(which);
    double edges[FOCI_LEGEND_MOST];
    legend->breaks(edges, round);
    for (size_t i = 0; i < legend->classes; i++) {
        char words[FOCI_WORDS_SIZE], mark[FOCI_WORDS_SIZE], both[2 * FOCI_WORDS_SIZE + 4];
        foci_map_legend_label(words, sizeof words, legend, round, edges, i);
        if (i > 0 && legend->mark(mark, sizeof mark, round, edges[i - 1]))
            snprintf(both, sizeof both, "%s (%s)", words, mark);
        else
            snprintf(both, sizeof both, "%s", words);
        foci_report_swatch(html, legend->colours[i], both);
    }
}

static void add_credit(foci_html *html, const void *what, size_t which) {
    const foci_survey *round = what;
    (void)which;
    if (!round->photo.credit || !*round->photo.credit)
        return;
    foci_html_raw(html, "<li>");
    foci_html_text(html, foci_report_photo_by);
    foci_html_text(html, round->photo.credit);
    foci_html_raw(html, "</li>\n");
}

/* ---- shapes ---- */

static const foci_zone_code zone_order[] = {FOCI_ZONE_DIG, FOCI_ZONE_TREAT, FOCI_ZONE_LEAVE};

static void draw_zones(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_survey *round = what;
    (void)which;
    for (size_t i = 0; i < 2; i++) {
        const foci_zone *zone = &round->zones.items[zone_order[i]];
        if (zone->shape.count == 0)
            continue;
        foci_report_add(html, "<g class=\"zone %s\">", foci_zone_name(zone->code));
        foci_html_element(html, "title", foci_words_zone(round, zone->code));
        foci_report_svg_path(html, view, &zone->shape, 0);
        foci_html_raw(html, "</g>\n");
    }
}

static void add_zone_kinds(foci_html *html, const void *what) {
    static const foci_zone_code order[] = {FOCI_ZONE_TREAT, FOCI_ZONE_DIG, FOCI_ZONE_LEAVE};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        foci_report_add(html, "<li><span class=\"swatch %s-swatch\"></span> ", foci_zone_name(order[i]));
        foci_html_text(html, foci_words_zone(what, order[i]));
        foci_html_raw(html, "</li>\n");
    }
}

static void draw_stops(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    (void)which;
    foci_report_stops_svg(html, view, what, NAMED_MOST);
}

static void draw_hotspots(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_survey *round = what;
    (void)which;
    for (size_t i = 0; i < round->hotspots.count; i++) {
        const foci_hotspot *spot = &round->hotspots.items[i];
        char words[FOCI_WORDS_TITLE];
        foci_words_hotspot(words, round, spot);
        foci_report_svg_outline(html, view, &spot->shape, round->grid.cell, spot->id, words);
    }
}

static void draw_digs(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_survey *round = what;
    (void)which;
    for (size_t i = 0; i < round->digs.count; i++) {
        const foci_dig_point *dig = &round->digs.items[i];
        const foci_point at = foci_map_view_pixel(view, dig->place);
        char words[FOCI_WORDS_TITLE];
        foci_words_dig_check(words, dig);
        foci_html_raw(html, "<g>");
        foci_html_element(html, "title", words);
        foci_report_add(html, "<path d=\"M%.1f %.1fl9 9l-9 9l-9 -9z\" />", at.x, at.y - 9);
        foci_report_svg_number(html, at, 13, dig->visit);
        foci_html_raw(html, "</g>\n");
    }
}

/* What people know the field by. It may reach far beyond the field; the drawing is cut at its rim. */
static void draw_mark(foci_html *html, const foci_map_view *view, const foci_mark *mark) {
    foci_html_raw(html, "<g>");
    if (*mark->name)
        foci_html_element(html, "title", mark->name);
    for (size_t i = 0; i < mark->count; i++) {
        const foci_ring *part = &mark->parts[i];
        const foci_point first = foci_map_view_pixel(view, part->points[0]);
        if (mark->kind == FOCI_MARK_POINT) {
            char tag[80];
            foci_report_add(html, "<path class=\"sign\" d=\"M%.1f %.1fl7 12h-14z\" />", first.x, first.y - 8);
            snprintf(tag, sizeof tag, "text x=\"%.1f\" y=\"%.1f\"", first.x, first.y + 20);
            foci_html_element(html, tag, mark->name);
            continue;
        }
        foci_html_raw(html, "<path d=\"");
        for (size_t k = 0; k < part->count; k++) {
            const foci_point at = foci_map_view_pixel(view, part->points[k]);
            foci_report_add(html, "%s%.1f %.1f", k ? "L" : "M", at.x, at.y);
        }
        foci_html_raw(html, mark->kind == FOCI_MARK_AREA ? "Z\" />" : "\" />");
    }
    foci_html_raw(html, "</g>\n");
}

/* Whether there are marks, and not so many that they would make the page large. */
static bool has_marks(const foci_survey *round) {
    size_t corners = 0;
    for (size_t i = 0; i < round->marks.count; i++)
        for (size_t k = 0; k < round->marks.items[i].count; k++)
            corners += round->marks.items[i].parts[k].count;
    return corners > 0 && corners <= CORNERS_MOST;
}

static void draw_marks(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_survey *round = what;
    (void)which;
    for (size_t i = 0; i < round->marks.count; i++)
        draw_mark(html, view, &round->marks.items[i]);
}

/* ---- the whole ---- */

/* What stands on the map, and in which words. */
typedef struct {
    char estimate[FOCI_WORDS_TITLE], chance[FOCI_WORDS_TITLE]; /* titles */
    char before[FOCI_WORDS_SIZE], passed[FOCI_WORDS_TITLE];    /* said of values */
    foci_report_ground grounds[GROUNDS];
    foci_report_shapes shapes[SHAPES];
    foci_report_value values[LAYERS];
    size_t ground_count, shapes_count, value_count;
} map_parts;

static void find_grounds(map_parts *parts, const foci_survey *round) {
    foci_words_chance_of(parts->chance, round);
    foci_words_best_estimate(parts->estimate, round);
    const foci_report_ground all[LAYERS] = {
        {"estimate", parts->estimate, ESTIMATE, draw_layer, add_classes, NULL, false},
        {"chance", parts->chance, CHANCE, draw_layer, add_classes, NULL, false},
        {"low", foci_report_low_end, LOW, draw_layer, NULL, NULL, false},
        {"high", foci_report_high_end, HIGH, draw_layer, NULL, NULL, false}};
    for (size_t i = 0; i < LAYERS; i++)
        if (layer_of(round, i) && round->surface.estimate)
            parts->grounds[parts->ground_count++] = all[i];
    if (round->photo.dots)
        parts->grounds[parts->ground_count++] =
            (foci_report_ground){"photo", "Photo", PHOTO, draw_photo, add_credit, "hotspots", true};
}

static void find_shapes(map_parts *parts, const foci_survey *round) {
    const foci_report_shapes all[SHAPES] = {{"zones", "Zones", 0, false, draw_zones, add_zone_kinds},
                                            {"marks", "Marks", 0, true, draw_marks, NULL},
                                            {"stops", "Stops", 0, true, draw_stops, NULL},
                                            {"hotspots", "Hotspots", 0, true, draw_hotspots, NULL},
                                            {"digs", "Dig-checks", 0, true, draw_digs, NULL}};
    const bool there[SHAPES] = {round->has_zones, has_marks(round), true, round->hotspots.count > 0,
                                round->digs.count > 0};
    for (size_t i = 0; i < SHAPES; i++)
        if (there[i])
            parts->shapes[parts->shapes_count++] = all[i];
}

static void find_values(map_parts *parts, const foci_survey *round) {
    const foci_surface *surface = &round->surface;
    foci_words_before_estimate(parts->before, round);
    foci_words_before_chance(parts->passed, round);
    const foci_report_value all[LAYERS] = {
        {FOCI_REPORT_READING, surface->estimate, NULL, parts->before, "", NULL},
        {FOCI_REPORT_READING, surface->low, NULL, foci_report_before_low, "", NULL},
        {FOCI_REPORT_READING, surface->high, NULL, foci_report_before_high, foci_report_after_high, NULL},
        {FOCI_REPORT_CHANCE, surface->chance, NULL, parts->passed, "", NULL}};
    for (size_t i = 0; i < LAYERS && surface->estimate; i++)
        if (all[i].values)
            parts->values[parts->value_count++] = all[i];
}

void foci_report_map(foci_html *html, const foci_survey *round, const char *described) {
    map_parts parts = {0};
    char *key = html->err.status == FOCI_OK ? foci_words_map_key(round, has_marks(round), &html->err) : NULL;
    if (!key)
        return;
    find_grounds(&parts, round);
    find_shapes(&parts, round);
    find_values(&parts, round);
    foci_report_viewer_add(html, &(foci_report_viewer){.described = described,
                                                       .field = &round->field.shape,
                                                       .grid = &round->grid,
                                                       .work_crs = round->work_crs,
                                                       .what = round,
                                                       .grounds = parts.grounds,
                                                       .ground_count = parts.ground_count,
                                                       .shapes = parts.shapes,
                                                       .shapes_count = parts.shapes_count,
                                                       .values = parts.values,
                                                       .value_count = parts.value_count,
                                                       .suffix = foci_words_suffix(round),
                                                       .bare = "Stops",
                                                       .key = key});
    free(key);
}

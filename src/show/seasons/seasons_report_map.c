/* The map of a comparison on its page: classes, chances and the seasons' own surfaces to switch between. */
#include "show/seasons/seasons_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/words/seasons_report_words.h"
#include "show/report/report_viewer.h"
#include "show/seasons/seasons_looks.h"
#include "show/seasons/seasons_maps.h"

enum {
    EACH = FOCI_SEASONS_MOST,
    GROUNDS = 2 + 2 * EACH,
    SHAPES = 1 + EACH,
    VALUES = 2 + 2 * EACH,
    NAMED_MOST = 3000, /* stops of all seasons */
    KEY_SIZE = 16
};

/* From here on a part of the seasons is a class of its own; one half is where a place is likelier hot than not. */
static const double steps[] = {0.1, 0.25, 0.5, 0.75};

/* ---- grounds ---- */

static bool draw_classes(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which,
                         foci_error *err) {
    (void)which;
    return foci_seasons_class_ground_draw(canvas, view, what, err);
}

/* A joint layer in the colors of chances; `whole`: what is all of it. */
static bool draw_joint(foci_canvas *canvas, const foci_map_view *view, const foci_seasons *seasons, const double *layer,
                       double whole, foci_error *err) {
    double edges[FOCI_LEGEND_MOST] = {0};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        edges[i] = whole * steps[i];
    const foci_map_layer drawn = {.grid = &seasons->grid,
                                  .values = layer,
                                  .legend = &foci_map_legends[FOCI_LEGEND_CHANCE],
                                  .edges = edges,
                                  .level = NAN,
                                  .even = NAN};
    return foci_map_layer_draw(canvas, view, &seasons->rounds[seasons->count - 1].field.shape, &drawn, err);
}

static bool draw_expected(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which,
                          foci_error *err) {
    const foci_seasons *seasons = what;
    (void)which;
    return draw_joint(canvas, view, seasons, seasons->persistence.hot_seasons, (double)seasons->persistence.compared,
                      err);
}

static bool draw_chance(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which,
                        foci_error *err) {
    const foci_seasons *seasons = what;
    return draw_joint(canvas, view, seasons, seasons->persistence.chance[which], 1, err);
}

/* As on the sheet: all seasons in the colors of one legend. */
static bool draw_own(foci_canvas *canvas, const foci_map_view *view, const void *what, size_t which, foci_error *err) {
    const foci_seasons *seasons = what;
    const foci_survey *round = &seasons->rounds[which];
    double edges[FOCI_LEGEND_MOST];
    foci_seasons_breaks(edges, seasons);
    return foci_map_level_draw(canvas, view, round, &foci_map_legends[FOCI_LEGEND_SEVERITY], edges,
                               foci_words_thresholds_differ(seasons) ? round->threshold : NAN, err);
}

/* ---- legends ---- */

static void add_classes(foci_html *html, const void *what, size_t which) {
    (void)which;
    for (size_t i = 0; i < FOCI_CLASS_END; i++) {
        const foci_class_look *look = &foci_class_looks[i];
        char meaning[2 * FOCI_WORDS_SIZE];
        if (!foci_words_class_can_be(what, look->code))
            continue;
        foci_words_meaning(meaning, what, look->code);
        foci_report_add(html, "<li><span class=\"swatch class-%s\" style=\"background-color: #%06x\"></span> ",
                        foci_class_name(look->code), (unsigned)look->colour);
        foci_html_text(html, foci_seasons_class_word(what, look->code));
        foci_html_raw(html, ": ");
        foci_html_text(html, meaning);
        foci_html_raw(html, "</li>\n");
    }
}

static void add_steps(foci_html *html, double whole, const char *unit) {
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_CHANCE];
    for (size_t i = 0; i < legend->classes; i++) {
        char words[FOCI_WORDS_SIZE];
        const double low = i > 0 ? whole * steps[i - 1] : 0, high = i + 1 < legend->classes ? whole * steps[i] : whole;
        foci_words_step(words, low, high, i == 0, i + 1 == legend->classes, unit);
        foci_report_swatch(html, legend->colours[i], words);
    }
}

static void add_expected(foci_html *html, const void *what, size_t which) {
    const foci_seasons *seasons = what;
    (void)which;
    add_steps(html, (double)seasons->persistence.compared, " seasons");
}

static void add_chances(foci_html *html, const void *what, size_t which) {
    (void)what;
    (void)which;
    add_steps(html, 100, " %");
}

static void add_own(foci_html *html, const void *what, size_t which) {
    const foci_seasons *seasons = what;
    const foci_map_legend *legend = &foci_map_legends[FOCI_LEGEND_SEVERITY];
    double edges[FOCI_LEGEND_MOST];
    foci_seasons_breaks(edges, seasons);
    for (size_t i = 0; i < legend->classes; i++) {
        char words[FOCI_WORDS_SIZE];
        foci_map_legend_label(words, sizeof words, legend, &seasons->rounds[which], edges, i);
        foci_report_swatch(html, legend->colours[i], words);
    }
}

/* ---- shapes ---- */

static void draw_places(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_seasons *seasons = what;
    (void)which;
    for (size_t i = 0; i < seasons->places.count; i++) {
        const foci_class_place *place = &seasons->places.items[i];
        char words[FOCI_WORDS_TITLE];
        if (place->id == 0)
            continue;
        foci_words_class_place(words, seasons, place);
        foci_report_svg_outline(html, view, &place->shape, seasons->grid.cell, place->id, words);
    }
}

static void draw_stops(foci_html *html, const foci_map_view *view, const void *what, size_t which) {
    const foci_seasons *seasons = what;
    foci_report_stops_svg(html, view, &seasons->rounds[which], NAMED_MOST / seasons->count);
}

/* ---- the whole ---- */

/* What stands on the map, and the words that its parts borrow. */
typedef struct {
    foci_report_ground grounds[GROUNDS];
    foci_report_shapes shapes[SHAPES];
    foci_report_value values[VALUES];
    size_t ground_count, shapes_count, value_count;
    char key[3][EACH][KEY_SIZE]; /* of a season's chance, own surface, stops */
    char title[3][EACH][FOCI_WORDS_TITLE];
    char before[2][EACH][FOCI_WORDS_TITLE]; /* of a season's chance and own estimate */
    char names[FOCI_CLASS_END][3 * FOCI_WORDS_SIZE];
    const char *name[FOCI_CLASS_END + 1];
    char of[FOCI_WORDS_SIZE];
} map_parts;

enum { CHANCE, OWN, STOPS };

static void add_joint(map_parts *parts, const foci_seasons *seasons) {
    const foci_persistence *made = &seasons->persistence;
    if (!foci_words_any_compared(seasons))
        return;
    for (size_t code = 0; code < FOCI_CLASS_END; code++) {
        foci_words_class_meant(parts->names[code], seasons, (foci_class)code);
        parts->name[code] = parts->names[code];
    }
    foci_words_after_expected(parts->of, seasons);
    parts->grounds[parts->ground_count++] =
        (foci_report_ground){"classes", foci_seasons_classes_title, 0, draw_classes, add_classes, NULL, false};
    parts->grounds[parts->ground_count++] =
        (foci_report_ground){"expected", foci_seasons_expected_title, 0, draw_expected, add_expected, NULL, false};
    parts->values[parts->value_count++] =
        (foci_report_value){FOCI_REPORT_NAME, NULL, made->class_code, foci_seasons_before_class, "", NULL};
    parts->values[parts->value_count++] =
        (foci_report_value){FOCI_REPORT_COUNT, made->hot_seasons, NULL, foci_seasons_before_expected, parts->of, NULL};
}

static void add_season_chance(map_parts *parts, const foci_seasons *seasons, size_t s) {
    if (!seasons->persistence.chance[s])
        return;
    snprintf(parts->key[CHANCE][s], KEY_SIZE, "chance%zu", s);
    foci_words_season_chance(parts->title[CHANCE][s], seasons, s);
    foci_words_before_season_chance(parts->before[CHANCE][s], seasons, s);
    parts->grounds[parts->ground_count++] =
        (foci_report_ground){parts->key[CHANCE][s], parts->title[CHANCE][s], s, draw_chance, add_chances, NULL, false};
    parts->values[parts->value_count++] = (foci_report_value){
        FOCI_REPORT_CHANCE, seasons->persistence.chance[s], NULL, parts->before[CHANCE][s], "", NULL};
}

/* Beside the classes a season's own estimate is read on its own map alone. */
static void add_season_own(map_parts *parts, const foci_seasons *seasons, size_t s) {
    const foci_survey *round = &seasons->rounds[s];
    const bool compared = foci_words_any_compared(seasons);
    if (!round->surface.estimate)
        return;
    snprintf(parts->key[OWN][s], KEY_SIZE, "own%zu", s);
    foci_words_season_own(parts->title[OWN][s], seasons, s);
    foci_words_before_season_own(parts->before[OWN][s], seasons, s, parts->value_count == 0);
    parts->grounds[parts->ground_count++] = (foci_report_ground){
        parts->key[OWN][s], parts->title[OWN][s], s, draw_own, add_own, parts->key[STOPS][s], false};
    parts->values[parts->value_count++] = (foci_report_value){FOCI_REPORT_READING,
                                                              round->surface.estimate,
                                                              NULL,
                                                              parts->before[OWN][s],
                                                              "",
                                                              compared ? parts->key[OWN][s] : NULL};
}

/* Where nothing lies under them the newest season's stops are there at first. */
static void add_season_stops(map_parts *parts, const foci_seasons *seasons, size_t s) {
    snprintf(parts->key[STOPS][s], KEY_SIZE, "stops%zu", s);
    foci_words_season_stops(parts->title[STOPS][s], seasons, s);
    parts->shapes[parts->shapes_count++] =
        (foci_report_shapes){parts->key[STOPS][s],
                             parts->title[STOPS][s],
                             s,
                             !foci_words_any_compared(seasons) && s + 1 == seasons->count,
                             draw_stops,
                             NULL};
}

static void find_parts(map_parts *parts, const foci_seasons *seasons) {
    add_joint(parts, seasons);
    if (seasons->places.count > 0)
        parts->shapes[parts->shapes_count++] = (foci_report_shapes){"hotspots", "Hotspots", 0, true, draw_places, NULL};
    for (size_t s = 0; s < seasons->count; s++)
        add_season_chance(parts, seasons, s);
    /* In the order of time; without classes the newest season is what is seen at first. */
    for (size_t i = 0; i < seasons->count; i++) {
        const size_t s = foci_words_any_compared(seasons) ? i : seasons->count - 1 - i;
        add_season_stops(parts, seasons, s);
        add_season_own(parts, seasons, s);
    }
}

void foci_report_seasons_map(foci_html *html, const foci_seasons *seasons) {
    const foci_survey *newest = &seasons->rounds[seasons->count - 1];
    if (html->err.status != FOCI_OK)
        return;
    map_parts *parts = foci_new_array(1, sizeof *parts, &html->err);
    char *described = parts ? foci_words_map_described(foci_words_comparison_title(seasons), &html->err) : NULL;
    if (described) {
        find_parts(parts, seasons);
        foci_report_viewer_add(html, &(foci_report_viewer){.described = described,
                                                           .field = &newest->field.shape,
                                                           .grid = &seasons->grid,
                                                           .work_crs = newest->work_crs,
                                                           .what = seasons,
                                                           .grounds = parts->grounds,
                                                           .ground_count = parts->ground_count,
                                                           .shapes = parts->shapes,
                                                           .shapes_count = parts->shapes_count,
                                                           .values = parts->values,
                                                           .value_count = parts->value_count,
                                                           .suffix = foci_words_suffix(newest),
                                                           .names = parts->name,
                                                           .bare = "Stops",
                                                           .key = foci_words_seasons_key(seasons)});
    }
    free(described);
    free(parts);
}

/* The map: a picture with shapes over it, whole without a script, which the viewer takes and moves. */
#include "show/report/report_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "show/draw/canvas.h"
#include "show/draw/png_file.h"
#include "show/map/map_field.h"
#include "show/map/map_words.h"

#define SIDE 760.0 /* of the map's longer side, pixels */
#define RIM 14.0   /* room round it, for what stands on the boundary */
#define DOTS_PER_METRE 3780

typedef struct {
    const char *key, *title; /* of the layer; NULL: what was measured */
    const double *layer;
    int legend;
} report_layer;

/* The severity's legend over another layer. */
static const double *low_of(const foci_survey *round) {
    return round->surface.low;
}

static const double *high_of(const foci_survey *round) {
    return round->surface.high;
}

static foci_map_legend legend_of(const report_layer *layer, const foci_survey *round) {
    foci_map_legend legend = foci_map_legends[layer->legend];
    if (layer->layer == round->surface.low)
        legend.layer = low_of;
    else if (layer->layer == round->surface.high)
        legend.layer = high_of;
    return legend;
}

static bool picture_of(unsigned char **png, size_t *size, const foci_map_view *view, const foci_survey *round,
                       const foci_map_legend *legend, const double *edges, foci_error *err) {
    const int width = (int)ceil(view->width), height = (int)ceil(view->height);
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    const bool ok = foci_canvas_open(&canvas, width, height, err) &&
                    foci_map_field_draw(canvas, view, round, legend, edges, err) &&
                    foci_canvas_rgb(&rgb, canvas, err) &&
                    foci_png_bytes(png, size, rgb, (unsigned)width, (unsigned)height, DOTS_PER_METRE,
                                   (const foci_png_text[]){{0}}, err);
    free(rgb);
    foci_canvas_close(canvas);
    return ok;
}

/* data:image/png;base64,... */
static void add_picture(foci_html *html, const foci_map_view *view, const foci_survey *round,
                        const report_layer *layer) {
    const foci_map_legend legend = legend_of(layer, round);
    double edges[FOCI_LEGEND_MOST];
    unsigned char *png = NULL;
    size_t size = 0;
    if (html->err.status != FOCI_OK)
        return;
    legend.breaks(edges, round);
    foci_html_raw(html, "data:image/png;base64,");
    if (picture_of(&png, &size, view, round, &legend, edges, &html->err))
        (void)!foci_text_add_base64(&html->text, png, size, &html->err);
    free(png);
}

static void add_legend(foci_html *html, const foci_survey *round, const report_layer *layer) {
    const foci_map_legend legend = legend_of(layer, round);
    double edges[FOCI_LEGEND_MOST];
    legend.breaks(edges, round);
    foci_report_add(html, "<ul class=\"legend\" data-layer=\"%s\">\n", layer->key);
    for (size_t i = 0; i < legend.classes; i++) {
        char words[FOCI_WORDS_SIZE];
        foci_map_legend_label(words, sizeof words, &legend, round, edges, i);
        foci_report_add(html, "<li><span class=\"swatch\" style=\"background: #%06x\"></span> ",
                        (unsigned)legend.colours[i]);
        foci_html_text(html, words);
        if (i > 0 && legend.mark(words, sizeof words, round, edges[i - 1])) {
            foci_html_raw(html, " (");
            foci_html_text(html, words);
            foci_html_raw(html, ")");
        }
        foci_html_raw(html, "</li>\n");
    }
    foci_html_raw(html, "</ul>\n");
}

static void add_overlay(foci_html *html, const char *key,
                        void (*add)(foci_html *, const foci_map_view *, const foci_survey *), const foci_map_view *view,
                        const foci_survey *round) {
    foci_report_add(html, "<g class=\"overlay %s\">\n", key);
    add(html, view, round);
    foci_html_raw(html, "</g>\n");
}

/* `layer` NULL: no picture, the stops speak for themselves. */
static void add_svg(foci_html *html, const foci_map_view *view, const foci_survey *round, const report_layer *layer,
                    const char *described) {
    foci_report_add(
        html, "<svg id=\"map\" role=\"img\" viewBox=\"%.0f %.0f %.1f %.1f\" xmlns=\"http://www.w3.org/2000/svg\" ",
        -RIM, -RIM, view->width + 2 * RIM, view->height + 2 * RIM);
    foci_html_raw(html, "aria-label=\"");
    foci_html_text(html, described);
    foci_html_raw(html, "\"");
    foci_report_add(html, " data-width=\"%.1f\" data-height=\"%.1f\" data-rim=\"%.0f\"", view->width, view->height,
                    RIM);
    if (layer)
        foci_report_values(html, view, round);
    foci_html_raw(html, ">\n<defs><pattern id=\"treat-lines\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" "
                        "patternTransform=\"rotate(45)\"><rect width=\"9\" height=\"9\" class=\"treat-ground\" />"
                        "<rect width=\"3\" height=\"9\" /></pattern>\n"
                        "<pattern id=\"dig-lines\" width=\"14\" height=\"14\" patternUnits=\"userSpaceOnUse\" "
                        "patternTransform=\"rotate(-45)\"><rect width=\"14\" height=\"14\" class=\"dig-ground\" />"
                        "<rect width=\"2\" height=\"14\" /></pattern></defs>\n");
    if (layer) {
        foci_report_add(html, "<image id=\"ground\" data-layer=\"%s\" width=\"%.0f\" height=\"%.0f\" href=\"",
                        layer->key, ceil(view->width), ceil(view->height));
        add_picture(html, view, round, layer);
        foci_html_raw(html, "\" />\n");
    }
    foci_html_raw(html, "<g id=\"boundary\" class=\"boundary\">");
    foci_report_svg_path(html, view, &round->field.shape, 0);
    foci_html_raw(html, "</g>\n");
    add_overlay(html, "zones off", foci_report_zones_svg, view, round);
    add_overlay(html, "stops", foci_report_stops_svg, view, round);
    add_overlay(html, "hotspots", foci_report_hotspots_svg, view, round);
    add_overlay(html, "digs", foci_report_digs_svg, view, round);
    foci_html_raw(html, "</svg>\n");
}

static void add_switch(foci_html *html, const char *kind, const char *key, const char *words, bool on) {
    foci_report_add(html, "<label><input type=\"%s\" name=\"%s\" value=\"%s\"%s /> ", kind,
                    kind[0] == 'r' ? "ground" : "overlay", key, on ? " checked=\"checked\"" : "");
    foci_html_text(html, words);
    foci_html_raw(html, "</label>\n");
}

/* Hidden until the viewer is there: without a script there is nothing to switch. */
static void add_switches(foci_html *html, const foci_survey *round, const report_layer *layers, size_t count) {
    foci_html_raw(html, "<form id=\"switches\" hidden=\"hidden\">\n");
    if (count > 0) {
        foci_html_raw(html, "<fieldset><legend>Ground</legend>\n");
        for (size_t i = 0; i < count; i++)
            add_switch(html, "radio", layers[i].key, layers[i].title, i == 0);
        foci_html_raw(html, "</fieldset>\n");
    }
    foci_html_raw(html, "<fieldset><legend>On it</legend>\n");
    if (round->has_zones)
        add_switch(html, "checkbox", "zones", "Zones", false);
    if (round->hotspots.count > 0)
        add_switch(html, "checkbox", "hotspots", "Hotspots", true);
    add_switch(html, "checkbox", "stops", "Stops", true);
    if (round->digs.count > 0)
        add_switch(html, "checkbox", "digs", "Dig-checks", true);
    foci_html_raw(html, "</fieldset>\n</form>\n<p id=\"read-out\" role=\"status\" hidden=\"hidden\">Point at the map, "
                        "tap it, or move it with the arrow keys to read it.</p>\n");
}

static void add_key(foci_html *html, const foci_survey *round) {
    char threshold[FOCI_WORDS_SIZE];
    foci_words_reading(threshold, round, round->threshold);
    foci_html_raw(html, "<p>");
    if (!isnan(round->threshold)) {
        foci_html_raw(html, "Full dots: stops at or above ");
        foci_html_text(html, threshold);
        foci_html_raw(html, ", open dots: stops below it. ");
    }
    if (round->hotspots.count > 0)
        foci_html_raw(html, "Thick outlines: hotspots, by number. ");
    if (round->digs.count > 0)
        foci_html_raw(html, "Diamonds: dig-checks, in walking order. ");
    if (round->surface.estimate && foci_words_unspoken(round)) {
        foci_html_raw(html, "Hatched ground: ");
        foci_html_text(html, foci_words_unspoken(round));
        foci_html_raw(html, ". ");
    }
    foci_html_raw(html, "North is up.</p>\n");
}

static void add_zones_key(foci_html *html, const foci_survey *round) {
    static const foci_zone_code order[] = {FOCI_ZONE_TREAT, FOCI_ZONE_DIG, FOCI_ZONE_LEAVE};
    foci_html_raw(html, "<ul class=\"legend\">\n");
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        foci_report_add(html, "<li><span class=\"swatch %s-swatch\"></span> ", foci_zone_name(order[i]));
        foci_html_text(html, foci_words_zone(round, order[i]));
        foci_html_raw(html, "</li>\n");
    }
    foci_html_raw(html, "</ul>\n");
}

/* The zones by themselves: the shapes that the map has too, hidden there until they are asked for. */
static void add_zones(foci_html *html, const foci_map_view *view, const foci_survey *round) {
    foci_report_add(
        html, "<figure><svg class=\"zone-map\" role=\"img\" aria-label=\"Zones\" viewBox=\"%.0f %.0f %.1f %.1f\" ",
        -RIM, -RIM, view->width + 2 * RIM, view->height + 2 * RIM);
    foci_html_raw(html, "xmlns=\"http://www.w3.org/2000/svg\"><use href=\"#zone-shapes\" />"
                        "<use href=\"#boundary\" /></svg>\n<figcaption>Zones</figcaption>\n");
    add_zones_key(html, round);
    foci_html_raw(html, "</figure>\n");
}

/* What is not on the map at first, each as a figure of its own. */
static void add_others(foci_html *html, const foci_map_view *view, const foci_survey *round, const report_layer *layers,
                       size_t count) {
    if (count < 2 && !round->has_zones)
        return;
    foci_html_raw(html, "<div class=\"others\">\n");
    if (round->has_zones)
        add_zones(html, view, round);
    for (size_t i = 1; i < count; i++) {
        foci_report_add(html, "<figure><img data-layer=\"%s\" alt=\"", layers[i].key);
        foci_html_text(html, layers[i].title);
        foci_html_raw(html, ": map of the field\" src=\"");
        add_picture(html, view, round, &layers[i]);
        foci_html_raw(html, "\" />\n<figcaption>");
        foci_html_text(html, layers[i].title);
        foci_html_raw(html, "</figcaption>\n");
        if (layers[i].legend != layers[0].legend)
            add_legend(html, round, &layers[i]);
        foci_html_raw(html, "</figure>\n");
    }
    foci_html_raw(html, "</div>\n");
}

void foci_report_map(foci_html *html, const foci_survey *round, const char *described) {
    const foci_surface *surface = &round->surface;
    char reading[FOCI_WORDS_SIZE], chance[2 * FOCI_WORDS_SIZE], estimate[2 * FOCI_WORDS_SIZE];
    foci_words_reading(reading, round, round->threshold);
    snprintf(chance, sizeof chance, "Chance of %s or more", reading);
    snprintf(estimate, sizeof estimate, "%s, best estimate", foci_words_measured(round));
    const report_layer all[] = {{"estimate", estimate, surface->estimate, FOCI_LEGEND_SEVERITY},
                                {"chance", chance, surface->chance, FOCI_LEGEND_CHANCE},
                                {"low", "Low end (5 % bound)", surface->low, FOCI_LEGEND_SEVERITY},
                                {"high", "High end (95 % bound)", surface->high, FOCI_LEGEND_SEVERITY}};
    report_layer layers[4];
    size_t count = 0;
    for (size_t i = 0; i < 4; i++)
        if (all[i].layer && (i == 0 || count > 0))
            layers[count++] = all[i];
    foci_map_view view = foci_map_view_fit(&round->field.shape, 0, 0, 0, SIDE, SIDE, 0);
    view.x = view.y = 0;
    foci_html_raw(html, "<figure class=\"map\">\n");
    add_switches(html, round, layers, count);
    add_svg(html, &view, round, count > 0 ? &layers[0] : NULL, described);
    foci_html_raw(html, "<figcaption>");
    foci_html_text(html, count > 0 ? estimate : "Stops");
    foci_html_raw(html, "</figcaption>\n");
    if (count > 0)
        add_legend(html, round, &layers[0]);
    foci_html_raw(html, "</figure>\n");
    add_key(html, round);
    add_others(html, &view, round, layers, count);
}

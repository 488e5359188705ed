/* Shapes over the map, as SVG. */
#include "show/report/report_viewer.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory.h"
#include "decide/words/survey_words.h"

void foci_report_add(foci_html *html, const char *format, ...) {
    char text[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    foci_html_raw(html, text);
}

#define UNSEEN 0.3 /* from corner to corner, pixels */

void foci_report_svg_path(foci_html *html, const foci_map_view *view, const foci_multipolygon *shape, double cut) {
    foci_html_raw(html, "<path d=\"");
    for (size_t i = 0; i < shape->count; i++)
        for (size_t j = 0; j < shape->polygons[i].count; j++) {
            const foci_ring *ring = &shape->polygons[i].rings[j];
            foci_point last = {NAN, NAN};
            for (size_t k = 0; k < ring->count; k++) {
                foci_point corner[2] = {ring->points[k]};
                if (cut > 0)
                    foci_map_corner_cut(corner, ring, k, cut);
                for (size_t n = 0; n < (cut > 0 ? 2 : 1); n++) {
                    const foci_point at = foci_map_view_pixel(view, corner[n]);
                    if (hypot(at.x - last.x, at.y - last.y) < UNSEEN)
                        continue;
                    foci_report_add(html, "%s%.1f %.1f", isnan(last.x) ? "M" : "L", at.x, at.y);
                    last = at;
                }
            }
            foci_html_raw(html, "Z");
        }
    foci_html_raw(html, "\" />");
}

#define SMALL 70.0 /* pixels */
#define DOT 3.0    /* from one dot of many to the next, pixels */
enum { NUMBERED_MOST = 20 };

void foci_report_svg_number(foci_html *html, foci_point at, double up, int number) {
    foci_report_add(html, "<text x=\"%.1f\" y=\"%.1f\">%d</text>", at.x, at.y - up, number);
}

/* The middle of what lies farthest north of a shape, pixels: that is in it, whatever its form. */
static foci_point northmost(const foci_map_view *view, const foci_multipolygon *shape, double north) {
    double sum = 0, count = 0;
    for (size_t i = 0; i < shape->count; i++)
        for (size_t k = 0; k < shape->polygons[i].rings[0].count; k++) {
            const foci_point at = foci_map_view_pixel(view, shape->polygons[i].rings[0].points[k]);
            sum += at.y < north + 1 ? at.x : 0;
            count += at.y < north + 1;
        }
    return (foci_point){count > 0 ? sum / count : 0, north};
}

void foci_report_svg_outline(foci_html *html, const foci_map_view *view, const foci_multipolygon *shape, double cell,
                             int number, const char *words) {
    const foci_box box = foci_map_view_box(view, shape);
    /* Dig-checks lie in its middle; one that is too small for both has its number beside it. */
    const bool small = box.south - box.north < SMALL;
    const foci_point at = small ? (foci_point){box.west - 14, box.north} : northmost(view, shape, box.north);
    foci_html_raw(html, "<g>");
    foci_html_element(html, "title", words);
    foci_html_raw(html, "<g class=\"rim\">");
    foci_report_svg_path(html, view, shape, cell / 2);
    foci_html_raw(html, "</g>");
    foci_report_svg_path(html, view, shape, cell / 2);
    if (number <= NUMBERED_MOST)
        foci_report_svg_number(html, at, -26, number);
    foci_html_raw(html, "</g>\n");
}

/* Many stops are dots without names, one for all that lie on each other. */
static void add_dots(foci_html *html, const foci_map_view *view, const foci_survey *round, bool over) {
    const size_t across = (size_t)(view->width / DOT) + 1, down = (size_t)(view->height / DOT) + 1;
    if (html->err.status != FOCI_OK)
        return;
    bool *taken = foci_new_array(across * down, sizeof *taken, &html->err);
    if (!taken)
        return;
    foci_report_add(html, "<path class=\"%s\" d=\"", over ? "over" : "under");
    for (size_t i = 0; i < round->readings.count; i++) {
        const foci_point at = foci_map_view_pixel(view, round->readings.places[i]);
        const size_t column = (size_t)fmax(0, at.x / DOT), row = (size_t)fmax(0, at.y / DOT);
        if ((round->readings.values[i] >= round->threshold) != over || column >= across || row >= down ||
            taken[row * across + column])
            continue;
        taken[row * across + column] = true;
        foci_report_add(html, "M%.0f %.0fh0", at.x, at.y);
    }
    foci_html_raw(html, "\" />\n");
    free(taken);
}

void foci_report_stops_svg(foci_html *html, const foci_map_view *view, const foci_survey *round, size_t named_most) {
    if (round->readings.count > named_most) {
        add_dots(html, view, round, false);
        add_dots(html, view, round, true);
        return;
    }
    for (size_t i = 0; i < round->readings.count; i++) {
        const foci_stop *stop = &round->stops.items[round->readings.stops[i]];
        const foci_point at = foci_map_view_pixel(view, round->readings.places[i]);
        char reading[FOCI_WORDS_SIZE];
        foci_words_reading(reading, round, round->readings.values[i]);
        foci_report_add(html, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"4\">",
                        round->readings.values[i] >= round->threshold ? "over" : "under", at.x, at.y);
        foci_html_raw(html, "<title>Stop ");
        foci_html_text(html, stop->name ? stop->name : "");
        foci_html_raw(html, ": ");
        foci_html_text(html, reading);
        foci_html_raw(html, "</title></circle>\n");
    }
}

#include "show/report/report_viewer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "data/files/photo_file.h"
#include "decide/words/report_words.h"
#include "show/draw/png_file.h"

#define SIDE 760.0  /* of the map's longer side, pixels ... */
#define SMALL 520.0 /* ... and where there are many grounds: the page stays below 2 MB */
#define GROUNDS_MANY 10
#define RIM 14.0 /* room round it, for what stands on the boundary */
#define DOTS_PER_METRE 3780

/* ---- pictures ---- */

static bool picture_of(unsigned char **bytes, size_t *size, const foci_map_view *view, const foci_report_viewer *viewer,
                       const foci_report_ground *ground, foci_error *err) {
    const int width = (int)ceil(view->width), height = (int)ceil(view->height);
    foci_canvas *canvas = NULL;
    unsigned char *rgb = NULL;
    bool ok = foci_canvas_open(&canvas, width, height, err) &&
              ground->draw(canvas, view, viewer->what, ground->which, err) && foci_canvas_rgb(&rgb, canvas, err);
    if (ok && ground->photo)
        ok = foci_photo_jpeg(bytes, size, rgb, (size_t)width, (size_t)height, err);
    else if (ok)
        ok = foci_png_quick_bytes(bytes, size, rgb, (unsigned)width, (unsigned)height, DOTS_PER_METRE, err);
    free(rgb);
    foci_canvas_close(canvas);
    return ok;
}

/* data:image/png;base64,... */
static void add_picture(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer,
                        const foci_report_ground *ground) {
    unsigned char *bytes = NULL;
    size_t size = 0;
    if (html->err.status != FOCI_OK)
        return;
    foci_report_add(html, "data:image/%s;base64,", ground->photo ? "jpeg" : "png");
    if (picture_of(&bytes, &size, view, viewer, ground, &html->err))
        (void)!foci_text_add_base64(&html->text, bytes, size, &html->err);
    free(bytes);
}

void foci_report_swatch(foci_html *html, uint32_t color, const char *words) {
    foci_report_add(html, "<li><span class=\"swatch\" style=\"background: #%06x\"></span> ", (unsigned)color);
    foci_html_text(html, words);
    foci_html_raw(html, "</li>\n");
}

static void add_legend(foci_html *html, const foci_report_viewer *viewer, const foci_report_ground *ground) {
    foci_report_add(html, "<ul class=\"legend\" data-layer=\"%s\">\n", ground->key);
    ground->legend(html, viewer->what, ground->which);
    foci_html_raw(html, "</ul>\n");
}

/* ---- the drawing ---- */

static void open_svg(foci_html *html, const char *attributes, const foci_map_view *view, const char *described) {
    foci_report_add(html, "<svg %s role=\"img\" viewBox=\"%.0f %.0f %.1f %.1f\" xmlns=\"http://www.w3.org/2000/svg\" ",
                    attributes, -RIM, -RIM, view->width + 2 * RIM, view->height + 2 * RIM);
    foci_html_raw(html, "aria-label=\"");
    foci_html_text(html, described);
    foci_html_raw(html, "\"");
}

static void add_image(foci_html *html, const char *attributes, const foci_map_view *view,
                      const foci_report_viewer *viewer, const foci_report_ground *ground) {
    foci_report_add(html, "<image %sdata-layer=\"%s\" width=\"%.0f\" height=\"%.0f\" href=\"", attributes, ground->key,
                    ceil(view->width), ceil(view->height));
    add_picture(html, view, viewer, ground);
    foci_html_raw(html, "\" />\n");
}

static void add_patterns(foci_html *html) {
    foci_html_raw(html, "<defs><pattern id=\"treat-lines\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" "
                        "patternTransform=\"rotate(45)\"><rect width=\"9\" height=\"9\" class=\"treat-ground\" />"
                        "<rect width=\"3\" height=\"9\" /></pattern>\n"
                        "<pattern id=\"dig-lines\" width=\"14\" height=\"14\" patternUnits=\"userSpaceOnUse\" "
                        "patternTransform=\"rotate(-45)\"><rect width=\"14\" height=\"14\" class=\"dig-ground\" />"
                        "<rect width=\"2\" height=\"14\" /></pattern></defs>\n");
}

static void add_svg(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer) {
    open_svg(html, "id=\"map\"", view, viewer->described);
    foci_report_add(html, " data-width=\"%.1f\" data-height=\"%.1f\" data-rim=\"%.0f\"", view->width, view->height,
                    RIM);
    if (viewer->value_count > 0)
        foci_report_values(html, view, viewer);
    foci_html_raw(html, ">\n");
    add_patterns(html);
    if (viewer->ground_count > 0)
        add_image(html, "id=\"ground\" ", view, viewer, &viewer->grounds[0]);
    foci_html_raw(html, "<g id=\"boundary\" class=\"boundary\">");
    foci_report_svg_path(html, view, viewer->field, 0);
    foci_html_raw(html, "</g>\n");
    for (size_t i = 0; i < viewer->shapes_count; i++) {
        const foci_report_shapes *shapes = &viewer->shapes[i];
        foci_report_add(html, "<g class=\"overlay %s%s\"><g id=\"%s-shapes\">\n", shapes->key, shapes->on ? "" : " off",
                        shapes->key);
        shapes->draw(html, view, viewer->what, shapes->which);
        foci_html_raw(html, "</g></g>\n");
    }
    foci_html_raw(html, "</svg>\n");
}

/* ---- switches ---- */

static void add_switch(foci_html *html, const char *kind, const char *key, const char *words, bool on) {
    foci_report_add(html, "<label><input type=\"%s\" name=\"%s\" value=\"%s\"%s /> ", kind,
                    kind[0] == 'r' ? "ground" : "overlay", key, on ? " checked=\"checked\"" : "");
    foci_html_text(html, words);
    foci_html_raw(html, "</label>\n");
}

/* Hidden until the viewer is there: without a script there is nothing to switch. */
static void add_switches(foci_html *html, const foci_report_viewer *viewer) {
    foci_html_raw(html, "<form id=\"switches\" hidden=\"hidden\">\n");
    if (viewer->ground_count > 0) {
        foci_html_raw(html, "<fieldset>");
        foci_html_element(html, "legend", foci_report_grounds);
        for (size_t i = 0; i < viewer->ground_count; i++)
            add_switch(html, "radio", viewer->grounds[i].key, viewer->grounds[i].title, i == 0);
        foci_html_raw(html, "</fieldset>\n");
    }
    foci_html_raw(html, "<fieldset>");
    foci_html_element(html, "legend", foci_report_on_it);
    for (size_t i = 0; i < viewer->shapes_count; i++)
        add_switch(html, "checkbox", viewer->shapes[i].key, viewer->shapes[i].title, viewer->shapes[i].on);
    foci_html_raw(html, "</fieldset>\n</form>\n");
    foci_html_element(html, "p id=\"read-out\" role=\"status\" hidden=\"hidden\"", foci_report_point_at);
}

/* ---- what is not on the map at first, each as a figure of its own ---- */

/* The shapes by themselves: those that the map has too, hidden there until they are asked for. */
static void add_shapes_figure(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer,
                              const foci_report_shapes *shapes) {
    foci_html_raw(html, "<figure>");
    open_svg(html, "class=\"small-map\"", view, shapes->title);
    foci_report_add(html, "><use href=\"#%s-shapes\" />", shapes->key);
    foci_html_raw(html, "<use href=\"#boundary\" /></svg>\n");
    foci_html_element(html, "figcaption", shapes->title);
    foci_html_raw(html, "<ul class=\"legend\">\n");
    shapes->legend(html, viewer->what);
    foci_html_raw(html, "</ul>\n</figure>\n");
}

static void add_ground_figure(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer,
                              const foci_report_ground *ground) {
    foci_html_raw(html, "<figure>");
    char *described = html->err.status == FOCI_OK ? foci_words_ground_described(ground->title, &html->err) : NULL;
    open_svg(html, "class=\"small-map\"", view, described ? described : "");
    free(described);
    foci_html_raw(html, ">");
    add_image(html, "", view, viewer, ground);
    foci_html_raw(html, "<use href=\"#boundary\" />");
    if (ground->under)
        foci_report_add(html, "<use href=\"#%s-shapes\" />", ground->under);
    foci_html_raw(html, "</svg>\n");
    foci_html_element(html, "figcaption", ground->title);
    if (ground->legend)
        add_legend(html, viewer, ground);
    foci_html_raw(html, "</figure>\n");
}

static void add_others(foci_html *html, const foci_map_view *view, const foci_report_viewer *viewer) {
    size_t figures = viewer->ground_count > 1 ? viewer->ground_count - 1 : 0;
    for (size_t i = 0; i < viewer->shapes_count; i++)
        figures += viewer->shapes[i].legend != NULL;
    if (figures == 0)
        return;
    foci_html_raw(html, "<div class=\"others\">\n");
    for (size_t i = 0; i < viewer->shapes_count; i++)
        if (viewer->shapes[i].legend)
            add_shapes_figure(html, view, viewer, &viewer->shapes[i]);
    for (size_t i = 1; i < viewer->ground_count; i++)
        add_ground_figure(html, view, viewer, &viewer->grounds[i]);
    foci_html_raw(html, "</div>\n");
}

void foci_report_viewer_add(foci_html *html, const foci_report_viewer *viewer) {
    const double side = viewer->ground_count > GROUNDS_MANY ? SMALL : SIDE;
    foci_map_view view = foci_map_view_fit(viewer->field, 0, 0, 0, side, side, 0);
    view.x = view.y = 0;
    foci_html_raw(html, "<figure class=\"map\">\n");
    add_switches(html, viewer);
    add_svg(html, &view, viewer);
    foci_html_element(html, "figcaption", viewer->ground_count > 0 ? viewer->grounds[0].title : viewer->bare);
    if (viewer->ground_count > 0)
        add_legend(html, viewer, &viewer->grounds[0]);
    foci_html_raw(html, "</figure>\n");
    foci_html_element(html, "p", viewer->key);
    add_others(html, &view, viewer);
}

#include "show/draw/canvas.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cairo-pdf.h>
#include <cairo.h>
#include <pango/pangocairo.h>

#include "base/deliver.h"
#include "base/memory.h"

#define PAGE_DENSITY 3 /* 436 dots to the inch where 1600 pixels are 11 inches wide */

/* A PDF as it grows. */
typedef struct {
    unsigned char *bytes;
    size_t size, capacity;
    foci_error err;
} pdf_bytes;

struct foci_canvas {
    int width, height;
    int density;
    bool mute;
    pdf_bytes pdf;
    cairo_surface_t *surface;
    cairo_t *cairo;
    PangoFontMap *fonts; /* our own: the default one belongs to the thread and would outlive us */
    PangoContext *context;
    PangoLayout *layout;
};

/* Pango names these even where nothing is installed. */
static const char *const aliases[] = {"Sans", "Serif", "Monospace", "System-ui", NULL};

static bool has_font(PangoFontMap *fonts) {
    PangoFontFamily **families = NULL;
    int count = 0;
    bool found = false;
    pango_font_map_list_families(fonts, &families, &count);
    for (int i = 0; i < count && !found; i++) {
        const char *const *alias = aliases;
        while (*alias && strcmp(pango_font_family_get_name(families[i]), *alias) != 0)
            alias++;
        found = !*alias;
    }
    g_free((void *)families);
    return found;
}

/* Grey edges and no hinting: the letters then keep their shape at every size. */
static void set_font_options(PangoContext *context) {
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
}

/* A canvas that knows its fonts, without a surface yet. */
static foci_canvas *new_canvas(int width, int height, int density, foci_error *err) {
    foci_canvas *canvas = foci_new_array(1, sizeof *canvas, err);
    if (!canvas)
        return NULL;
    canvas->width = width;
    canvas->height = height;
    canvas->density = density;
    canvas->fonts = pango_cairo_font_map_new();
    if (!has_font(canvas->fonts)) {
        foci_canvas_close(canvas);
        foci_fail(err, FOCI_NO_FILE, NULL, 0,
                  "no font is installed to write on a picture with; install one, for instance DejaVu Sans");
        return NULL;
    }
    canvas->context = pango_font_map_create_context(canvas->fonts);
    canvas->layout = pango_layout_new(canvas->context);
    pango_layout_set_auto_dir(canvas->layout, FALSE); /* sentences run from left to right, whatever name begins them */
    set_font_options(canvas->context);
    return canvas;
}

static void start_drawing(foci_canvas *canvas, cairo_surface_t *surface) {
    canvas->surface = surface;
    canvas->cairo = cairo_create(surface);
    cairo_set_fill_rule(canvas->cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(canvas->cairo, CAIRO_LINE_CAP_BUTT);
}

bool foci_canvas_open(foci_canvas **out, int width, int height, foci_error *err) {
    foci_canvas *canvas = new_canvas(width, height, 1, err);
    if (!canvas)
        return false;
    start_drawing(canvas, cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
    foci_canvas_rectangle(canvas, 0, 0, width, height);
    foci_canvas_fill(canvas, 0xFFFFFF);
    *out = canvas;
    return true;
}

static cairo_status_t take_bytes(void *closure, const unsigned char *bytes, unsigned size) {
    pdf_bytes *pdf = closure;
    if (!foci_grow_array((void **)&pdf->bytes, &pdf->capacity, pdf->size + size, 1, &pdf->err))
        return CAIRO_STATUS_WRITE_ERROR;
    memcpy(pdf->bytes + pdf->size, bytes, size);
    pdf->size += size;
    return CAIRO_STATUS_SUCCESS;
}

static void set_fact(cairo_surface_t *surface, cairo_pdf_metadata_t key, const char *text) {
    gchar *valid = g_utf8_make_valid(text, -1);
    cairo_pdf_surface_set_metadata(surface, key, valid);
    g_free(valid);
}

/* The sheet's pixels, in the middle of a page of so many points. */
static void fit_page(foci_canvas *canvas, double width, double height) {
    const double scale = fmin(width / canvas->width, height / canvas->height);
    cairo_identity_matrix(canvas->cairo);
    cairo_translate(canvas->cairo, (width - scale * canvas->width) / 2, (height - scale * canvas->height) / 2);
    cairo_scale(canvas->cairo, scale, scale);
    pango_cairo_update_context(canvas->cairo, canvas->context);
}

bool foci_canvas_open_page(foci_canvas **out, int width, int height, const foci_page *page, foci_error *err) {
    foci_canvas *canvas = new_canvas(width, height, PAGE_DENSITY, err);
    if (!canvas)
        return false;
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(take_bytes, &canvas->pdf, page->width, page->height);
    set_fact(surface, CAIRO_PDF_METADATA_TITLE, page->title);
    set_fact(surface, CAIRO_PDF_METADATA_SUBJECT, page->subject);
    set_fact(surface, CAIRO_PDF_METADATA_CREATOR, "fieldfoci " FOCI_VERSION);
    set_fact(surface, CAIRO_PDF_METADATA_CREATE_DATE, page->made); /* else it would be the clock's */
    start_drawing(canvas, surface);
    fit_page(canvas, page->width, page->height);
    *out = canvas;
    return true;
}

void foci_canvas_close(foci_canvas *canvas) {
    if (!canvas)
        return;
    g_clear_object(&canvas->layout);
    g_clear_object(&canvas->context);
    g_clear_object(&canvas->fonts);
    cairo_destroy(canvas->cairo);
    cairo_surface_destroy(canvas->surface);
    free(canvas->pdf.bytes);
    free(canvas);
}

int foci_canvas_density(const foci_canvas *canvas) {
    return canvas->density;
}

void foci_canvas_mute(foci_canvas *canvas, bool mute) {
    canvas->mute = mute;
}

bool foci_canvas_is_mute(const foci_canvas *canvas) {
    return canvas->mute;
}

void foci_canvas_next_page(foci_canvas *canvas, double height) {
    if (canvas->mute)
        return;
    if (cairo_surface_get_type(canvas->surface) == CAIRO_SURFACE_TYPE_PDF)
        cairo_show_page(canvas->cairo);
    else
        cairo_translate(canvas->cairo, 0, height);
}

void foci_canvas_next_sheet(foci_canvas *canvas, int width, int height, const foci_page *page) {
    canvas->width = width;
    canvas->height = height;
    cairo_show_page(canvas->cairo);
    cairo_pdf_surface_set_size(canvas->surface, page->width, page->height);
    fit_page(canvas, page->width, page->height);
}

double foci_canvas_width(const foci_canvas *canvas) {
    return canvas->width;
}

static bool is_whole(const foci_canvas *canvas, const char *path, foci_error *err) {
    const cairo_status_t drawn = cairo_status(canvas->cairo),
                         status = drawn ? drawn : cairo_surface_status(canvas->surface);
    return !status || foci_fail(err, FOCI_NO_MEMORY, path, 0, "could not be drawn: %s", cairo_status_to_string(status));
}

bool foci_canvas_write_pdf(foci_canvas *canvas, const char *path, foci_error *err) {
    cairo_surface_finish(canvas->surface);
    if (canvas->pdf.err.status != FOCI_OK)
        return foci_fail(err, canvas->pdf.err.status, path, 0, "%s", canvas->pdf.err.text);
    return is_whole(canvas, path, err) && foci_deliver_bytes(path, canvas->pdf.bytes, canvas->pdf.size, true, err);
}

bool foci_canvas_rgb(unsigned char **out, foci_canvas *canvas, foci_error *err) {
    cairo_surface_flush(canvas->surface);
    if (!is_whole(canvas, NULL, err))
        return false;
    const size_t width = (size_t)canvas->width, height = (size_t)canvas->height;
    const size_t stride = (size_t)cairo_image_surface_get_stride(canvas->surface);
    const unsigned char *data = cairo_image_surface_get_data(canvas->surface);
    unsigned char *rgb = foci_new_array(3 * width * height, 1, err);
    if (!rgb)
        return false;
    for (size_t i = 0; i < width * height; i++) {
        uint32_t pixel = 0;
        memcpy(&pixel, data + i / width * stride + i % width * sizeof pixel, sizeof pixel);
        rgb[3 * i] = (unsigned char)(pixel >> 16 & 0xFF);
        rgb[3 * i + 1] = (unsigned char)(pixel >> 8 & 0xFF);
        rgb[3 * i + 2] = (unsigned char)(pixel & 0xFF);
    }
    *out = rgb;
    return true;
}

static void set_colour(foci_canvas *canvas, uint32_t colour) {
    cairo_set_source_rgb(canvas->cairo, (colour >> 16 & 0xFF) / 255.0, (colour >> 8 & 0xFF) / 255.0,
                         (colour & 0xFF) / 255.0);
}

void foci_canvas_line(foci_canvas *canvas, const foci_point *points, size_t count, bool closed) {
    cairo_new_sub_path(canvas->cairo);
    for (size_t i = 0; i < count; i++)
        cairo_line_to(canvas->cairo, points[i].x, points[i].y);
    if (closed && count > 0)
        cairo_close_path(canvas->cairo);
}

void foci_canvas_circle(foci_canvas *canvas, foci_point middle, double radius) {
    cairo_new_sub_path(canvas->cairo);
    cairo_arc(canvas->cairo, middle.x, middle.y, radius, 0, 2 * M_PI);
    cairo_close_path(canvas->cairo);
}

void foci_canvas_rectangle(foci_canvas *canvas, double x, double y, double width, double height) {
    cairo_rectangle(canvas->cairo, x, y, width, height);
}

void foci_canvas_fill(foci_canvas *canvas, uint32_t colour) {
    set_colour(canvas, colour);
    if (canvas->mute)
        cairo_new_path(canvas->cairo);
    else
        cairo_fill(canvas->cairo);
}

void foci_canvas_stroke(foci_canvas *canvas, uint32_t colour, double width) {
    set_colour(canvas, colour);
    cairo_set_line_width(canvas->cairo, width);
    if (canvas->mute)
        cairo_new_path(canvas->cairo);
    else
        cairo_stroke(canvas->cairo);
}

void foci_canvas_stroke_on_white(foci_canvas *canvas, uint32_t colour, double width, double halo) {
    set_colour(canvas, 0xFFFFFF);
    cairo_set_line_width(canvas->cairo, width + 2 * halo);
    if (!canvas->mute)
        cairo_stroke_preserve(canvas->cairo);
    foci_canvas_stroke(canvas, colour, width);
}

void foci_canvas_clip(foci_canvas *canvas) {
    cairo_save(canvas->cairo);
    cairo_clip(canvas->cairo);
}

void foci_canvas_unclip(foci_canvas *canvas) {
    cairo_restore(canvas->cairo);
}

void foci_canvas_image(foci_canvas *canvas, const uint32_t *pixels, int width, int height, int x, int y) {
    if (canvas->mute)
        return;
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    if (cairo_surface_status(image) == CAIRO_STATUS_SUCCESS) {
        unsigned char *data = cairo_image_surface_get_data(image);
        const size_t stride = (size_t)cairo_image_surface_get_stride(image);
        cairo_surface_flush(image);
        for (size_t row = 0; row < (size_t)height; row++)
            memcpy(data + row * stride, pixels + row * (size_t)width, (size_t)width * sizeof *pixels);
        cairo_surface_mark_dirty(image);
    }
    /* A surface that could not be made puts the canvas into its error state, which foci_canvas_rgb tells. */
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, x, y);
    cairo_scale(canvas->cairo, 1.0 / canvas->density, 1.0 / canvas->density);
    cairo_set_source_surface(canvas->cairo, image, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(canvas->cairo), CAIRO_FILTER_NEAREST);
    cairo_paint(canvas->cairo);
    cairo_restore(canvas->cairo);
    cairo_surface_destroy(image);
}

/* The end of "ha", "percentage points" ... at `text`, where no line may end between it and the number before it; NULL
 * where something else stands there. */
static const char *unit_end(const char *text) {
    static const char *const units[] = {"acres", "acre", "ha", "ft", "feet", "m", "sq ft", "sq m", "%", "percent"};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const size_t length = strlen(units[i]);
        if (strncmp(text, units[i], length) == 0 && !g_ascii_isalnum(text[length]))
            return text + length;
    }
    return NULL;
}

/* A number and its unit stay on one line. */
static PangoAttrList *unbroken(const char *text) {
    PangoAttrList *attributes = pango_attr_list_new();
    for (const char *blank = text; (blank = strchr(blank, ' ')); blank++) {
        const char *start = blank, *end = unit_end(blank + 1);
        while (start > text && strchr("0123456789.,(", start[-1]))
            start--;
        if (!end || start == blank)
            continue;
        PangoAttribute *attribute = pango_attr_allow_breaks_new(false);
        attribute->start_index = (guint)(start - text);
        attribute->end_index = (guint)(end - text);
        pango_attr_list_insert(attributes, attribute);
    }
    return attributes;
}

static void set_text(foci_canvas *canvas, const foci_lettering *lettering, const char *text) {
    static const PangoAlignment sides[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT};
    PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans, Sans");
    pango_font_description_set_absolute_size(font, lettering->size * PANGO_SCALE);
    pango_font_description_set_weight(font, lettering->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(canvas->layout, font);
    pango_font_description_free(font);
    pango_layout_set_alignment(canvas->layout, sides[lettering->align]);
    pango_layout_set_wrap(canvas->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_width(canvas->layout, lettering->width > 0 ? (int)lround(lettering->width * PANGO_SCALE) : -1);
    pango_layout_set_height(canvas->layout, lettering->lines > 0 ? -lettering->lines : -1);
    pango_layout_set_ellipsize(canvas->layout, lettering->lines > 0 ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
    gchar *valid = g_utf8_make_valid(text, -1);
    for (gchar *letter = valid; *letter; letter++)
        if ((unsigned char)*letter < 0x20 || *letter == 0x7F)
            *letter = ' ';
    PangoAttrList *attributes = unbroken(valid);
    pango_layout_set_text(canvas->layout, valid, -1);
    pango_layout_set_attributes(canvas->layout, attributes);
    pango_attr_list_unref(attributes);
    g_free(valid);
}

foci_point foci_canvas_measure(foci_canvas *canvas, const foci_lettering *lettering, const char *text) {
    PangoRectangle extent = {0};
    set_text(canvas, lettering, text);
    pango_layout_get_extents(canvas->layout, NULL, &extent);
    return (foci_point){(double)extent.width / PANGO_SCALE, (double)extent.height / PANGO_SCALE};
}

double foci_canvas_text(foci_canvas *canvas, double x, double y, const foci_lettering *lettering, const char *text) {
    static const double before[] = {0, 0.5, 1};
    foci_point extent = foci_canvas_measure(canvas, lettering, text);
    double width = lettering->width > 0 ? lettering->width : extent.x;
    if (canvas->mute)
        return extent.y;
    set_colour(canvas, lettering->colour);
    cairo_move_to(canvas->cairo, x - before[lettering->align] * width, y);
    /* Readers that speak a page go by its structure; other surfaces take no notice. */
    const char *tag = lettering->heading ? "H1" : "P";
    cairo_tag_begin(canvas->cairo, tag, NULL);
    pango_cairo_show_layout(canvas->cairo, canvas->layout);
    cairo_tag_end(canvas->cairo, tag);
    cairo_new_path(canvas->cairo);
    return extent.y;
}

bool foci_canvas_cuts(foci_canvas *canvas, const foci_lettering *lettering, const char *text) {
    set_text(canvas, lettering, text);
    return pango_layout_is_ellipsized(canvas->layout);
}

size_t foci_canvas_fit(foci_canvas *canvas, const foci_lettering *lettering, const char *text, double height) {
    size_t fits = 0;
    /* Bytes that are no UTF-8 are replaced on the way into the layout, where they are counted otherwise. */
    if (!g_utf8_validate(text, -1, NULL))
        return strlen(text);
    set_text(canvas, lettering, text);
    PangoLayoutIter *iter = pango_layout_get_iter(canvas->layout);
    do {
        PangoRectangle extent = {0};
        const PangoLayoutLine *line = pango_layout_iter_get_line_readonly(iter);
        pango_layout_iter_get_line_extents(iter, NULL, &extent);
        if ((double)(extent.y + extent.height) / PANGO_SCALE > height)
            break;
        fits = (size_t)line->start_index + (size_t)line->length;
    } while (pango_layout_iter_next_line(iter));
    pango_layout_iter_free(iter);
    return fits;
}

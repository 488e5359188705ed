#include "show/map/variogram_picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "decide/words/variogram_words.h"
#include "base/memory.h"
#include "base/text.h"
#include "fieldfoci/map.h"
#include "fieldfoci/words.h"
#include "show/draw/canvas.h"
#include "show/draw/png_file.h"

#define INK 0x1A1A1A
#define PALE 0x777777
#define LINE 0xA23828
#define WIDTH 1200
#define HEIGHT 900
#define DOTS_PER_METRE 5727
#define MARGIN 40.0
#define CURVE 400 /* points of the model's line */

/* Where the axes stand and what they span. */
typedef struct {
    double left, right, top, bottom; /* pixels */
    double far, high;                /* metres, unit squared, at the ends */
} plot;

static foci_point plot_pixel(const plot *at, double distance, double semivariance) {
    return (foci_point){at->left + (at->right - at->left) * distance / at->far,
                        at->bottom - (at->bottom - at->top) * semivariance / at->high};
}

static double sill_of(const foci_variogram *model) {
    return model->nugget + model->partial_sill;
}

static plot plot_of(const foci_semivariances *semivariances, const foci_variogram *model) {
    plot at = {140, WIDTH - MARGIN - 90, 180, 620, 0, model ? sill_of(model) : 0};
    for (size_t i = 0; i < semivariances->count; i++) {
        at.far = fmax(at.far, semivariances->bins[i].distance);
        at.high = fmax(at.high, semivariances->bins[i].semivariance);
    }
    at.far = fmax(at.far, isfinite(semivariances->farthest) ? semivariances->farthest : 0);
    at.far = at.far > 0 ? 1.04 * at.far : 1;
    at.high = at.high > 0 ? 1.14 * at.high : 1;
    return at;
}

static void segment(foci_canvas *canvas, foci_point from, foci_point to, uint32_t colour, double width) {
    const foci_point ends[] = {from, to};
    foci_canvas_line(canvas, ends, 2, false);
    foci_canvas_stroke(canvas, colour, width);
}

/* The step of 1, 2, 5 x 10^k that gives about six ticks. */
static double tick_step(double span) {
    const double power = pow(10, floor(log10(span / 6))), rest = span / 6 / power;
    return power * (rest <= 1 ? 1 : rest <= 2 ? 2 : rest <= 5 ? 5 : 10);
}

static void tick_words(foci_canvas *canvas, double x, double y, foci_align align, double number) {
    const foci_lettering plain = {.size = 20, .colour = INK, .align = align};
    char text[32];
    snprintf(text, sizeof text, "%.6g", number);
    foci_canvas_text(canvas, x, y - foci_canvas_measure(canvas, &plain, text).y / 2, &plain, text);
}

/* Metres below (`feet` false), or feet above. */
static void distance_axis(foci_canvas *canvas, const plot *at, bool feet) {
    const foci_lettering plain = {.size = 22, .colour = INK, .align = FOCI_ALIGN_MIDDLE};
    const double unit = feet ? 1 / FOCI_FEET_PER_METER : 1, y = feet ? at->top : at->bottom, out = feet ? -1 : 1;
    const double step = tick_step(at->far / unit);
    for (int i = 0; i * step * unit <= at->far; i++) {
        const double x = plot_pixel(at, i * step * unit, 0).x;
        segment(canvas, (foci_point){x, y}, (foci_point){x, y + 8 * out}, INK, 2);
        tick_words(canvas, x, y + 22 * out, FOCI_ALIGN_MIDDLE, i * step);
    }
    foci_canvas_text(canvas, (at->left + at->right) / 2, y + (feet ? -64 : 38), &plain,
                     feet ? foci_variogram_feet : foci_variogram_meters);
}

static void semivariance_axis(foci_canvas *canvas, const plot *at) {
    const double step = tick_step(at->high);
    for (int i = 0; i * step <= at->high; i++) {
        const double y = plot_pixel(at, 0, i * step).y;
        segment(canvas, (foci_point){at->left - 8, y}, (foci_point){at->left, y}, INK, 2);
        tick_words(canvas, at->left - 14, y, FOCI_ALIGN_RIGHT, i * step);
    }
}

static void axes_draw(foci_canvas *canvas, const plot *at) {
    distance_axis(canvas, at, false);
    distance_axis(canvas, at, true);
    semivariance_axis(canvas, at);
    foci_canvas_rectangle(canvas, at->left, at->top, at->right - at->left, at->bottom - at->top);
    foci_canvas_stroke(canvas, INK, 2);
}

/* The model's line for distances stretched by 1 / ratio. */
static bool curve_draw(foci_canvas *canvas, const plot *at, const foci_variogram *model, double ratio, double width,
                       foci_error *err) {
    foci_point *points = foci_new_array(CURVE, sizeof *points, err);
    if (!points)
        return false;
    for (int i = 0; i < CURVE; i++) {
        const double distance = at->far * i / (CURVE - 1);
        const double rise =
            model->range > 0 ? 1 - model->kind->at(distance / (model->range * ratio), model->smoothness) : 1;
        points[i] = plot_pixel(at, distance, model->nugget + model->partial_sill * rise);
    }
    foci_canvas_line(canvas, points, CURVE, false);
    foci_canvas_stroke(canvas, LINE, width);
    free(points);
    return true;
}

/* Thin lines at nugget, sill and range, each with its name where no point can lie. */
static void guides_draw(foci_canvas *canvas, const plot *at, const foci_variogram *model) {
    const foci_lettering bold = {.size = 20, .bold = true, .colour = PALE};
    const foci_point nugget = plot_pixel(at, 0, model->nugget);
    const foci_point sill = plot_pixel(at, foci_variogram_practical_range(model), sill_of(model));
    segment(canvas, (foci_point){at->left, sill.y}, (foci_point){at->right, sill.y}, PALE, 1.5);
    foci_canvas_text(canvas, at->right + 8, sill.y - 12, &bold, "sill");
    if (nugget.y - sill.y < 26)
        return;
    segment(canvas, nugget, (foci_point){at->right, nugget.y}, PALE, 1.5);
    foci_canvas_text(canvas, at->right + 8, nugget.y - 12, &bold, "nugget");
    if (sill.x > at->right - 80)
        return;
    segment(canvas, (foci_point){sill.x, at->top}, (foci_point){sill.x, at->bottom}, PALE, 1.5);
    foci_canvas_text(canvas, sill.x + 8, at->top + 5, &bold, "range");
}

/* Discs whose area goes with the pairs behind them. */
static void points_draw(foci_canvas *canvas, const plot *at, const foci_semivariances *semivariances) {
    size_t most = 1;
    for (size_t i = 0; i < semivariances->count; i++)
        most = semivariances->bins[i].pairs > most ? semivariances->bins[i].pairs : most;
    for (size_t i = 0; i < semivariances->count; i++) {
        const foci_variogram_bin *bin = &semivariances->bins[i];
        const foci_point pixel = plot_pixel(at, bin->distance, bin->semivariance);
        const double radius = 4 + 10 * sqrt((double)bin->pairs / (double)most);
        foci_canvas_circle(canvas, pixel, radius + 2.5);
        foci_canvas_fill(canvas, 0xFFFFFF);
        foci_canvas_circle(canvas, pixel, radius);
        foci_canvas_fill(canvas, INK);
    }
}

static void column_draw(foci_canvas *canvas, int which, const char *head, const char *words) {
    const double width = (WIDTH - 2 * MARGIN - 60) / 3, x = MARGIN + which * (width + 30);
    const foci_lettering bold = {.size = 22, .bold = true, .colour = INK, .width = width, .lines = 1};
    const foci_lettering plain = {.size = 20, .colour = INK, .width = width, .lines = 4};
    const double y = 705 + foci_canvas_text(canvas, x, 705, &bold, head);
    foci_canvas_text(canvas, x, y, &plain, words);
}

/* What nugget, sill and range mean, in words. */
static void words_draw(foci_canvas *canvas, const foci_variogram *model) {
    char head[96], length[FOCI_WORDS_SIZE];
    const double reach = foci_variogram_practical_range(model);
    snprintf(head, sizeof head, "Nugget %.3g", model->nugget);
    column_draw(canvas, 0, head, foci_variogram_nugget_means);
    snprintf(head, sizeof head, "Sill %.3g", sill_of(model));
    column_draw(canvas, 1, head, foci_variogram_sill_means);
    foci_words_length(length, reach, FOCI_ACRES);
    snprintf(head, sizeof head, "Range %.80s", length);
    column_draw(canvas, 2, head, foci_words_range_means(model));
}

/* Title, axis unit, and the line that says how it was made. */
static bool labels_draw(foci_canvas *canvas, const foci_semivariances *semivariances, const foci_variogram *model,
                        const char *unit, const char *made, foci_text *caption, foci_error *err) {
    const foci_lettering bold = {.size = 34, .bold = true, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 1};
    const foci_lettering plain = {.size = 20, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 1};
    const foci_lettering small = {.size = 17, .colour = INK, .width = WIDTH - 2 * MARGIN, .lines = 2};
    char *axis = foci_words_upwards(unit, err);
    const bool ok = axis && foci_words_add_variogram(caption, semivariances, model, made, err);
    if (ok) {
        foci_canvas_text(canvas, MARGIN, 22, &bold, foci_variogram_title);
        foci_canvas_text(canvas, MARGIN, 68, &plain, axis);
        foci_canvas_text(canvas, MARGIN, HEIGHT - 60, &small, caption->text);
    }
    free(axis);
    return ok;
}

static bool picture_draw(foci_canvas *canvas, const foci_semivariances *semivariances, const foci_variogram *model,
                         const char *unit, const char *made, foci_text *caption, foci_error *err) {
    const plot at = plot_of(semivariances, model);
    if (!labels_draw(canvas, semivariances, model, unit, made, caption, err))
        return false;
    axes_draw(canvas, &at);
    if (model) {
        guides_draw(canvas, &at, model);
        words_draw(canvas, model);
        foci_canvas_rectangle(canvas, at.left, at.top, at.right - at.left, at.bottom - at.top);
        foci_canvas_clip(canvas);
        const bool ok = curve_draw(canvas, &at, model, 1, 5, err) &&
                        (!(model->ratio < 1) || curve_draw(canvas, &at, model, model->ratio, 2, err));
        foci_canvas_unclip(canvas);
        if (!ok)
            return false;
    }
    points_draw(canvas, &at, semivariances);
    return true;
}

/* Hands the finished dots over. */
typedef bool give(void *to, const unsigned char *rgb, const foci_png_text *texts, foci_error *err);

static bool make(const foci_semivariances *semivariances, const foci_variogram *model, const char *unit,
                 const char *made, give *hand_over, void *to, foci_error *err) {
    foci_canvas *canvas = NULL;
    foci_text caption = {0};
    unsigned char *rgb = NULL;
    bool ok = false;
    const foci_variogram *drawn = model && model->kind ? model : NULL;
    if (!foci_canvas_open(&canvas, WIDTH, HEIGHT, err) ||
        !picture_draw(canvas, semivariances, drawn, unit, made, &caption, err) || !foci_canvas_rgb(&rgb, canvas, err))
        goto done;
    const foci_png_text texts[] = {{"Title", foci_variogram_title},
                                   {"Description", caption.text},
                                   {"Software", "fieldfoci " FOCI_VERSION},
                                   {"Creation Time", made},
                                   {0}};
    ok = hand_over(to, rgb, texts, err);
done:
    free(rgb);
    foci_text_free(&caption);
    foci_canvas_close(canvas);
    return ok;
}

static bool give_file(void *to, const unsigned char *rgb, const foci_png_text *texts, foci_error *err) {
    return foci_png_write(to, rgb, WIDTH, HEIGHT, DOTS_PER_METRE, texts, err);
}

static bool give_bytes(void *to, const unsigned char *rgb, const foci_png_text *texts, foci_error *err) {
    foci_picture *picture = to;
    return foci_png_bytes(&picture->png, &picture->size, rgb, WIDTH, HEIGHT, DOTS_PER_METRE, texts, err);
}

bool foci_variogram_picture_write(const foci_semivariances *semivariances, const foci_variogram *model,
                                  const char *unit, const char *made, const char *path, foci_error *err) {
    return make(semivariances, model, unit, made, give_file, (void *)path, err);
}

bool foci_variogram_picture_bytes(foci_picture *out, const foci_semivariances *semivariances,
                                  const foci_variogram *model, const char *unit, const char *made, foci_error *err) {
    return make(semivariances, model, unit, made, give_bytes, out, err);
}

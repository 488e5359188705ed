#include "show/map/map_body.h"

#include <math.h>

#include "data/places/projection.h"
#include "show/map/map_marks.h"
#include "show/map/map_numbering.h"
#include "show/map/map_side.h"
#include "show/map/map_symbols.h"
#include "decide/words/survey_words.h"

#define SIDE 480.0        /* width of the column beside the map */
#define GUTTER 40.0       /* between columns */
#define UNDER 116.0       /* height of the strip below the map: key of the stops, scale, north */
#define SCALE 300.0       /* most of the bars' length */
#define STRIP_LEAST 900.0 /* width that the strip needs */
#define DIGS_KEY 460.0    /* from the strip's left end to the key of the dig-checks, right of the scale */
#define NORTH 90.0        /* kept free for the arrow at its right end */
#define EDGE 8.0          /* free round a field */
#define PAD 52.0          /* above and below a field that spans the sheet, for the numbers */
#define GAP 16.0          /* between what stands one below the other */
#define WORTH_IT 1.25     /* so much larger must a map be that spans the sheet */

/* The ground with its stops and numbers. */
static bool ground_draw(foci_map_numbering *all, foci_canvas *canvas, const foci_map_view *view,
                        const foci_survey *round, const double *edges, foci_box frame, foci_error *err) {
    if (!foci_map_photo_draw(canvas, view, round, frame, err) ||
        !foci_map_field_draw(canvas, view, round, &foci_map_legends[FOCI_LEGEND_SEVERITY], edges, err) ||
        !foci_map_marks_draw(canvas, view, round, frame, err) ||
        !foci_map_hotspots_draw(canvas, view, round, FOCI_HOTSPOT_LINE, err))
        return false;
    foci_map_stops_draw(canvas, view, round, edges, frame);
    return foci_map_numbering_draw(all, canvas, view, round, edges, frame, err);
}

/* The map in its frame, `pad` pixels from its upper and lower edge, and the strip under it, `wide` pixels. */
static bool field_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, double turn, foci_box frame,
                       double pad, double wide, foci_error *err) {
    const double width = frame.east - frame.west;
    const foci_map_view view = foci_map_view_fit(&round->field.shape, turn, frame.west, frame.north + pad, width,
                                                 frame.south - frame.north - UNDER - 2 * pad, EDGE);
    const foci_box map = {frame.west, frame.south - UNDER, frame.east, frame.north};
    double convergence = 0;
    if (!foci_meridian_convergence(&convergence, round->field.work_crs, round->field.centre, err))
        return false;
    foci_map_numbering all = {0};
    const bool ok = ground_draw(&all, canvas, &view, round, edges, map, err);
    foci_map_key_draw(canvas, frame.west, map.south + 10, wide, round, edges);
    foci_map_scale_draw(canvas, frame.west, frame.south - 46, SCALE, view.scale, foci_words_measures(round));
    foci_map_digs_key_draw(canvas, frame.west + DIGS_KEY, frame.south - 53, wide - DIGS_KEY - NORTH,
                           ok ? all.labels : NULL, ok ? all.hotspots : 0, ok ? all.digs : 0);
    foci_map_north_draw(canvas, (foci_point){frame.west + wide - 40, frame.south - 26}, 20,
                        foci_map_view_turn(&view) - convergence);
    foci_map_numbering_free(&all);
    return ok;
}

static double scale_in(const foci_survey *round, double turn, double width, double height) {
    return foci_map_view_fit(&round->field.shape, turn, 0, 0, width, fmax(height, 1), EDGE).scale;
}

/* On a sheet that stands the strip runs below both. */
static bool beside_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, double turn, foci_box frame,
                        foci_error *err) {
    const foci_box map = {frame.west, frame.south, frame.east - SIDE - GUTTER, frame.north};
    foci_box side = {frame.east - SIDE, frame.south, frame.east, frame.north};
    const bool narrow = map.east - map.west < STRIP_LEAST;
    if (narrow)
        side.south -= UNDER;
    return field_draw(canvas, round, edges, turn, map, 0, (narrow ? frame.east : map.east) - map.west, err) &&
           foci_map_side_draw(canvas, round, edges, turn, side, err);
}

/* ---- a field that spans the sheet ---- */

/* Legend, table and legend of chances side by side; the height through `height`. */
static bool band_draw(double *height, foci_canvas *canvas, const foci_survey *round, const double *edges,
                      foci_box frame, double scale, foci_error *err) {
    const double width = (frame.east - frame.west - 2 * GUTTER) / 3;
    foci_box column = frame;
    double why = 0;
    column.east = frame.west + width;
    const double left = foci_map_severity_key_draw(canvas, round, edges, column, scale);
    column.west += width + GUTTER;
    column.east += width + GUTTER;
    const double middle = foci_map_zones_draw(canvas, round, column, scale);
    column.west += width + GUTTER;
    column.east += width + GUTTER;
    const double right = foci_map_chance_key_draw(canvas, round, column.west + 6, column.north, scale);
    if (right <= 0 && !foci_map_chance_title_draw(&why, canvas, round, column, scale, err))
        return false;
    *height = fmax(fmax(left, middle), fmax(right, why));
    return true;
}

/* The rooms of a sheet that the field spans, from top to bottom. */
typedef struct {
    double turn, map, chance, band; /* heights; no map of chances: 0 */
    double scale;                   /* of what explains the map */
} span;

static double height_of(const span *plan) {
    return plan->map + plan->chance + plan->band;
}

static bool plan_span(span *out, foci_canvas *canvas, const foci_survey *round, const double *edges, foci_box frame,
                      foci_error *err) {
    const double width = frame.east - frame.west, height = frame.south - frame.north;
    const bool chances = round->surface.chance != NULL;
    double title = 0;
    foci_canvas_mute(canvas, true);
    const bool ok = band_draw(&out->band, canvas, round, edges, frame, out->scale, err) &&
                    (!chances || foci_map_chance_title_draw(&title, canvas, round, frame, out->scale, err));
    foci_canvas_mute(canvas, false);
    const double maps = height - out->band - GAP - UNDER - 2 * PAD;
    const double each = fmax(chances ? (maps - title - 2 * GAP) / 2 : maps, 20);
    out->turn = foci_map_turn(&round->field.shape, width, 1); /* as low as it can be */
    const foci_map_view view = foci_map_view_fit(&round->field.shape, out->turn, 0, 0, width, each, EDGE);
    out->map = view.height + 2 * EDGE + 2 * PAD + UNDER;
    out->chance = chances ? title + view.height + 2 * EDGE : 0;
    return ok;
}

static bool span_draw(foci_canvas *canvas, const foci_survey *round, const double *edges, const span *plan,
                      foci_box frame, foci_error *err) {
    const double free = frame.south - frame.north - height_of(plan);
    const double gap = fmin(free / (plan->chance > 0 ? 2 : 1), 3 * GAP);
    foci_box map = frame, rest = frame;
    double title = 0, height = 0;
    map.south = map.north + plan->map;
    if (!field_draw(canvas, round, edges, plan->turn, map, PAD, map.east - map.west, err))
        return false;
    rest.north = map.south + gap;
    if (plan->chance > 0) {
        if (!foci_map_chance_title_draw(&title, canvas, round, rest, plan->scale, err))
            return false;
        const foci_map_view view = foci_map_view_fit(&round->field.shape, plan->turn, rest.west, rest.north + title,
                                                     rest.east - rest.west, plan->chance - title, EDGE);
        if (!foci_map_chance_draw(canvas, &view, round, err))
            return false;
        rest.north += plan->chance + gap;
    }
    return band_draw(&height, canvas, round, edges, rest, plan->scale, err);
}

/* Whether the map is larger than `least` pixels a meter where it spans the sheet, what explains it being as large as
 * usual, or as much smaller as it takes. */
static bool find_span(bool *found, span *out, foci_canvas *canvas, const foci_survey *round, const double *edges,
                      foci_box frame, double least, foci_error *err) {
    static const double scales[] = {1, 0.9, 0.8, 0.71};
    const double width = frame.east - frame.west;
    *found = false;
    for (size_t i = 0; i < sizeof scales / sizeof *scales && !*found; i++) {
        out->scale = scales[i];
        if (!plan_span(out, canvas, round, edges, frame, err))
            return false;
        *found = height_of(out) <= frame.south - frame.north &&
                 scale_in(round, out->turn, width, out->map - 2 * PAD - UNDER) > least;
    }
    return true;
}

/* How the frame is used: the turn of a map beside what explains it, or, where that makes it larger, a map that spans.
 */
typedef struct {
    double edges[FOCI_LEGEND_MOST];
    double turn, scale; /* pixels per metre */
    bool spans;
    span plan;
} layout;

static bool find_layout(layout *out, foci_canvas *canvas, const foci_survey *round, foci_box frame, foci_error *err) {
    const double width = frame.east - frame.west - SIDE - GUTTER, height = frame.south - frame.north - UNDER;
    out->turn = foci_map_turn(&round->field.shape, width, height);
    out->scale = scale_in(round, out->turn, width, height);
    foci_map_legends[FOCI_LEGEND_SEVERITY].breaks(out->edges, round);
    if (!find_span(&out->spans, &out->plan, canvas, round, out->edges, frame, WORTH_IT * out->scale, err))
        return false;
    if (out->spans)
        out->scale = scale_in(round, out->plan.turn, frame.east - frame.west, out->plan.map - 2 * PAD - UNDER);
    return true;
}

bool foci_map_body_scale(double *scale, foci_canvas *canvas, const foci_survey *round, foci_box frame,
                         foci_error *err) {
    layout as = {0};
    if (!find_layout(&as, canvas, round, frame, err))
        return false;
    *scale = as.scale;
    return true;
}

bool foci_map_body_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, foci_error *err) {
    layout as = {0};
    if (!find_layout(&as, canvas, round, frame, err))
        return false;
    return as.spans ? span_draw(canvas, round, as.edges, &as.plan, frame, err)
                    : beside_draw(canvas, round, as.edges, as.turn, frame, err);
}

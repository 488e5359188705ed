#include "show/map/map_field_page.h"

#include <math.h>

#include "data/places/projection.h"
#include "show/map/map_marks.h"
#include "show/map/map_numbering.h"
#include "show/map/map_symbols.h"
#include "show/map/map_tables.h"
#include "decide/words/survey_words.h"
#include "show/map/map_zones.h"

#define SIDE 640.0    /* width of the tables */
#define GUTTER 40.0   /* between them and the map */
#define KEY_GAP 14.0  /* above and below the zones' key */
#define UNDER 76.0    /* height of the strip with scale and north */
#define SCALE 300.0   /* most of the bars' length */
#define LOW 0.5       /* most of the height that a map above the tables takes */
#define WORTH_IT 1.15 /* so much larger must it then be */
#define PAD 16.0      /* above and below it, for the numbers */
#define EDGE 8.0      /* free round the field */

bool foci_map_field_page_applies(const foci_survey *round) {
    return round->has_zones || round->digs.count > 0;
}

static bool ground_draw(foci_map_numbering *all, foci_canvas *canvas, const foci_map_view *view,
                        const foci_survey *round, foci_box frame, foci_error *err) {
    return foci_map_photo_draw(canvas, view, round, frame, err) &&
           foci_map_zones_ground_draw(canvas, view, round, err) &&
           foci_map_marks_draw(canvas, view, round, frame, err) &&
           foci_map_numbering_draw(all, canvas, view, round, NULL, frame, err);
}

/* Height of all that stands under a map of this width. */
static double under(foci_canvas *canvas, const foci_survey *round, double width) {
    foci_canvas_mute(canvas, true);
    const double key = foci_map_zones_row_draw(canvas, 0, 0, width, round);
    foci_canvas_mute(canvas, false);
    return key + 2 * KEY_GAP + UNDER;
}

/* The zones in their frame, and the strip under them. */
static bool map_draw(foci_canvas *canvas, const foci_survey *round, double turn, foci_box frame, foci_error *err) {
    const double width = frame.east - frame.west, south = frame.south - under(canvas, round, width);
    const foci_map_view view =
        foci_map_view_fit(&round->field.shape, turn, frame.west, frame.north, width, south - frame.north, EDGE);
    foci_map_numbering all = {0};
    double convergence = 0;
    if (!foci_meridian_convergence(&convergence, round->field.work_crs, round->field.centre, err))
        return false;
    const bool ok =
        ground_draw(&all, canvas, &view, round, (foci_box){frame.west, south, frame.east, frame.north}, err);
    foci_map_numbering_free(&all);
    foci_map_zones_row_draw(canvas, frame.west, south + KEY_GAP, width, round);
    foci_map_scale_draw(canvas, frame.west, frame.south - 56, SCALE, view.scale, foci_words_measures(round));
    foci_map_north_draw(canvas, (foci_point){frame.east - 40, frame.south - 26}, 20,
                        foci_map_view_turn(&view) - convergence);
    return ok;
}

static double scale_in(const foci_survey *round, double turn, double width, double height) {
    return foci_map_view_fit(&round->field.shape, turn, 0, 0, width, height, EDGE).scale;
}

bool foci_map_field_page_draw(foci_canvas *canvas, const foci_survey *round, foci_box frame, foci_error *err) {
    const foci_multipolygon *field = &round->field.shape;
    const double width = frame.east - frame.west, height = frame.south - frame.north;
    const double narrow = width - SIDE - GUTTER, high = height - under(canvas, round, narrow);
    const double low = LOW * height - under(canvas, round, width);
    const double turn = foci_map_turn(field, narrow, high), lying = foci_map_turn(field, width, low);
    foci_box map = frame, tables = frame;
    if (scale_in(round, lying, width, low) > WORTH_IT * scale_in(round, turn, narrow, high)) {
        const foci_map_view view = foci_map_view_fit(field, lying, 0, 0, width, low, EDGE);
        map.south = frame.north + view.height + 2 * EDGE + 2 * PAD + under(canvas, round, width);
        tables.north = map.south + GUTTER / 2;
        if (!map_draw(canvas, round, lying, map, err))
            return false;
        foci_map_tables_beside_draw(canvas, round, tables, GUTTER);
        return true;
    }
    map.east -= SIDE + GUTTER;
    tables.west = frame.east - SIDE;
    if (!map_draw(canvas, round, turn, map, err))
        return false;
    foci_map_tables_draw(canvas, round, tables);
    return true;
}
